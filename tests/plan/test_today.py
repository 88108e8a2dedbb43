"""Today: the water of last evening, each past year from there on, the person's word first."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest
from makers import given as given_of
from makers import messages, plot, thing
from test_weeks import gauge
from test_work import record, sown

from fencerow.plan.plan import make_plan
from fencerow.plan.show import explain
from fencerow.plan.view import sheets
from fencerow.plan.work.sky import ahead, by_day, forecast_days
from fencerow.science.weather.series import DailySeries, HourlySeries, Station

AUGUST = date(2026, 8, 14)


def made(*entries, daily=None, as_of=AUGUST, **more):
    return make_plan(replace(given_of(*entries, as_of=as_of, **more), daily=daily))


def today_of(*entries, **more):
    plan = made(*entries, **more)
    return plan.sections["today"].body, plan


def told(id_, on, fit, place="p", job="till"):
    return thing("verdict", id_, place=place, on=on, fit=fit, job=job)


def even(tmax, tmin, rain=0.0, years=(1997, 2027)):
    """A record in which every day is like the other."""
    times = np.arange(f"{years[0]}-01-01", f"{years[1]}-01-01", dtype="datetime64[D]")
    every = np.ones(times.size)
    return DailySeries(
        station=Station("X", "invented", 40.0, -90.6, 240.0, "judgement"), times=times,
        tmax_c=tmax * every, tmin_c=tmin * every, rain_mm=rain * every,
    )  # fmt: skip


def test_eight_tenths_of_an_inch_then_a_hot_day_and_loam_is_fit_the_day_after_the_rain():
    """Common practice: 0.8 in of rain, a hot, sunny day, and a worked loam was fit."""
    loam = plot(texture="loam", drainage="drains well")
    body, _ = today_of(loam, gauge("g", "2026-07-13", 0.8), daily=even(37, 19),
                       as_of=date(2026, 7, 14))  # fmt: skip
    found = body.plots["p"]
    assert found.fit.value == found.of_years.value == 29
    assert found.first.late.value == date(2026, 7, 14)


def test_a_day_of_drizzle_and_no_sun_leaves_it_wet():
    loam = plot(texture="loam", drainage="drains slowly")
    rain = [gauge(f"g{d}", f"2026-07-{d}", 0.8) for d in (11, 12, 13)]
    body, _ = today_of(loam, *rain, daily=even(12, 11), as_of=date(2026, 7, 14))
    found = body.plots["p"]
    assert found.fit.value == 0
    assert found.water.value > found.limit.value
    assert found.why.id == "likely-too-wet"


def test_in_spring_the_ground_below_keeps_a_dry_loam_until_the_person_says_fit():
    """A week without rain after winter: the layer is dry enough and what lies below is not."""
    loam = plot(texture="loam", drainage="stays wet")
    march = date(2026, 3, 6)
    wet = today_of(loam, daily=even(16, 4), as_of=march)[0].plots["p"]
    assert wet.why.id == "sky-wet-below"
    assert wet.fit.value == 0
    assert wet.first.late.value > march
    found = today_of(loam, told("v", "2026-03-05", True), daily=even(16, 4), as_of=march)[0]
    assert found.plots["p"].fit.value == 29
    last = today_of(loam, told("v", "2025-10-05", True), daily=even(16, 4), as_of=march)[0]
    assert last.plots["p"].fit.value == 0  # that was before winter
    sand = today_of(plot(texture="sandy loam", drainage="stays wet"), daily=even(16, 4),
                    as_of=march)[0]  # fmt: skip
    assert sand.plots["p"].fit.value == 29


def test_nothing_of_this_year_from_today_on_is_known():
    """Another August in the record changes nothing: nobody knew it."""
    daily = record()
    later = (daily.times >= np.datetime64(AUGUST)) & (daily.times <= np.datetime64("2026-12-31"))
    other = replace(daily, rain_mm=np.where(later, 60.0, daily.rain_mm))
    one, two = (today_of(*sown(), daily=d)[1] for d in (daily, other))
    for path, figure in one.nodes.by_path.items():
        if path.startswith("today.") and figure.unit in ("in", "date", "years"):
            assert two.nodes.by_path[path].value == figure.value, path


def test_the_gauge_goes_before_the_record():
    dry, _ = today_of(*sown(), daily=even(25, 12))
    wet, plan = today_of(*sown(), gauge("g", "2026-08-13", 2.0), daily=even(25, 12))
    assert wet.plots["p"].water.value > dry.plots["p"].water.value + 0.5
    names = {s.name for s in explain(plan.nodes, "today.plots.p.water")}
    assert "gauge 2026 08 13" in names
    drowned, _ = today_of(*sown(), daily=even(25, 12, rain=20))
    noted, _ = today_of(*sown(), gauge("g", "2026-08-13", 0), daily=even(25, 12, rain=20))
    assert noted.plots["p"].water.value < drowned.plots["p"].water.value


@pytest.mark.parametrize("inches", [0.0, 0.3, 0.9])
def test_more_rain_yesterday_never_makes_it_fit_sooner(inches):
    less, more = (
        today_of(*sown(), gauge("g", "2026-08-13", i), daily=record())[0].plots["p"]
        for i in (inches, inches + 0.5)
    )
    for name in ("early", "middle", "late"):
        assert getattr(less.first, name).value <= getattr(more.first, name).value
    for day, water in less.curve.items():
        assert water.likely.value <= more.curve[day].likely.value + 1e-9


def test_where_the_record_ends_early_both_ends_are_run_and_it_is_said():
    body, plan = today_of(*sown(), daily=record((1997, 2026)))
    found = body.plots["p"]
    assert not found.water.known
    assert found.first.early.value < found.first.late.value
    assert "likely-record-ends" in messages(plan, "doubt")
    day = found.curve[AUGUST.isoformat()]
    assert not day.likely.known
    assert day.low.value < day.high.value
    sure, _ = today_of(*sown(), daily=record())
    one = sure.plots["p"].first
    assert found.first.early.value <= one.early.value
    assert one.late.value <= found.first.late.value


def test_the_quantiles_are_in_order():
    found = today_of(*sown(), daily=record())[0].plots["p"]
    assert found.first.early.value <= found.first.middle.value <= found.first.late.value
    for water in found.curve.values():
        assert water.low.value <= water.likely.value <= water.high.value


def test_the_persons_word_of_today_goes_first():
    body, plan = today_of(*sown(), told("v", AUGUST.isoformat(), False), daily=even(35, 15))
    assert body.plots["p"].why.id == "likely-own-wet"
    sheet = next(s for s in sheets(plan) if s.id == "today")
    assert sheet.tables[1].rows[0][1] == "not fit"


def test_a_verdict_moves_the_limit_from_then_on_and_is_scored():
    before = made(*sown(), daily=record()).sections["verdicts"].body.limits["p"]
    said = [told("v1", "2026-06-01", False), told("v2", "2026-07-20", True)]
    after = made(*sown(), *said, daily=record()).sections["verdicts"].body
    for scored in after.scored.values():
        held = scored.water.value <= scored.before.value
        assert scored.agreed.value == (held == scored.fit)
    earlier = made(*sown(), *said, daily=record(), as_of=date(2026, 5, 1))
    assert earlier.sections["verdicts"].body.limits["p"].tillage.value == before.tillage.value
    assert earlier.sections["verdicts"].body.scored == {}


def test_too_wet_on_dry_ground_asks_for_drier_and_the_weeks_have_fewer_fit_days():
    wet = [told(f"v{d}", f"2026-07-{d}", False) for d in (18, 19, 20)]
    plain, judged = made(*sown(), daily=record()), made(*sown(), *wet, daily=record())
    one, two = (p.sections["verdicts"].body.limits["p"] for p in (plain, judged))
    assert one.tillage.value < two.tillage.value <= one.tillage.value + 10
    assert two.most_water.value < one.most_water.value
    assert one.traffic.value == two.traffic.value
    days = [
        sum(w.fit["p"].value for w in p.sections["weeks"].body.week.values())
        for p in (plain, judged)
    ]
    assert days[1] < days[0]


def test_a_verdict_of_a_day_that_is_not_known_moves_nothing_and_says_so():
    plan = made(*sown(), told("v", "2026-07-20", False), daily=record((1997, 2026)))
    assert "likely-verdict-unknown" in messages(plan, "doubt")
    assert plan.sections["verdicts"].body.scored["v"].agreed is None


def test_jobs_of_today_wait_for_what_stands_before_them():
    body, _ = today_of(*sown(), daily=even(30, 15), as_of=date(2027, 8, 10))
    waits = {i: j.waits.id for i, j in body.jobs.items()}
    assert waits["till.s-p"] == "likely-after"
    marks = [thing("done", f"d{i}", task=t) for i, t in
             enumerate(("spread-lime.p", "spread-fertilizer.p"))]  # fmt: skip
    body, _ = today_of(*sown(), *marks, daily=even(30, 15, years=(1997, 2028)),
                       as_of=date(2027, 8, 14))  # fmt: skip
    waits = {i: j.waits.id for i, j in body.jobs.items()}
    assert waits == {"till.s-p": "likely-can", "sow.s-p": "likely-after"}


def test_what_is_done_on_foot_does_not_wait_for_the_ground():
    stand = thing("place", "t", kind="treestand", name="Oak", form="hang-on")
    closing = thing("closing", "c", closes="2027-08-20", opens="2028-01-05", may_enter="nobody")
    body, _ = today_of(*sown(), stand, closing, daily=even(30, 15), as_of=date(2027, 8, 10))
    assert {body.jobs[i].waits.id for i in ("hang.t.2027", "inspect.t")} == {"likely-on-foot"}
    assert body.jobs["inspect.t"].now


def test_without_a_record_it_is_asked_for():
    body, plan = today_of(*sown())
    assert body.plots == {}
    assert "likely-today-wants" in messages(plan, "ask")


def hours_of(first, rain, temp=20.0):
    """A forecast by the hour: one rain in every hour, from an hour on in UTC."""
    times = np.datetime64(first, "m") + 60 * (1 + np.arange(len(rain)))
    return HourlySeries(station=Station("X"), times=times, rain_mm=np.array(rain, dtype=float),
                        temp_c=np.full(len(rain), temp))  # fmt: skip


def test_hours_are_put_together_to_the_tracts_own_days():
    # midnight in Chicago in August is five o'clock in UTC
    days = by_day(hours_of("2026-08-14T05:00", [1] * 24 + [2] * 24 + [3] * 5),
                  "America/Chicago", AUGUST, 4)  # fmt: skip
    assert days.rain_mm[:2].tolist() == [24, 48]
    assert np.isnan(days.rain_mm[2:]).all()


def test_of_the_first_day_the_hours_from_noon_on_will_do():
    days = by_day(hours_of("2026-08-14T16:00", [1] * 37), "America/Chicago", AUGUST, 3)
    assert days.rain_mm[:2].tolist() == [13, 24]
    assert np.isnan(days.tmax_c[0])
    late = by_day(hours_of("2026-08-14T19:00", [1] * 34), "America/Chicago", AUGUST, 3)
    assert np.isnan(late.rain_mm[0])


def test_a_forecast_goes_before_the_years_on_its_days():
    there = SimpleNamespace(
        as_of=AUGUST, tract=given_of(*sown()).tract,
        forecast=hours_of("2026-08-14T05:00", [1] * 72),
    )  # fmt: skip
    years, sky = ahead(there, record(), 10)
    assert (sky.rain_mm[:, :3] == 24).all()
    _, plain = ahead(SimpleNamespace(as_of=AUGUST, tract=there.tract), record(), 10)
    assert (sky.rain_mm[:, 3:] == plain.rain_mm[:, 3:]).all()
    assert len(years) == 29
    assert forecast_days(there) == 3

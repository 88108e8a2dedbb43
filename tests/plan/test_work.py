"""Work: jobs in order, windows, frost, fit days, the count of years that sees no tomorrow."""

from datetime import date

import numpy as np
import pytest
from makers import AS_OF, clover, messages, plot, soil, straights, thing
from makers import given as given_of

from fencerow.exchange.demo.weather import invented_days
from fencerow.plan.plan import make_plan
from fencerow.plan.work.fitness import fitness, soils_of
from fencerow.science.weather.frost import first_fall_freezes, freeze_by
from fencerow.science.weather.series import DailySeries, Station

CLOSING = thing("closing", "c", closes="2027-09-10", opens="2028-01-05", may_enter="nobody")
SOUR = {"ph": 5.5, "buffer_ph": 6.5, "buffer_method": "sikora"}


def record(years=(1997, 2027), rain=None, typical=False):
    """A daily record; the invented weather, or one rain on every day."""
    times = np.arange(f"{years[0]}-01-01", f"{years[1]}-01-01", dtype="datetime64[D]")
    tmax, tmin, fell = invented_days(times)
    fell = fell if rain is None else np.full(times.size, float(rain))
    station = Station("X", "invented", 47.3, -90.6, 240.0, "judgement")
    return DailySeries(station=station, times=times, tmax_c=tmax, tmin_c=tmin, rain_mm=fell,
                       typical=typical)  # fmt: skip


def work_of(*entries, daily=None, **more):
    from dataclasses import replace

    made = make_plan(replace(given_of(*entries, **more), daily=daily))
    return made.sections["work"].body, made


def sown(**body):
    body = {"texture": "loam", "drainage": "drains well", **body}
    return [plot(**body), soil(**SOUR, p=8, k=100, extractant="bray1"), *clover(), *straights(),
            CLOSING]  # fmt: skip


def test_jobs_follow_what_they_wait_on():
    body, _ = work_of(*sown())
    assert list(body.jobs) == ["spread-lime.p", "spread-fertilizer.p", "till.s-p", "sow.s-p"]
    assert body.jobs["till.s-p"].after == ("spread-lime.p", "spread-fertilizer.p")
    assert body.jobs["sow.s-p"].go.value == date(2027, 8, 15)
    # half an hour before and 1.2 h an acre: rows of job_hours
    assert body.jobs["till.s-p"].hours.value == pytest.approx(1.7)


def test_drilled_seed_needs_no_tillage_and_a_roller_is_used_where_there_is_one():
    roller = thing("equipment", "r", name="Roller", form="cultipacker")
    body, _ = work_of(plot(), soil(), *clover(method="drilled"), roller)
    assert [j.kind for j in body.jobs.values()] == ["drill seed", "pack"]


def test_without_a_record_nothing_is_counted():
    body, made = work_of(*sown())
    assert body.finish is None
    assert "work-no-record" in messages(made, "ask")


def test_a_typical_year_gives_no_count():
    body, _ = work_of(*sown(), daily=record((1999, 2001), typical=True))
    assert body.finish is None
    assert body.frost == {}


def test_a_dry_record_always_finishes_and_a_drowned_one_never():
    dry, _ = work_of(*sown(), daily=record(rain=0))
    assert (dry.finish.years.value, dry.finish.of_years.value) == (30, 30)
    # Wilson (1927), 95 % of 30 of 30: 0.886 to 1
    assert dry.finish.low.value == pytest.approx(0.886, abs=0.001)
    wet, _ = work_of(*sown(), daily=record(rain=12))
    assert wet.finish.years.value == 0
    assert len(wet.finish.failed) == 30
    assert "not fit" in wet.finish.failed["1999"]


def test_the_count_sees_no_tomorrow():
    """Rain that falls after the work is done changes nothing before it."""
    daily = record()
    times = daily.times
    late = np.where((times.astype("datetime64[M]").astype(int) % 12) >= 9, 50.0, daily.rain_mm)
    later = DailySeries(station=daily.station, times=times, tmax_c=daily.tmax_c,
                        tmin_c=daily.tmin_c, rain_mm=late)  # fmt: skip
    one, _ = work_of(*sown(), daily=daily)
    two, _ = work_of(*sown(), daily=later)
    assert one.finish.years.value == two.finish.years.value


def test_frost_dates_are_those_of_the_record():
    daily = record()
    body, _ = work_of(*sown(), daily=daily)
    freezes = first_fall_freezes(daily.times, daily.tmin_c, 32.0)
    middle = body.frost["fall_32"].middle.value
    number = (middle.replace(year=2001) - date(2001, 1, 1)).days + 1
    assert number == round(freeze_by(freezes, 0.5))
    fall, spring = body.frost["fall_32"], body.frost["spring_32"]
    assert fall.early.value <= middle <= fall.late.value
    assert spring.early.value <= spring.middle.value <= spring.late.value < fall.early.value
    assert body.frost["fall_28"].middle.value >= middle
    assert fall.seasons.value == 30


def test_a_sowing_outside_its_window_is_named():
    inside, _ = work_of(*sown(), daily=record())
    window = inside.windows["s-p"]
    # white clover: 60 to 20 days before the middle first frost of fall
    frost = inside.frost["fall_32"].middle.value
    assert (frost - window.first.value).days == 60
    assert (frost - window.last.value).days == 20
    _, made = work_of(plot(texture="loam"), soil(), *clover(sow_on="2027-07-01"), daily=record())
    assert "work-window-outside" in messages(made, "doubt")


def test_a_plot_without_texture_is_left_out_of_the_count():
    body, made = work_of(*sown(texture=None), daily=record())
    assert body.finish is None
    assert "work-no-texture" in messages(made, "ask")


def test_drainage_that_nobody_entered_is_said():
    _, made = work_of(*sown(drainage=None), daily=record())
    assert "work-drainage-assumed" in messages(made, "doubt")


def test_ground_that_stays_wet_has_fewer_fit_days():
    daily = record()
    plots = [plot("a", texture="silt loam", drainage="drains well"),
             plot("b", texture="silt loam", drainage="stays wet")]  # fmt: skip
    found = given_of(*plots)
    fit = fitness(
        daily, found.tables, soils_of(found), date(2027, 3, 1), date(2027, 9, 1), ["till"]
    )
    well, wet = (fit.of("till", p)[0].sum() for p in "ab")
    assert wet < well
    assert fit.years == tuple(range(1997, 2027))


def test_frozen_ground_is_not_tilled():
    daily = record()
    found = given_of(plot(texture="sand"))
    fit = fitness(
        daily, found.tables, soils_of(found), date(2027, 1, 1), date(2027, 1, 31), ["till"]
    )
    assert fit.of("till", "p")[0].sum() < 0.05 * 31 * 29


def test_a_few_years_say_little():
    _, made = work_of(*sown(), daily=record((2015, 2022)))
    assert "work-few-years" in messages(made, "doubt")
    assert date(2027, 2, 1) == AS_OF

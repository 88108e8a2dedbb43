"""The weeks of the year: usual rain, this year's, the gauge, fit days; the ribbon drawn of them."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from makers import given as given_of
from makers import plot, thing
from test_work import record, sown

from fencerow.packet.ribbon import draw_ribbon
from fencerow.plan.graph import only
from fencerow.plan.plan import STEPS, make_plan
from fencerow.plan.show import explain
from fencerow.plan.views.weeks import weeks_table
from fencerow.plan.work.rain import past_record
from fencerow.science.weather.series import DailySeries


def made(*entries, daily=None, **more):
    return make_plan(replace(given_of(*entries, **more), daily=daily))


def weeks_of(plan):
    return plan.sections["weeks"].body.week


def gauge(id_, on, amount, unit="in"):
    return replace(thing("note", id_, about="rain", amount=amount, unit=unit),
                   happened_on=date.fromisoformat(on))  # fmt: skip


def test_a_week_of_even_rain_is_the_same_in_every_year():
    week = weeks_of(made(daily=record(rain=2)))["2027-07-03"]
    # 7 days of 2 mm are 14 mm, 0.551 in
    for figure in (week.rain.little, week.rain.usual, week.rain.much):
        assert figure.value == pytest.approx(14 / 25.4)
    assert week.fit == {}  # no plot


def test_the_middle_and_the_tenths_are_those_of_the_record():
    daily = record()
    week = weeks_of(made(daily=daily))["2027-07-03"]
    sums = []
    for year in range(1997, 2027):
        # the 183rd day of the tract's year, which starts on 2 January
        first = np.datetime64(f"{year}-01-02") + 26 * 7
        at = int((first - daily.first).astype(int))
        sums.append(daily.rain_mm[at : at + 7].sum() / 25.4)
    assert week.rain.usual.value == pytest.approx(np.median(sums))
    assert week.rain.little.value == pytest.approx(np.quantile(sums, 0.1))
    assert week.rain.much.value == pytest.approx(np.quantile(sums, 0.9))


def test_the_working_names_the_record_and_its_years():
    plan = made(daily=record())
    steps = explain(plan.nodes, "weeks.week.2027-07-03.rain.usual")
    assert [s.name for s in steps] == ["rain of a week in a middle year", "record",
                                       "years of record", "record"]  # fmt: skip
    # the last of the 30 years' weeks ends on 31 December 2026
    assert steps[2].value == "30 years"


def test_fit_days_of_seven_rest_on_record_and_ground():
    plan = made(*sown(), daily=record())
    week = weeks_of(plan)["2027-07-03"]
    assert 0 <= week.fit["p"].value <= 7
    assert week.fit_ends() == (week.fit["p"], week.fit["p"])
    names = {s.name for s in explain(plan.nodes, "weeks.week.2027-07-03.fit.p")}
    assert {"record", "texture", "drainage", "most rain on a fit day"} <= names


def test_a_drowned_record_has_no_fit_day_and_a_dry_summer_has_seven():
    wet = weeks_of(made(*sown(), daily=record(rain=12)))["2027-07-03"]
    dry = weeks_of(made(*sown(), daily=record(rain=0)))["2027-07-03"]
    assert (wet.fit["p"].value, dry.fit["p"].value) == (0, 7)


def test_a_typical_year_shows_nothing_and_says_why():
    plan = made(*sown(), daily=record((1999, 2001), typical=True))
    drawn = draw_ribbon(plan)
    assert {w["rain"] for w in drawn["weeks"]} == {w["fit"] for w in drawn["weeks"]} == {None}
    assert "cannot say how often" in drawn["why"]


def test_without_a_record_nothing_is_shown():
    drawn = draw_ribbon(made(*sown()))
    assert {w["rain"] for w in drawn["weeks"]} == {None}
    assert drawn["why"] == ""
    assert len(weeks_table(made(*sown())).columns) == 1


def test_nine_years_are_too_few_for_one_in_ten():
    few = weeks_of(made(*sown(), daily=record((2010, 2019))))["2027-07-03"]
    assert few.rain is None
    assert few.fit_ends() is None
    # the first of the nine has no December before it, in which the ground's water is begun
    assert "8 years" in str(few.fit["p"].reason)


def test_a_gap_is_no_dry_week():
    daily = record()
    rain = np.array(daily.rain_mm)
    rain[daily.times == np.datetime64("2005-07-04")] = np.nan
    gap = DailySeries(station=daily.station, times=daily.times, tmax_c=daily.tmax_c,
                      tmin_c=daily.tmin_c, rain_mm=rain)  # fmt: skip
    plan = made(daily=gap)
    assert explain(plan.nodes, "weeks.week.2027-07-03.rain.usual")[2].value == "29 years"


def test_what_fell_is_shown_of_weeks_that_are_over():
    plan = made(daily=record(rain=2), as_of=date(2026, 7, 15))
    weeks = weeks_of(plan)
    assert weeks["2026-07-03"].fell.value == pytest.approx(14 / 25.4)
    assert weeks["2026-07-10"].fell is None


def test_the_gauge_adds_its_readings_week_by_week():
    plan = made(
        gauge("a", "2027-07-03", 0.4), gauge("b", "2027-07-09", 25.4, "mm"),
        gauge("c", "2027-07-10", 2), gauge("d", "2026-07-03", 9),
        thing("note", "e", about="count", amount=7),
    )  # fmt: skip
    found = plan.sections["gauge"].body
    assert {week: round(f.value, 3) for week, f in found.items()} == {
        "2027-07-03": 1.4, "2027-07-10": 2.0}  # fmt: skip
    assert len(explain(plan.nodes, "gauge.2027-07-03")) == 3
    drawn = {w["gauge"] for w in draw_ribbon(plan)["weeks"]}
    assert drawn == {None, 1.4, 2.0}


def test_a_note_is_no_reason_to_work_the_weeks_again():
    cache = {}
    first = make_plan(given_of(plot()), cache)
    second = make_plan(given_of(plot(), gauge("a", "2027-07-03", 1)), cache)
    assert second.sections["weeks"] is first.sections["weeks"]


def test_windows_stand_on_the_rows_of_their_plots():
    rows = draw_ribbon(made(*sown(), daily=record()))["rows"]
    (window,) = rows[0]["windows"]
    bar = rows[0]["bars"][0]
    assert window["id"] == bar["id"]
    assert window["x"] <= bar["x"] <= window["x"] + window["width"]
    assert window["label"].startswith("to be sown ")


def test_a_past_years_gauge_goes_before_the_record_and_this_years_does_not_work_it_again():
    """Readings of years that are over are in the record; this year's change no past year."""
    asked = given_of(
        gauge("old", "2020-06-01", 2.0), gauge("new", "2026-06-01", 1.0),
        gauge("two", "2026-06-02", 9),
    )  # fmt: skip
    step = next(s for s in STEPS if s.id == "weeks")
    seen = only(step, asked).tract
    assert {*seen.notes} == {"old"}
    daily = past_record(record(), seen)
    assert daily.rain_mm[daily.times == np.datetime64("2020-06-01")] == pytest.approx([50.8])
    assert daily.gauged == ("2020-06-01",)
    assert len(daily) == len(record())

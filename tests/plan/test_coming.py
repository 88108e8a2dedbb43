"""The coming days: hours for spraying by the label, and not without a forecast."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from makers import aglime, clover, given, messages, plot, soil, thing
from test_today import even

from fencerow.data import Tables
from fencerow.plan.plan import make_plan
from fencerow.plan.view import sheets
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import Station

JUNE = date(2027, 6, 10)
SQUARE = {
    "type": "Polygon",
    "coordinates": [[[-90.6, 45.3], [-90.59, 45.3], [-90.59, 45.31], [-90.6, 45.31],
                     [-90.6, 45.3]]],
}  # fmt: skip


def forecast(**changed):
    """Four fair days from 5 h UTC, midnight in Chicago: dry, clear, 6 mph by day."""
    hours = 96
    rows = {"temp_c": 20.0, "rh_pct": 50.0, "wind_m_s": 2.7, "cloud_share": 0.2, "rain_mm": 0.0}
    content = {name: np.full(hours, value) for name, value in rows.items()} | changed
    begins = np.datetime64("2027-06-10T06:00")
    return Forecast(
        station=Station("F"), times=begins + np.arange(hours) * np.timedelta64(60, "m"),
        issued_at=datetime(2027, 6, 10, 4, tzinfo=UTC), **content,
    )  # fmt: skip


def made(series, label=None, drawn=True):
    body = {"name": "Grass killer", "read_on": "2027-05-01", "crops": ["clover_white"]}
    place = plot(shape=SQUARE) if drawn else plot()
    entries = [place, *clover(sow_on="2027-08-15"), thing("label", "l", **body | (label or {}))]
    asked = given(*entries, as_of=JUNE, zone="America/Chicago")
    return make_plan(replace(asked, forecast=series))


def hours_of(plan):
    return list(plan.sections["hours"].body.spray["l"].stretches.values())


def told(plan):
    return [
        (f"{s.start.value:%d %H}", f"{s.end.value:%d %H}", s.state, s.why) for s in hours_of(plan)
    ]


def test_without_a_forecast_it_says_what_brings_one():
    plan = made(None)
    assert plan.sections["hours"].body.spray == {}
    assert {"hours-no-forecast", "hours-label-decides"} <= {*messages(plan)}


def test_a_fair_day_is_open_and_the_rain_of_the_evening_closes_the_hours_before():
    rain = np.zeros(96)
    rain[18] = 4.0  # 6 pm in Chicago
    plan = made(forecast(rain_mm=rain), {"rainfast_h": 2})
    assert told(plan)[:4] == [
        ("10 00", "10 16", "open", ""), ("10 16", "10 18", "closed", "rain-after"),
        ("10 18", "10 19", "closed", "rain"), ("10 19", "11 00", "open", ""),
    ]  # fmt: skip
    assert hours_of(plan)[1].limit.number() == 2


@pytest.mark.parametrize(
    ("label", "states"),
    [
        ({}, {"closed"}),
        ({"most_wind_mph": 12}, {"open"}),
        ({"most_wind_mph": 10}, {"closed"}),
        ({"least_wind_mph": 11.5, "most_wind_mph": 12}, {"closed"}),
        ({"most_wind_mph": 12, "most_temp_f": 60}, {"closed"}),
    ],
)
def test_the_label_goes_before_published_guidance(label, states):
    """11 mph all day: guidance says 8 at most."""
    plan = made(forecast(wind_m_s=np.full(96, 11 * 0.44704)), label)
    by_day = [s for s in hours_of(plan) if s.start.value.day == 10]
    assert {s.state for s in by_day} == states
    assert all(s.by_label == bool(label) for s in by_day if s.state == "closed")


def test_hours_of_the_label_about_sunset_close_in_any_weather():
    plan = made(forecast(), {"sunset_stop_h": 1, "sunrise_start_h": 2})
    found = told(plan)
    # in June sunrise is about 5:10 and sunset about 20:50 in northern Wisconsin
    assert found[0] == ("10 00", "10 07", "closed", "inversion")
    assert found[1] == ("10 07", "10 20", "open", "")
    rows = next(s for s in sheets(plan) if s.id == "hours").tables[0].rows
    assert rows[0][-1].endswith("the label keeps these hours closed")


def test_the_labels_own_words_on_inversions_are_said():
    plan = made(forecast(), {"inversion": "Do not apply during one."})
    said = [str(s.message) for s in plan.said() if s.message.id == "hours-inversion"]
    assert said
    assert "Do not apply during one." in said[0]


def test_undrawn_ground_has_no_sun_and_says_so():
    plan = made(forecast(wind_m_s=np.full(96, 1.5)), drawn=False)
    assert "hours-no-sun" in messages(plan)
    assert {s.state for s in hours_of(plan)} == {"unknown"}


def test_the_sheet_tells_each_stretch_with_its_working():
    plan = made(forecast(wind_m_s=np.full(96, 5.0)), {"most_wind_mph": 10})
    sheet = next(s for s in sheets(plan) if s.id == "hours")
    row = sheet.tables[0].rows[0]
    assert row[0] == "Thu 10"
    assert row[-1] == "wind 11.2 mph; the label says 10 mph at most"
    assert row[-1].figure.origin.formula.function.endswith("spray_hours.spray_hours")


def waiting(rain_mm, kind="spread lime", wet=0.0, temp=15.0, as_of=date(2026, 8, 14)):
    """Lime and clover seed that wait, over thirty years of which every day is alike."""
    daily = even(temp + 8, temp - 8, wet)
    entries = [
        plot(texture="loam", drainage="drains well", shape=SQUARE),
        soil(ph=5.5, buffer_ph=6.4, buffer_method="smp", sampled_on="2025-11-01"),
        aglime(), *clover(sow_on=(as_of + timedelta(days=4)).isoformat()),
    ]  # fmt: skip
    asked = given(*entries, as_of=as_of, zone="America/Chicago")
    series = None if rain_mm is None else rain_forecast(rain_mm, temp, as_of)
    plan = make_plan(replace(asked, daily=daily, forecast=series))
    found = [j for j in plan.sections["today"].body.good.values() if j.kind == kind]
    return found[0], plan


def rain_forecast(rain_mm, temp, as_of):
    begins = np.datetime64(as_of) + np.timedelta64(6, "h")
    return Forecast(
        station=Station("F"), times=begins + np.arange(96) * np.timedelta64(60, "m"),
        issued_at=datetime(as_of.year, as_of.month, as_of.day, 4, tzinfo=UTC),
        temp_c=np.full(96, temp) + np.tile([-8.0, 8.0], 48), rain_mm=np.array(rain_mm, dtype=float),
    )  # fmt: skip


def test_seed_is_told_the_day_before_the_rain():
    rain = np.zeros(96)
    rain[36] = 15.0  # noon of the second day
    job, plan = waiting(rain, "broadcast seed")
    fit = [d.fit.value for d in job.days.values()]
    wet = [d.rain.value for d in job.days.values()]
    assert wet[:3] == [29, 29, 0]
    assert fit[:2] == [29, 0]
    assert "hours-seed-rain" in messages(plan)


def test_lime_goes_on_frozen_bare_ground_and_not_on_snow():
    january = date(2026, 1, 14)
    frozen, plan = waiting(None, temp=-12.0, as_of=january)
    assert [d.fit.value for d in frozen.days.values()] == [29] * 7
    assert "hours-frozen-lime" in messages(plan, "caution")
    snowed, _ = waiting(None, wet=0.5, temp=-12.0, as_of=january)
    assert [d.fit.value for d in snowed.days.values()] == [0] * 7


def test_urea_is_held_against_the_rain_that_moves_it_in():
    """Half an inch in one fall moves it in (Montana State University)."""
    row = Tables.shipped()["rain_after"].row("urea")
    assert row.number("least_mm") == 0.5 * 25.4


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2027, 3, 14), 23), (date(2027, 11, 7), 25), (date(2027, 6, 10), 24)]
)
def test_a_day_on_which_the_clock_changes_is_whole(day, hours):
    """Sundays of the change in Chicago: 23 hours in spring, 25 in fall, midnight to midnight."""
    begins = np.datetime64(day) + np.timedelta64(1, "h")  # midnight is 5 or 6 h UTC
    fair = Forecast(
        station=Station("F"), times=begins + np.arange(60) * np.timedelta64(60, "m"),
        issued_at=datetime(day.year, day.month, day.day, tzinfo=UTC), temp_c=np.full(60, 20.0),
        rh_pct=np.full(60, 50.0), wind_m_s=np.full(60, 2.7), cloud_share=np.full(60, 0.9),
        rain_mm=np.zeros(60),
    )  # fmt: skip
    body = {"name": "Grass killer", "read_on": "2027-03-01", "crops": ["clover_white"],
            "rainfast_h": 1}  # fmt: skip
    asked = given(plot(shape=SQUARE), *clover(sow_on="2027-12-20"), thing("label", "l", **body),
                  as_of=day, zone="America/Chicago")  # fmt: skip
    plan = make_plan(replace(asked, forecast=fair))
    first = hours_of(plan)[0]
    assert first.state == "open"
    assert (first.start.value.hour, first.end.value.hour) == (0, 0)
    spent = first.end.value.astimezone(UTC) - first.start.value.astimezone(UTC)
    assert spent == timedelta(hours=hours)

"""The coming days: hours for spraying by the label, and not without a forecast."""

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np
import pytest
from makers import clover, given, messages, plot, thing

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


def hours(plan):
    return list(plan.sections["hours"].body.spray["l"].stretches.values())


def told(plan):
    return [(f"{s.start.value:%d %H}", f"{s.end.value:%d %H}", s.state, s.why) for s in hours(plan)]


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
    assert hours(plan)[1].limit.number() == 2


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
    by_day = [s for s in hours(plan) if s.start.value.day == 10]
    assert {s.state for s in by_day} == states
    assert all(s.by_label == bool(label) for s in by_day if s.state == "closed")


def test_hours_of_the_label_about_sunset_close_in_any_weather():
    plan = made(forecast(), {"sunset_stop_h": 1, "sunrise_start_h": 2})
    found = told(plan)
    # in June sunrise is about 5:10 and sunset about 20:50 in northern Wisconsin
    assert found[0] == ("10 00", "10 07", "closed", "inversion")
    assert found[1] == ("10 07", "10 20", "open", "")


def test_the_labels_own_words_on_inversions_are_said():
    plan = made(forecast(), {"inversion": "Do not apply during one."})
    said = [str(s.message) for s in plan.said() if s.message.id == "hours-inversion"]
    assert said
    assert "Do not apply during one." in said[0]


def test_undrawn_ground_has_no_sun_and_says_so():
    plan = made(forecast(wind_m_s=np.full(96, 1.5)), drawn=False)
    assert "hours-no-sun" in messages(plan)
    assert {s.state for s in hours(plan)} == {"unknown"}


def test_the_sheet_tells_each_stretch_with_its_working():
    plan = made(forecast(wind_m_s=np.full(96, 5.0)), {"most_wind_mph": 10})
    sheet = next(s for s in sheets(plan) if s.id == "hours")
    row = sheet.tables[0].rows[0]
    assert row[0] == "Thu 10"
    assert row[-1] == "wind 11.2 mph; the label says 10 mph at most"
    assert row[-1].figure.origin.formula.function.endswith("spray_hours.spray_hours")

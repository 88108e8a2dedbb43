"""Burning: a written prescription is held against a forecast, and never becomes more than that."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from makers import given, thing, tract

from fencerow.exchange.weather import read_forecast
from fencerow.manner import Manner, shown_in
from fencerow.plan.graph import Given
from fencerow.plan.plan import make_plan
from fencerow.plan.view import sheets
from fencerow.plan.work.burn import burn_section
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import Station

REAL = Path(__file__).parents[1] / "data/weather/nws-gridpoint-2022-02-03.json"
DAY = date(2022, 2, 3)
HOURS = 48
SQUARE = [[-90.0, 45.0], [-89.99, 45.0], [-89.99, 45.01], [-90.0, 45.01], [-90.0, 45.0]]
ARRANGED = {
    "permit": "117", "permit_by": "the county", "permit_starts": "2022-02-01",
    "permit_ends": "2022-02-28", "notice": "the fire hall", "crew_count": 5, "burn_boss": "Ash",
}  # fmt: skip
# most prescriptions: humidity 30 to 50 %, winds 2 to 15 mph, mixing height of 1,700 ft and more
# (Extension Foundation, prescribed fire)
WRITTEN = {
    "temp_low_f": 30, "temp_high_f": 60, "rh_low_pct": 30, "rh_high_pct": 50, "wind_low_mph": 2,
    "wind_high_mph": 15, "wind_at": "20 ft", "wind_first_deg": 225, "wind_last_deg": 315,
    "mixing_low_ft": 1700,
}  # fmt: skip


def forecast(**changed):
    """Two days, all within what is written: 50 °F, 40 %, 8 mph from the west, mixed to 2,400 ft."""
    midnight = np.datetime64("2022-02-03T06:00")  # of the zone, UTC-6
    whole = {
        "temp_c": 10.0, "rh_pct": 40.0, "wind_20ft_m_s": 3.58, "wind_m_s": 3.9,
        "wind_from_deg": 270.0, "mixing_m": 732.0, "rain_mm": 0.0,
    }  # fmt: skip
    arrays = {n: np.full(HOURS, v) for n, v in whole.items()}
    for name, (at, value) in changed.items():
        arrays.setdefault(name, np.full(HOURS, np.nan))[at] = value
    times = midnight + (np.arange(HOURS) + 1) * np.timedelta64(60, "m")
    return Forecast(station=Station("x"), times=times, wind_height_m=10.0,
                    issued_at=datetime(2022, 2, 3, 6, tzinfo=UTC), **arrays)  # fmt: skip


def burn(coming, *more, **body):
    entries = [
        thing("place", "g", kind="native-grass field", name="Bluestem",
              shape={"type": "Polygon", "coordinates": [SQUARE]}),
        thing("burn-prescription", "b", place="g", **body), *more,
    ]  # fmt: skip
    there = Given(tract(*entries), given().tables, DAY, forecast=coming)
    return burn_section(there, {})


def stretches(section):
    return [
        (h.day.day, h.hours, h.answer.value, h.element) for h in section.body["b"].held.values()
    ]


def said(section):
    return [s.message.id for s in section.said]


@pytest.mark.parametrize("left_out", list(ARRANGED))
def test_what_is_missing_is_named_and_nothing_else_is_said(left_out):
    arranged = {n: v for n, v in ARRANGED.items() if n != left_out}
    section = burn(forecast(), **WRITTEN, **arranged)
    assert section.body["b"].missing == (left_out,)
    assert section.body["b"].held == {}
    assert said(section) == ["burn-caution", "burn-missing"]


def test_daylight_that_is_within_all_that_is_written_is_inside():
    section = burn(forecast(), **WRITTEN, **ARRANGED)
    # about ten hours of sun around 12:14, the clock's noon at 90 W plus 14 minutes of February
    assert stretches(section) == [
        (3, "07:00–17:00", "inside", ""), (4, "07:00–17:00", "inside", "")
    ]  # fmt: skip
    assert all(h.off is None for h in section.body["b"].held.values())


@pytest.mark.parametrize(
    ("element", "changed", "off"),
    [
        ("temperature", {"temp_c": (12, 20.0)}, 8.0),
        ("humidity", {"rh_pct": (12, 25.0)}, -5.0),
        ("wind", {"wind_20ft_m_s": (12, 17 * 0.44704)}, 2.0),
        ("direction", {"wind_from_deg": (12, 345.0)}, 30.0),
        ("mixing", {"mixing_m": (12, 1500 * 0.3048)}, -200.0),
    ],
)
def test_the_element_that_is_outside_is_named_with_how_far(element, changed, off):
    section = burn(forecast(**changed), **WRITTEN, **ARRANGED)
    found = section.body["b"].held["2022-02-03 12:00–13:00"]
    assert (found.answer.value, found.element) == ("outside", element)
    assert found.off.number() == pytest.approx(off, abs=0.01)
    assert stretches(section)[0] == (3, "07:00–12:00", "inside", "")


def test_what_the_forecast_does_not_know_is_never_inside():
    dark = forecast(mixing_m=(slice(None), np.nan))
    assert {s[2:] for s in stretches(burn(dark, **WRITTEN, **ARRANGED))} == {
        ("not known", "mixing")
    }
    eye = burn(forecast(), **(WRITTEN | {"wind_at": "eye level"}), **ARRANGED)
    assert {s[2:] for s in stretches(eye)} == {("not known", "wind")}
    assert "burn-eye-level" in said(eye)


def test_humidity_comes_by_the_dew_point_where_it_is_not_given():
    # 12 °C in air of 25 °C is 44 % (MetPy's example)
    made = forecast(rh_pct=(slice(None), np.nan), temp_c=(slice(None), 25.0),
                    dewpoint_c=(slice(None), 12.0))  # fmt: skip
    wide = WRITTEN | {"temp_high_f": 80}
    assert {s[2] for s in stretches(burn(made, **wide, **ARRANGED))} == {"inside"}
    tight = wide | {"rh_high_pct": 44}
    found = burn(made, **tight, **ARRANGED).body["b"].held["2022-02-03 07:00–17:00"]
    assert found.off.number() == pytest.approx(0.25, abs=0.1)


def test_rain_is_counted_over_gauge_and_forecast():
    gauge = [
        replace(thing("note", f"r{back}", about="rain", amount=fell, unit="in"),
                happened_on=DAY - timedelta(days=back))
        for back, fell in ((2, 0.4), (1, 0.0))
    ]  # fmt: skip
    written = WRITTEN | {"rain_low_days": 3, "rain_in": 0.1}
    # two days on the first day of the plan, three on the next
    made = burn(forecast(), *gauge, **written, **ARRANGED)
    assert [s[2:] for s in stretches(made)] == [("outside", "rain"), ("inside", "")]
    unsaid = burn(forecast(), **written, **ARRANGED)
    assert {s[2:] for s in stretches(unsaid)} == {("not known", "rain")}
    wet = burn(forecast(rain_mm=(40, 4.0)), *gauge, **written, **ARRANGED)
    assert [s[2:] for s in stretches(wet)] == [("outside", "rain"), ("outside", "rain")]


def test_days_outside_the_permit_or_stopped_by_a_permission_are_outside():
    late = burn(forecast(), **WRITTEN, **(ARRANGED | {"permit_starts": "2022-02-04"}))
    assert [s[2:] for s in stretches(late)] == [("outside", "permit"), ("inside", "")]
    kept = thing("permission", "n", form="cost-share", places=["g"], forbids=["burn"],
                 season_from="02-04", season_to="08-01")  # fmt: skip
    stopped = burn(forecast(), kept, **WRITTEN, **ARRANGED)
    assert [s[2:] for s in stretches(stopped)] == [("inside", ""), ("outside", "permission")]


def test_a_real_forecast_is_held_hour_by_hour():
    coming = read_forecast(REAL).series
    # the file's own layers at 21:00 UTC: 14.816 km/h at 20 ft, mixed to 640.08 m
    at = list(coming.times).index(np.datetime64("2022-02-03T22:00"))
    assert coming.wind_20ft_m_s[at] == pytest.approx(14.816 / 3.6)
    assert coming.mixing_m[at] == pytest.approx(640.08)
    assert coming.transport_m_s[at] == pytest.approx(38.892 / 3.6)
    section = burn(coming, **(WRITTEN | {"rain_low_days": 1, "rain_in": 0.1}), **ARRANGED)
    held = section.body["b"].held.values()
    assert {h.answer.value for h in held} <= {"inside", "outside", "not known"}
    assert len(held) > 5


def test_it_is_never_a_task_and_its_sheet_says_no_more_than_inside_or_outside():
    entries = [
        thing("place", "g", kind="native-grass field", name="Bluestem",
              shape={"type": "Polygon", "coordinates": [SQUARE]}),
        thing("burn-prescription", "b", place="g", **WRITTEN, **ARRANGED),
    ]  # fmt: skip
    coming = forecast(temp_c=(12, 20.0))
    made = make_plan(Given(tract(*entries), given().tables, DAY, forecast=coming))
    assert not [i for i, t in made.sections["year"].body.tasks.items() if t.place == "g"]
    (sheet,) = [s for s in sheets(made) if s.id == "burn"]
    assert sheet.said[0].message.id == "burn-caution"
    assert [row[2] for row in sheet.tables[0].rows] == ["inside", "outside", "inside", "inside"]
    assert sheet.tables[0].rows[1][3:] == ("temperature", "68 °F", "8 °F over")
    with shown_in(Manner.METRIC):
        (sheet,) = [s for s in sheets(made) if s.id == "burn"]
        assert sheet.tables[0].rows[1][4:] == ("20.0 °C", "4.4 °C over")
    paths = made.nodes.path_of
    assert all(id(row[2].figure) in paths for row in sheet.tables[0].rows)
    assert made.as_json()["sections"]["burn"]["b"]["missing"] == []


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"rh_low_pct": 50, "rh_high_pct": 30}, "should not be below"),
        ({"wind_high_mph": 12}, "needs wind_at"),
        ({"rain_low_days": 2}, "need rain_in"),
        ({"wind_first_deg": 200}, "stand together"),
        ({"permit_starts": "2022-03-02", "permit_ends": "2022-03-01"}, "permit_ends"),
    ],
)
def test_a_prescription_that_says_two_things_is_refused(wrong, told):
    from fencerow.words import BadInput

    with pytest.raises(BadInput, match=told):
        thing("burn-prescription", "b", place="g", **wrong)

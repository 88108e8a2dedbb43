"""Spray hours: a limit that is broken closes, one that is not known opens nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.weather.delta_t import delta_t
from fencerow.science.weather.humidity import saturation_pressure, vapour_from_wet_bulb
from fencerow.science.weather.spray_hours import (
    Sky,
    SprayLimits,
    inversion_hours,
    spray_hours,
    stretches,
)

LIMITS = SprayLimits(1.34, 3.58, 28.0, 2.0, 10.0, 0.25, 2.0, 1.79, 0.5)
FAIR = {"temp_c": 20.0, "rh_pct": 50.0, "wind_m_s": 2.5, "gust_m_s": np.nan,
        "cloud_share": 0.2, "rain_mm": 0.0}  # fmt: skip


def sky(hours=6, **changed):
    rows = {name: np.full(hours, value) for name, value in FAIR.items()}
    for name, values in changed.items():
        rows[name][: len(values)] = values
    return Sky(**rows)


def of(hours=6, low_sun=False, limits=LIMITS, **changed):
    return spray_hours(sky(hours, **changed), np.full(hours, low_sun), limits)


def test_rain_closes_its_hour_and_the_two_before_it():
    found = of(rain_mm=[0, 0, 0, 5.0])
    assert found.why.tolist()[:4] == ["", "rain-after", "rain-after", "rain"]


def test_where_the_rain_ends_the_hours_before_are_not_known():
    """Rain beyond what is forecast is not known, and never none."""
    found = of(rain_mm=[0, 0, 0, 0, np.nan, np.nan])
    assert found.state.tolist() == ["open"] * 2 + ["unknown"] * 4
    assert found.why[-1] == "rain"


def test_a_gust_over_the_limit_closes():
    assert of(1, gust_m_s=[9.0], limits=LIMITS._replace(rain_free_h=0)).why[0] == "wind-high"


@pytest.mark.parametrize(
    ("changed", "state", "why"),
    [
        ({}, "open", ""),
        ({"wind_m_s": [1.5]}, "closed", "inversion"),
        ({"wind_m_s": [1.5], "cloud_share": [0.9]}, "open", ""),
        ({"wind_m_s": [1.5], "cloud_share": [np.nan]}, "unknown", "cloud"),
        ({"wind_m_s": [np.nan]}, "unknown", "cloud"),
        ({"cloud_share": [np.nan]}, "open", ""),
    ],
)
def test_an_inversion_wants_low_sun_clear_sky_and_little_wind(changed, state, why):
    found = of(1, low_sun=True, limits=LIMITS._replace(rain_free_h=0), **changed)
    assert (found.state[0], found.why[0]) == (state, why)


def test_a_label_may_close_the_low_sun_in_any_weather():
    always = LIMITS._replace(rain_free_h=0, inversion_always=True)
    assert of(1, low_sun=True, limits=always, cloud_share=[1.0]).why[0] == "inversion"
    unknown = spray_hours(sky(1), None, always)
    assert (unknown.state[0], unknown.why[0]) == ("unknown", "sun")


def test_without_a_sun_calm_is_never_called_open():
    found = spray_hours(sky(2, wind_m_s=[1.5, 2.5]), None, LIMITS._replace(rain_free_h=0))
    assert found.state.tolist() == ["unknown", "open"]


values = st.one_of(st.just(np.nan), st.floats(0, 12))


@settings(max_examples=40)
@given(st.lists(st.tuples(values, values), min_size=1, max_size=8), st.integers(0, 4))
def test_not_knowing_more_opens_no_hour(pairs, hours):
    """Whatever is left out, a closed hour does not open, and an open one does not close."""
    wind, rain = (np.array(v, dtype=float) for v in zip(*pairs, strict=True))
    limits = LIMITS._replace(rain_free_h=float(hours))
    less = of(len(pairs), limits=limits, wind_m_s=wind, rain_mm=rain)
    full = of(len(pairs), limits=limits, wind_m_s=np.nan_to_num(wind, nan=2.5),
              rain_mm=np.nan_to_num(rain))  # fmt: skip
    known = less.state != "unknown"
    assert (less.state[known] == full.state[known]).all()


@settings(max_examples=40)
@given(st.floats(-5, 45), st.floats(2, 99))
def test_the_wet_bulb_gives_the_vapour_back(temp, rh):
    wet = temp - delta_t(temp, rh)
    vapour = vapour_from_wet_bulb(saturation_pressure(wet), 101.3, temp, wet)
    assert vapour == pytest.approx(saturation_pressure(temp) * rh / 100, abs=1e-6)


def test_the_low_sun_of_the_clock_change_is_that_of_universal_time():
    """Moments are UTC: a local day of 23 or 25 hours moves no inversion."""
    middles = np.arange("2027-11-06T00:30", "2027-11-08T00:30", 60, dtype="datetime64[m]")
    rises = np.array(["2027-11-06T13:00", "2027-11-07T13:00"], "datetime64[s]")
    sets = np.array(["2027-11-05T23:00", "2027-11-06T23:00"], "datetime64[s]")
    low = inversion_hours(middles, rises, sets, 3, 2)
    assert int(low[:24].sum()) == 15 + 4
    assert int(low[24:].sum()) == 15


def test_stretches_part_at_midnight_and_where_the_reason_changes():
    found = of(6, wind_m_s=[5, 5, 2.5, 2.5, 0.5, 0.5], limits=LIMITS._replace(rain_free_h=0))
    told = [(s.first, s.end, s.state, s.why) for s in stretches(found, breaks=[3])]
    assert told == [
        (0, 2, "closed", "wind-high"), (2, 3, "open", ""), (3, 4, "open", ""),
        (4, 6, "closed", "wind-low"),
    ]  # fmt: skip

"""The slope's own wind: which way, and only where it is said to show."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.ground.slope_wind import (
    SlopeWind,
    canopy_share,
    slope_strength,
    wind_at,
)

HOW = SlopeWind()


@pytest.mark.parametrize("falls_to", [0, 45, 135, 270])
def test_in_still_air_shade_slides_down_and_sun_draws_up(falls_to):
    down = wind_at(0, 0, 0.0, falls_to, 10, -1.5, 1.0, HOW)
    assert down.from_deg == pytest.approx((falls_to + 180) % 360)
    assert down.wind_m_s == pytest.approx(1.5)
    up = wind_at(0, 0, 0.0, falls_to, 10, 2.0, 1.0, HOW)
    assert np.cos(np.radians(up.from_deg - falls_to)) == pytest.approx(1)
    assert up.wind_m_s == pytest.approx(2.0)


def test_a_light_west_wind_over_a_south_slope_in_shade_comes_from_the_northwest():
    found = wind_at(270, 1.5, 0.2, 180, 8, -1.5, 1.0, HOW)
    assert found.from_deg == pytest.approx(315)
    assert found.wind_m_s == pytest.approx(1.5 * np.sqrt(2))


@pytest.mark.parametrize(
    ("wind_m_s", "cloud", "falls_to", "slope"),
    [(4.5, 0.0, 180, 8), (1.0, 0.6, 180, 8), (1.0, 0.0, 180, 2), (1.0, 0.0, np.nan, 0)],
)
def test_none_in_wind_cloud_or_on_gentle_ground(wind_m_s, cloud, falls_to, slope):
    found = wind_at(270, wind_m_s, cloud, falls_to, slope, -1.5, 0.5, HOW)
    assert found.from_deg == pytest.approx(270)
    assert found.wind_m_s == pytest.approx(wind_m_s / 2)


def test_air_stands_between_the_two():
    """Shade: still for half an hour, then down. Sun: down for as long, then growing upward."""
    nan = np.nan
    since_sun = [nan, nan, nan, 0.0, 0.4, 0.5, 1.0, 1.5, 6.0]
    since_shade = [0.0, 0.4, 0.5, nan, nan, nan, nan, nan, nan]
    found = slope_strength(since_sun, since_shade, HOW)
    assert found.tolist() == [0, 0, -1.5, -1.5, -1.5, 0, 1, 2, 2]


@given(st.floats(0, 360), st.floats(0, 10), st.floats(0, 360), st.floats(-2, 2))
def test_turning_everything_turns_the_answer(from_deg, wind_m_s, falls_to, strength):
    found = wind_at(from_deg, wind_m_s, 0.1, falls_to, 9, strength, 0.7, HOW)
    turned = wind_at(from_deg + 90, wind_m_s, 0.1, falls_to + 90, 9, strength, 0.7, HOW)
    assert turned.wind_m_s == pytest.approx(found.wind_m_s, abs=1e-9)
    if found.wind_m_s > 1e-6:
        assert np.cos(np.radians(turned.from_deg - found.from_deg - 90)) == pytest.approx(1)


@given(st.floats(0.5, 30), st.floats(0, 30), st.floats(1, 4))
def test_a_canopy_never_speeds_wind_up(height, canopy, drag):
    share = float(canopy_share(height, canopy, drag))
    assert 0 < share <= 1
    assert share == 1 or canopy > height

"""Position, horizon and steepness: shapes whose answer is known, and a real mountain."""

import matplotlib.cbook as cbook
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.ground.horizon import horizon, sun_hours, sunlit
from fencerow.science.ground.position import (
    Position,
    position_m,
    positions,
    ruggedness_m,
    saddles,
)
from fencerow.science.ground.slope import horn_gradient, slope_deg
from fencerow.science.ground.terrain import steepness_deg

CELL = 5.0


@pytest.fixture(scope="module")
def mountain():
    """Ground around the highest cell of the Jacksboro DEM, which ships with matplotlib."""
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as dem:
        return dem["elevation"][250:344, 170:290].astype(np.float32)


def test_a_textbook_window():
    """Position and ruggedness by their definitions (Riley 1999) on Horn's steep window."""
    z = [[50, 45, 50], [30, 30, 30], [8, 10, 10]]
    assert position_m(z, 1, 1.5)[1, 1] == pytest.approx(0.875)
    assert ruggedness_m(z)[1, 1] == pytest.approx(48.052, abs=1e-3)
    assert np.isnan(ruggedness_m(z)[0]).all()


@settings(max_examples=6)
@given(st.integers(0, 99), st.floats(1, 3), st.floats(0, 3))
def test_position_is_the_mean_of_a_ring_counted_cell_by_cell(seed, inner, wider):
    z = np.random.default_rng(seed).random((11, 13)) * 9
    z[4, 5] = np.nan
    outer = inner + wider
    i, j = np.indices(z.shape)
    expect = np.full(z.shape, np.nan)
    for row, column in np.argwhere(np.isfinite(z)):
        far = np.hypot(i - row, j - column)
        around = z[(far >= inner) & (far <= outer)]
        if np.isfinite(around).any():
            expect[row, column] = z[row, column] - np.nanmean(around)
    assert position_m(z, inner, outer) == pytest.approx(expect, abs=1e-9, nan_ok=True)


def test_a_ring_holds_something():
    with pytest.raises(ValueError, match="a ring"):
        position_m(np.zeros((5, 5)), 3, 2)


def test_positions_across_a_valley_with_a_bench():
    """A ridge, a slope with a level step in it, a valley floor."""
    profile = np.concatenate([
        np.full(8, 100.0), np.linspace(96, 72, 12), np.full(8, 70.0), np.linspace(66, 42, 12),
        np.full(10, 40.0),
    ])  # fmt: skip
    z = np.repeat(profile[None], 30, 0)
    found = positions(z, steepness_deg(z, CELL), CELL, 1, 8)[15]
    assert found[6] in (Position.RIDGE, Position.UPPER_SLOPE)
    assert found[24] == Position.BENCH
    assert found[14] == Position.MIDDLE_SLOPE
    assert found[40] == Position.VALLEY
    assert found[47] == Position.FLAT
    assert found[0] == Position.UNKNOWN


def test_a_saddle_rises_two_ways_and_falls_the_two_between():
    i, j = np.mgrid[-12:13, -12:13] * CELL
    for z in (i * j / 50, (i * i - j * j) / 50):
        assert saddles(z, CELL, 2)[12, 12]
        assert positions(z, steepness_deg(z, CELL), CELL, 2, 6)[12, 12] == Position.SADDLE
    for z in (i * i + j * j, -i * i - j * j, i * i, 3 * i + j):
        assert not saddles(z / 50, CELL, 2).any()


def test_a_real_mountain_has_its_top_on_a_ridge_and_its_foot_in_a_valley(mountain):
    found = positions(mountain, steepness_deg(mountain, 83.0), 83.0, 1, 8)
    top, foot = (np.unravel_index(k, mountain.shape) for k in (mountain.argmax(), 0))
    assert found[top] == Position.RIDGE
    assert found[foot] == Position.UNKNOWN  # the border has no slope
    assert 0.001 < (found == Position.SADDLE).mean() < 0.1


def test_steepness_of_a_real_mountain(mountain):
    """Square cells here, so not the published figure of that ground: Horn's, cell by cell."""
    plain = slope_deg(*horn_gradient(mountain, 83.0))
    assert steepness_deg(mountain, 83.0) == pytest.approx(plain, abs=1e-3, nan_ok=True)


def test_a_wall_stands_as_high_on_the_sky_as_it_is():
    z = np.zeros((30, 60))
    z[:, 40] = 10
    seen = horizon(z, CELL, 200, 8)
    assert seen.toward(90)[15, 20] == pytest.approx(np.degrees(np.arctan(10 / 100)), abs=1e-3)
    # aslant it is farther off, as is the shoulder of the ground between two cells
    assert seen.toward(45)[25, 35] == pytest.approx(
        np.degrees(np.arctan(10 / (25 * np.sqrt(2)))), abs=1e-3
    )
    assert seen.toward(270)[15, 20] == 0
    assert seen.toward(67.5)[25, 35] == pytest.approx(
        (seen.toward(45) + seen.toward(90))[25, 35] / 2
    )


@settings(max_examples=8)
@given(st.integers(0, 99))
def test_the_horizon_turns_with_the_ground(seed):
    z = np.random.default_rng(seed).random((12, 15)) * 9
    seen, turned = horizon(z, CELL, 40, 8), horizon(np.rot90(z), CELL, 40, 8)
    for n in range(8):
        assert turned.toward(45 * n - 90) == pytest.approx(np.rot90(seen.toward(45 * n)), abs=1e-4)


def test_unknown_ground_hides_no_sun():
    z = np.zeros((9, 30))
    z[:, 20], z[:, 21] = np.nan, 9
    assert horizon(z, CELL, 100, 4).toward(90)[4, 10] == pytest.approx(
        np.degrees(np.arctan(9 / 55)), abs=1e-3
    )


def test_sun_over_a_ridge_comes_late_and_leaves_early():
    z = np.zeros((9, 41))
    z[:, 40], z[:, 0] = 20, 20
    seen = horizon(z, CELL, 300, 4)
    hours = np.arange(6, 19)
    azimuth, altitude = np.where(hours < 12, 90.0, 270.0), 45 - 7.5 * np.abs(hours - 12.0)
    first, last = sun_hours(seen, hours, azimuth, altitude)
    # 11.3 degrees in the middle, 38.7 close under the eastern wall, and the same in the west
    assert (first[4, 20], last[4, 20]) == (8, 16)
    assert (first[4, 35], last[4, 35]) == (12, 17)
    assert (first[4, 5], last[4, 5]) == (7, 12)
    assert not sunlit(seen, 90, 11)[4, 20]

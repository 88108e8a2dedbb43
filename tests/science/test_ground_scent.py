"""Scent: each place and class of wind against the plume worked cell by cell."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.ground.plume import (
    Air,
    briggs,
    concentration,
    extent_m,
    gauss,
    sway_share,
    threshold,
)
from fencerow.science.ground.scent import (
    Field,
    Winds,
    along_wind,
    distinct,
    exposure,
    exposure_everywhere,
    runs_of,
)
from fencerow.science.ground.stability import A, B, C, D, E, F, insolation, radiation_index

CELL, REACH = 5.0, 60.0
AIR = Air()
STEADY = Air(sway_m_s=0.0)


def deer_ground(seed, rows=40, columns=46):
    dice = np.random.default_rng(seed)
    return dice.integers(1, 4, (rows, columns)) * (dice.random((rows, columns)) < 0.3)


def winds(seed, count=12):
    dice = np.random.default_rng(seed)
    speeds = dice.choice([0.0, 0.8, 1.5, 2.1, 3.1, 5.0], count)
    return Winds(dice.random(count) * 360, speeds, dice.integers(0, 6, count))


def cell_by_cell(deer, blowing, row, column, air, reach):
    """What one place reaches in each class of wind, from the formula at every cell."""
    i, j = np.indices(deer.shape)
    south, east = (i - row) * CELL, (j - column) * CELL
    for k in range(blowing.from_deg.size):
        ahead, aside = along_wind(south, east, blowing.from_deg[k])
        how = blowing.stability[k], blowing.wind_m_s[k]
        thick = concentration(*how, ahead, aside, air) >= threshold(reach, air)
        if blowing.wind_m_s[k] < air.calm_m_s:
            thick = np.hypot(south, east) <= reach / 2
        thick[row, column] = True
        yield deer[thick].sum()


@settings(max_examples=12)
@given(st.integers(0, 999), st.sampled_from([1.0, 6.0]))
def test_runs_say_what_the_plume_says_cell_by_cell(seed, source_m):
    deer, blowing, air = deer_ground(seed), winds(seed), Air(source_m=source_m)
    runs = runs_of(blowing, CELL, REACH, air)
    field = Field.of(deer, runs.reach)
    places = np.random.default_rng(seed).integers(0, 40, (2, 5))
    found = exposure(field, runs, *places)
    for n, (row, column) in enumerate(places.T):
        assert found[n].tolist() == list(cell_by_cell(deer, blowing, row, column, air, REACH))
    assert (exposure_everywhere(field, runs, 3)[places[0], places[1]] == found[:, 3]).all()


def test_where_scent_from_a_treestand_comes_down_thickest():
    """By the formula: class D at 74 m, F at 283 m, from 6 m in 1 m/s, nothing starting wide."""
    x = np.arange(1.0, 600)
    for stability, at_m, most in ((D, 74, 4.646e-3), (F, 283, 2.431e-3)):
        thick = gauss(briggs(stability, x), 1.0, 0.0, 6.0, 0.0)
        assert x[thick.argmax()] == pytest.approx(at_m, abs=1)
        assert thick.max() == pytest.approx(most, rel=0.005)


def test_the_day_that_the_reach_is_set_for():
    """By the formula: 200 m, class D, 3 m/s, source and nose at 1 m."""
    assert concentration(D, 3, 200, 0, Air(body_m=0)) == pytest.approx(6.307e-4, rel=1e-3)
    assert threshold(200, AIR) == pytest.approx(6.266e-4, rel=1e-3)


@pytest.mark.parametrize(
    ("stability", "wind_m_s", "ground_m", "stand_m"),
    [(A, 1, 107, 105), (B, 2, 114, 109), (C, 3, 139, 127), (D, 3, 200, 180), (D, 5, 151, 125),
     (E, 2, 398, 361), (F, 2, 698, 605), (F, 1, 1041, 970)],
)  # fmt: skip
def test_reach_scales_with_the_air(stability, wind_m_s, ground_m, stand_m):
    """Worked apart from the same formula, with no sway: reach of 200 m on the steady day."""
    least = threshold(200, STEADY)
    assert extent_m(stability, wind_m_s, least, STEADY)[0] == ground_m
    high = STEADY._replace(source_m=6.0)
    assert extent_m(stability, wind_m_s, least, high)[0] == stand_m


def test_light_wind_sways_a_plume_and_a_steady_one_does_not():
    least = threshold(200, AIR)
    assert extent_m(D, 3.0, least, AIR) == extent_m(D, 3.0, least, STEADY)
    swaying, steady = extent_m(F, 1.0, least, AIR), extent_m(F, 1.0, least, STEADY)
    assert swaying[0] < steady[0] / 2
    assert swaying[1] > steady[1]
    assert sway_share([0.5, 1, 1.75, 2.5, 5], AIR).tolist() == [1, 1, 0.5, 0, 0]


def test_calm_reaches_half_the_reach_all_round():
    runs = runs_of(Winds(np.zeros(1), np.zeros(1), np.array([F])), 1.0, 60.0, AIR)
    cells = (runs.end - runs.first).sum()
    assert cells == pytest.approx(np.pi * 30**2, rel=0.01)


@settings(max_examples=12)
@given(st.integers(0, 999))
def test_turned_and_mirrored_the_same_ground_is_reached(seed):
    deer, blowing = deer_ground(seed), winds(seed, 6)
    runs = runs_of(blowing, CELL, REACH, AIR)
    field = Field.of(deer, runs.reach)
    found = exposure(field, runs, [11], [30])
    # a quarter turn to the left takes east to north
    left = blowing._replace(from_deg=(blowing.from_deg - 90) % 360)
    runs = runs_of(left, CELL, REACH, AIR)
    turned = exposure(Field.of(np.rot90(deer), runs.reach), runs, [45 - 30], [11])
    mirrored = blowing._replace(from_deg=-blowing.from_deg % 360)
    runs = runs_of(mirrored, CELL, REACH, AIR)
    flipped = exposure(Field.of(deer[:, ::-1], runs.reach), runs, [11], [45 - 30])
    assert turned == pytest.approx(found, abs=6)  # a cell or two on the very edge of a plume
    assert flipped == pytest.approx(found, abs=6)


@settings(max_examples=12)
@given(st.integers(0, 999), st.floats(20, 60), st.floats(0, 40))
def test_a_longer_reach_and_more_deer_ground_never_reach_less(seed, reach, more):
    deer, blowing = deer_ground(seed), winds(seed, 6)
    short, long_ = (runs_of(blowing, CELL, r, AIR) for r in (reach, reach + more))
    field = Field.of(deer, long_.reach)
    assert (exposure(field, short, [20], [20]) <= exposure(field, long_, [20], [20])).all()
    fuller = Field.of(deer + deer_ground(seed + 1), long_.reach)
    assert (exposure(field, short, [20], [20]) <= exposure(fuller, short, [20], [20])).all()


def test_hours_are_gathered_into_classes():
    blowing, which = distinct([350, 90, 350, 12, 99], [3, 2, 3, 0, 0], [D, E, D, F, F])
    assert blowing.from_deg.size == 3
    assert blowing.from_deg[which].tolist() == [350, 90, 350, 0, 0]
    assert np.bincount(which).tolist() == [2, 1, 2]


def test_net_radiation_index():
    """EPA-454/R-99-005, section 6.4.1: the sun's height, and cloud by night."""
    assert insolation([10, 15, 16, 35, 36, 60, 61]).tolist() == [1, 1, 2, 2, 3, 3, 4]
    assert radiation_index(True, -10, [0.4, 0.5, 1.0]).tolist() == [-2, -1, -1]
    assert radiation_index([True, False], 50, 1.0, 1500.0).tolist() == [0, 0]
    assert radiation_index(False, 50, [0.5, 0.6, 0.6, 0.6], [1e9, 1500, 3000, 1e9]).tolist() == [
        3, 1, 2, 3,
    ]  # fmt: skip

"""A season at a place against hours counted one by one, and the best few against all sets."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.ground.plume import Air, concentration, threshold
from fencerow.science.ground.scent import along_wind, distinct
from fencerow.science.ground.siting import OFF, chance_unsmelled, choose, season

CELL, REACH, AIR = 5.0, 50.0, Air()
DICE = np.random.default_rng(2)
HOURS = (10.0 * DICE.integers(0, 36, 40), DICE.choice([0, 1.5, 3.1], 40), DICE.integers(2, 6, 40))
DEER = (DICE.random((30, 34)) < 0.15).astype(float)


def hour_by_hour(row, column, most, off_deg):
    """Hours right at one place, each worked from the formula over all cells."""
    i, j = np.indices(DEER.shape)
    south, east = (i - row) * CELL, (j - column) * CELL
    weights = np.exp(-(OFF**2) / 2) / np.exp(-(OFF**2) / 2).sum()
    for from_deg, wind, stability in zip(*HOURS, strict=True):
        right = 0.0
        for off, weight in zip(OFF, weights, strict=True):
            if wind < AIR.calm_m_s:
                reached = np.hypot(south, east) <= REACH / 2
            else:
                ahead, aside = along_wind(south, east, from_deg + off * off_deg)
                thick = concentration(stability, wind, ahead, aside, AIR)
                reached = thick >= threshold(REACH, AIR)
                reached[row, column] = True
            right += weight * (DEER[reached].sum() <= most)
        yield right


def test_a_season_is_its_hours_one_by_one():
    winds, which = distinct(*HOURS)
    places = [(8, 9), (20, 30), (2, 2)]
    chance = chance_unsmelled(DEER, CELL, winds, *zip(*places, strict=True), REACH, 3, AIR, 10)
    found = season({"wind": chance[:, which]}, np.ones(40))
    expect = [np.mean(list(hour_by_hour(*place, 3, 10))) for place in places]
    assert found.right == pytest.approx(expect)
    assert 0.05 < found.right.min() < found.right.max() <= 1
    assert found.right + found.fails["wind"] == pytest.approx(1)


def test_it_falls_with_the_reach_and_with_more_deer_ground():
    winds, which = distinct(*HOURS)
    rows, columns = DICE.integers(0, 30, (2, 12))

    def share(deer, reach):
        chance = chance_unsmelled(deer, CELL, winds, rows, columns, reach, 3, AIR)
        return season({"wind": chance[:, which]}, np.ones(40)).right

    assert (share(DEER, 30) >= share(DEER, 60)).all()
    assert (share(DEER, 60) >= share(DEER + (DICE.random(DEER.shape) < 0.1), 60)).all()
    assert share(DEER, 30).mean() > share(DEER, 60).mean()


def test_turned_with_the_wind_it_is_the_same():
    winds, which = distinct(*HOURS)
    left = winds._replace(from_deg=(winds.from_deg - 90) % 360)
    here = chance_unsmelled(DEER, CELL, winds, [8], [9], REACH, 3, AIR)
    turned = chance_unsmelled(np.rot90(DEER), CELL, left, [33 - 9], [8], REACH, 3, AIR)
    weights = np.bincount(which)
    assert season({"wind": turned}, weights).right == pytest.approx(
        season({"wind": here}, weights).right, abs=0.03
    )  # a cell on the very edge of a plume may fall either way


def test_what_fails_first_is_what_an_hour_is_counted_under():
    chances = {"wind": [[1, 1, 0, 0]], "sight": [[1, 0, 0, 1]], "way in": [[0.5], [1.0]]}
    found = season(chances, [1, 1, 1, 1])
    assert found.right.tolist() == [0.125, 0.25]
    assert {r: f.tolist() for r, f in found.fails.items()} == {
        "wind": [0.5, 0.5], "sight": [0.25, 0.25], "way in": [0.125, 0],
    }  # fmt: skip
    with pytest.raises(ValueError, match="hours that count"):
        season(chances, [0, 0, 0, 0])


@settings(max_examples=30)
@given(st.integers(0, 9999), st.integers(1, 3))
def test_the_few_are_near_the_best_and_none_beats_the_bound(seed, count):
    dice = np.random.default_rng(seed)
    chance, weights = dice.random((7, 9)) * (dice.random((7, 9)) < 0.4), dice.random(9)
    found = choose(chance, weights, count)
    best = max(chance[list(some)].max(axis=0) @ weights for some in combinations(range(7), count))
    assert found.value <= best + 1e-9
    assert best <= found.bound + 1e-9
    assert found.value >= (1 - 1 / np.e) * best - 1e-9
    assert found.adds.sum() == pytest.approx(found.value)
    assert (np.diff(found.adds) <= 1e-9).all()
    assert len(set(found.places.tolist())) == len(found.places) == count or found.value == best

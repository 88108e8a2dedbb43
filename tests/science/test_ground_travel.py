"""The cheapest way against a plain search, and what a way and a corridor must be."""

import heapq
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.ground.travel import STEPS, cheapest, corridor, step_cost, way_to
from fencerow.science.ground.walking import tobler_km_h

CELL = 3.0


def ground(seed, rows=12, columns=15, shut=0.15):
    dice = np.random.default_rng(seed)
    cost = 1 + 9 * dice.random((rows, columns))
    cost[dice.random(cost.shape) < shut] = np.inf
    cost[5, 5] = 2
    return cost, 40 + 5 * dice.random((rows, columns))


def searched(cost, cell_m, row, column, z=None):
    """Dijkstra 1959, as he wrote it, with a heap."""
    spent, heap = np.full(cost.shape, np.inf), [(0.0, row, column)]
    while heap:
        so_far, i, j = heapq.heappop(heap)
        if so_far >= spent[i, j]:
            continue
        spent[i, j] = so_far
        for down, right in STEPS:
            k, m = i + down, j + right
            if 0 <= k < cost.shape[0] and 0 <= m < cost.shape[1] and np.isfinite(cost[k, m]):
                climb = None if z is None else z[k, m] - z[i, j]
                step = step_cost(cost[i, j], cost[k, m], cell_m * np.hypot(down, right), climb)
                heapq.heappush(heap, (so_far + float(step), k, m))
    return spent


def test_round_a_wall():
    """scikit-image 0.26, MCP_Geometric, run once: 6.82843, 9.65685, 4.82843."""
    cost = np.ones((5, 5))
    cost[2, :4] = 10
    spent = cheapest(cost, 1.0, 0, 0)
    assert [spent[4, 4], spent[4, 0], spent[2, 4]] == pytest.approx(
        [6.82843, 9.65685, 4.82843], abs=1e-5
    )
    assert way_to(spent, cost, 1.0, 2, 4) == [(0, 0), (0, 1), (0, 2), (1, 3), (2, 4)]


@settings(max_examples=12)
@given(st.integers(0, 999), st.booleans())
def test_as_a_plain_search_finds_it(seed, on_foot):
    cost, z = ground(seed)
    z = z if on_foot else None
    expect = searched(cost, CELL, 5, 5, z)
    assert cheapest(cost, CELL, 5, 5, z) == pytest.approx(expect, rel=1e-5)


@settings(max_examples=12)
@given(st.integers(0, 999), st.booleans())
def test_a_way_costs_what_is_said_step_by_step(seed, on_foot):
    cost, z = ground(seed)
    z = z if on_foot else None
    spent = cheapest(cost, CELL, 5, 5, z)
    way = way_to(spent, cost, CELL, 11, 14, z)
    if not np.isfinite(spent[11, 14]):
        assert way == []
        return
    assert (way[0], way[-1]) == ((5, 5), (11, 14))
    total = 0.0
    for (i, j), (k, m) in pairwise(way):
        climb = None if z is None else z[k, m] - z[i, j]
        total += step_cost(cost[i, j], cost[k, m], CELL * np.hypot(k - i, m - j), climb)
    assert total == pytest.approx(spent[11, 14], rel=1e-5)


@settings(max_examples=8)
@given(st.integers(0, 999))
def test_turned_ground_and_dearer_ground(seed):
    cost, _ = ground(seed, shut=0)
    spent = cheapest(cost, CELL, 5, 5)
    turned = cheapest(np.rot90(cost), CELL, 14 - 5, 5)
    assert turned == pytest.approx(np.rot90(spent), rel=1e-5)
    assert (cheapest(cost + 1, CELL, 5, 5) >= spent).all()


def test_a_corridor_is_nothing_on_the_way_itself_and_more_beside_it():
    cost, _ = ground(4, shut=0)
    here, there = cheapest(cost, CELL, 5, 5), cheapest(cost, CELL, 11, 14)
    more = corridor(here, there)
    way = way_to(here, cost, CELL, 11, 14)
    assert [more[c] for c in way] == pytest.approx([0] * len(way), abs=1e-4)
    assert more.min() == 0
    assert (more > 1).any()
    shut = np.where(np.arange(15) == 8, np.inf, cost)
    assert np.isinf(corridor(cheapest(shut, CELL, 5, 5), cheapest(shut, CELL, 11, 14))).all()


def test_uphill_in_is_slower_than_downhill_out():
    """Tobler 1993: 3.549 km/h up a rise of 0.1; down it 5.037."""
    z = np.repeat(np.arange(11.0)[None] * 0.3, 3, 0)
    cost = np.ones(z.shape)
    up, down = cheapest(cost, CELL, 1, 0, z)[1, 10], cheapest(cost, CELL, 1, 10, z)[1, 0]
    assert up == pytest.approx(30 / 1000 * 60 / tobler_km_h(0.1), rel=1e-4)
    assert down == pytest.approx(30 / 1000 * 60 / tobler_km_h(-0.1), rel=1e-4)
    assert up > down


def test_nobody_walks_off_a_cliff_or_over_unknown_ground():
    z = np.zeros((3, 9))
    z[:, 5:] = 10
    assert np.isinf(cheapest(np.ones(z.shape), CELL, 1, 0, z)[:, 5:]).all()
    z[:, 5:], z[:, 4] = 0, np.nan
    assert np.isinf(cheapest(np.ones(z.shape), CELL, 1, 0, z)[:, 4:]).all()


def test_a_cost_is_above_nothing():
    with pytest.raises(ValueError, match="above 0"):
        cheapest(np.zeros((3, 3)), CELL, 1, 1)

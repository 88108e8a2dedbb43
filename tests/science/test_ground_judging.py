"""Hours right: against a plain loop over hours and cells, turned, mirrored; what must follow."""

from math import exp, hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from fencerow.science.ground import approach, choosing, drift, judging
from fencerow.science.ground.deer_ground import near, pinched, signed, travelled
from fencerow.science.ground.hour_classes import (
    WAYS,
    air_rows,
    around,
    classed,
    runs_together,
    turned,
)
from fencerow.science.ground.judging import Why
from fencerow.science.ground.plume import Air, concentration, extent_m, threshold
from fencerow.science.ground.scent import Field, exposure, reached
from fencerow.science.ground.scrape_check import unsmelled_winds
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, WRONG, chance_hours
from fencerow.science.ground.travel import cheapest, way_to

CELL, REACH, MOST, ERROR = 10.0, 90.0, 2.0, 15.0
SIZE = 25
HOURS = 24


def _tract(seed):
    """Cover, food and travel on a square of ground, three places, and a day of hours."""
    draw = np.random.default_rng(seed)
    groups = (draw.random((3, SIZE, SIZE)) < 0.06).astype(float)
    places = draw.integers(6, SIZE - 6, (2, 3))
    from_deg = draw.integers(0, 36, HOURS) * 10.0
    speed = draw.choice([0.0, 1.0, 2.0, 3.0, 5.0], HOURS)
    return groups, places, from_deg, speed, draw.integers(1, 6, HOURS)


def _chances(groups, places, from_deg, speed, stability, reach=REACH, most=MOST):
    airs, at = classed(from_deg, speed, stability)
    rows = [
        air_rows(*air, CELL, reach, Air())
        for air in zip(airs.wind_m_s.tolist(), airs.stability.tolist(), strict=True)
    ]
    runs = runs_together(rows)
    told = [exposure(Field.of(g, runs.reach), runs, *places) for g in groups]
    scent = judging.scented(*told, most, ERROR)
    count = places.shape[1]
    hours = type(at)(np.tile(at.air, (count, 1)), np.tile(at.way, (count, 1)))
    fine = np.ones(hours.air.shape, bool)
    return judging.judge(scent, hours, airs.wind_m_s == 0, fine, fine).chance


def _plain(groups, place, from_deg, speed, stability):
    """One hour at one place: each offset, each cell, by the plume itself."""
    least = threshold(REACH, Air())
    weights = [exp(-0.5 * (k * 10 / ERROR) ** 2) for k in (-2, -1, 0, 1, 2)]
    found = dict.fromkeys(Why, 0.0)
    for k, weight in zip((-2, -1, 0, 1, 2), weights, strict=True):
        to = np.radians(from_deg + 10 * k + 180)
        sums = [0.0, 0.0, 0.0]
        for row in range(SIZE):
            for column in range(SIZE):
                south, east = (row - place[0]) * CELL, (column - place[1]) * CELL
                ahead = east * np.sin(to) - south * np.cos(to)
                aside = east * np.cos(to) + south * np.sin(to)
                if speed == 0:
                    smelled = hypot(south, east) <= REACH / 2
                else:
                    here = south == east == 0
                    smelled = here or (
                        ahead > 1e-9
                        and concentration(stability, speed, ahead, aside, Air()) >= least
                    )
                if smelled:
                    sums = [s + g[row, column] for s, g in zip(sums, groups, strict=True)]
        reached = np.cumsum(sums)
        over = [n for n in range(3) if reached[n] > MOST]
        why = Why.RIGHT
        if over:
            why = Why.CALM if speed == 0 else (Why.COVER, Why.FOOD, Why.TRAVEL)[over[0]]
        found[why] += weight / sum(weights)
    return found


def test_equals_a_plain_loop_over_hours_offsets_and_cells():
    groups, places, from_deg, speed, stability = _tract(3)
    chance = _chances(groups, places, from_deg, speed, stability)
    wrong = 0
    for hour in range(0, HOURS, 6):
        said = _plain(groups, places[:, 0], from_deg[hour], speed[hour], stability[hour])
        for why in Why:
            wrong += abs(chance[why, 0, hour] - said[why]) > 1e-9
    assert wrong == 0
    assert 0.05 < chance[Why.RIGHT].mean() < 0.95  # the case has something to say


@pytest.mark.parametrize("seed", range(2))
def test_chances_come_to_one_and_calms_are_hours(seed):
    chance = _chances(*_tract(seed))
    assert np.allclose(chance.sum(axis=0), 1)
    calm = _tract(seed)[3] == 0
    assert not chance[Why.COVER][:, calm].any()
    assert not chance[Why.CALM][:, ~calm].any()


@pytest.mark.parametrize("seed", range(2))
def test_more_is_right_when_scent_carries_less_and_less_when_cover_is_added(seed):
    groups, *rest = _tract(seed)
    right = _chances(groups, *rest)[Why.RIGHT]
    near_ = _chances(groups, *rest, reach=45.0)[Why.RIGHT]
    assert (near_ >= right - 1e-9).all()
    assert near_.sum() > right.sum()
    more = groups.copy()
    more[0, 5:12, 5:25] = 1
    fewer = _chances(more, *rest)[Why.RIGHT]
    assert (fewer <= right + 1e-9).all()
    assert fewer.sum() < right.sum()


@pytest.mark.parametrize("seed", range(2))
def test_ground_and_wind_turned_or_mirrored_together_give_the_same(seed):
    groups, places, from_deg, speed, stability = _tract(seed)
    chance = _chances(groups, places, from_deg, speed, stability)
    clockwise = np.rot90(groups, -1, axes=(1, 2)).copy()
    moved = np.array([places[1], SIZE - 1 - places[0]])
    turned_ = _chances(clockwise, moved, (from_deg + 90) % 360, speed, stability)
    assert np.array_equal(turned_, chance)
    # so are the hours of a day, which are told by these chances
    for place in range(chance.shape[1]):
        told = chance_hours(chance[:, place], 0.8, 0.5)
        assert told == chance_hours(turned_[:, place], 0.8, 0.5)
    flipped = groups[:, :, ::-1].copy()
    across = np.array([places[0], SIZE - 1 - places[1]])
    mirrored = _chances(flipped, across, -from_deg % 360, speed, stability)
    assert np.allclose(mirrored, chance, atol=1e-12)


def test_an_hour_stands_no_worse_with_a_better_chance():
    share = np.linspace(0, 1, 101)
    parts = np.stack([share, 1 - share])
    rank = [(WRONG, DOUBTFUL, RIGHT).index(h.state) for h in chance_hours(parts, 0.8, 0.5)]
    assert rank == sorted(rank)
    assert set(rank) == {0, 1, 2}


@pytest.mark.parametrize("sit", [(60, 0), (30, 40), (-20, 55)])
def test_a_scrape_turned_or_mirrored_with_its_wind_is_checked_alike(sit):
    """Yards east and north of the scrape, near the equator, where a degree is as long both ways."""
    rest = {"wanted": [(0, 360)], "reach_yd": 220, "near_yd": 33, "far_yd": 66, "aside_deg": 10}

    def winds(east, north):
        found = unsmelled_winds(_yards(east, north), _yards(0, 0), **rest)
        return found.holds(np.arange(0, 360, 10.0))

    east, north = sit
    assert winds(east, north).any()
    assert np.array_equal(winds(north, -east), np.roll(winds(east, north), 9))
    mirrored = np.roll(winds(east, north)[::-1], 1)
    assert np.array_equal(winds(-east, north), mirrored)


def _yards(east, north):
    return Point(east * 0.9144 / 111_320, north * 0.9144 / 110_574)


@pytest.mark.parametrize("stability", [1, 3, 5])
def test_turned_ground_is_what_the_wind_itself_reaches(stability):
    how, least = (stability, 2.0), threshold(REACH, Air())
    size = extent_m(*how, least, Air())
    masks = [around(reached(10.0 * k, Air(), how, size, CELL, least)) for k in range(WAYS)]
    for way in range(WAYS):
        mine, own = turned(masks[:5], way), masks[way]
        grow = max(mine.shape[0], own.shape[0])
        mine, own = (np.pad(m, (grow - m.shape[0]) // 2) for m in (mine, own))
        assert (mine != own).sum() <= 1  # a cell on the very edge


def test_sight_and_way_fail_only_what_scent_leaves():
    scent = judging.Scented(*(np.full((1, 1, WAYS), c) for c in (0.5, 0.3, 0.2, 0.0)))
    _, at = classed([90.0, 90.0, 90.0], [3.0, 3.0, 3.0], [3, 3, 3])
    hours = type(at)(at.air[None], at.way[None])
    chance = judging.judge(scent, hours, [False], [[1, 0, 1]], [[1, 1, 0]]).chance[:, 0]
    assert chance[Why.RIGHT].tolist() == [0.5, 0.0, 0.0]
    assert chance[Why.SEEN].tolist() == [0.0, 0.5, 0.0]
    assert chance[Why.WAY_IN].tolist() == [0.0, 0.0, 0.5]


def test_hours_are_classed_by_their_own_direction_and_nearest_speed():
    airs, at = classed([350.0, 354.9, 356.0, np.nan], [3.0, 2.4, 0.6, 0.0], [3, 3, 3, 0])
    assert at.way.tolist() == [35, 35, 0, 0]
    assert airs.wind_m_s[at.air].tolist() == [3.0, 2.0, 1.0, 0.0]


def test_wanted_winds_are_the_tens_of_degrees_that_are_good():
    chance = np.zeros(WAYS)
    chance[[34, 35, 0, 1]] = 0.5
    arcs = judging.wanted_winds(chance, 0.5)
    assert arcs.holds([336, 350, 0, 14]).all()
    assert not arcs.holds([330, 20, 180]).any()
    assert not judging.wanted_winds(chance, 0.6)


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6), count=st.integers(1, 3))
def test_lazy_choice_is_greedy_and_within_its_bound(seed, count):
    from itertools import combinations

    worth = np.random.default_rng(seed).random((6, 12)).round(2)
    found = choosing.best_set(worth, count)
    best, left = np.zeros(12), set(range(6))
    for place, added in zip(found.order, found.added, strict=True):
        gains = {p: np.maximum(worth[p] - best, 0).sum() for p in left}
        assert added == pytest.approx(max(gains.values()))
        best = np.maximum(best, worth[place])
        left.remove(place)
    optimum = max(worth[list(c)].max(axis=0).sum() for c in combinations(range(6), count))
    assert (1 - 1 / np.e) * optimum <= sum(found.added) + 1e-9
    assert sum(found.added) <= optimum + 1e-9 <= found.bound + 2e-9


def test_winds_that_no_place_serves():
    worth = [[1.0, 0.0, 0.0, 0.05], [0.2, 0.0, 0.0, 0.05]]
    arcs = choosing.unserved_winds(worth, [0, 90, 0, 270], [3, 3, 0, 3], 0.1)
    assert arcs.holds([90, 270]).all()
    assert not arcs.holds([0, 180]).any()


@pytest.mark.parametrize(
    ("went", "predicted", "error"), [(10, 350, 20), (350, 10, -20), (180, 0, -180), (90, 90, 0)]
)
def test_drift_error_goes_the_short_way_round(went, predicted, error):
    assert drift.drift_error_deg(went, predicted) == error


def test_tests_turn_the_wind_more_the_more_there_are():
    one, many = drift.local_turn_deg([30.0], 1), drift.local_turn_deg([30.0] * 9, 1)
    assert 0 < one < many < 30
    assert one == pytest.approx(15)  # two arrows of one length, 0 and 30 degrees
    assert drift.local_turn_deg([90.0, -90.0], 1) == pytest.approx(0)


def test_the_way_is_that_of_the_search_and_its_minutes_are_its_steps():
    draw = np.random.default_rng(5)
    slow, seen = 1 + draw.random((20, 24)), draw.random((20, 24)) * 0.5
    ground = draw.random((20, 24)).cumsum(axis=0)
    ways = approach.ways(slow, seen, 4.0, 10.0, ground, [2], [3])
    way = approach.walked(ways, slow, seen, 10.0, ground, 17, 20)
    price = slow * (1 + 4 * seen)
    assert list(way.cells) == way_to(
        ways.counted_min.astype(np.float32), price, 10.0, 17, 20, ground
    )
    spent = cheapest(price, 10.0, [2], [3], ground)[17, 20]
    assert way.minutes < spent
    assert way.minutes + 4 * way.exposed_min == pytest.approx(spent, rel=1e-4)


def test_a_walker_goes_round_what_sees_him_and_around_closed_ground():
    slow, seen = np.ones((21, 21)), np.zeros((21, 21))
    seen[10, 3:18] = 1
    level = np.zeros((21, 21))
    ways = approach.ways(slow, seen, 20.0, 10.0, level, [1], [10])
    assert approach.walked(ways, slow, seen, 10.0, level, 19, 10).exposed_min == 0
    slow[10, :] = np.inf
    ways = approach.ways(slow, seen, 20.0, 10.0, level, [1], [10])
    assert approach.walked(ways, slow, seen, 10.0, level, 19, 10) is None


def test_travel_runs_straight_between_cover_and_food_and_is_pinched_at_a_gap():
    cost = np.ones((21, 41))
    cost[:, 20] = 50
    cost[10, 20] = 1
    one, other = (np.array([10]), np.array([2])), (np.array([10]), np.array([38]))
    travel = travelled(cost, 10.0, [one], [other], 0.1)
    assert travel[10, 2:39] == pytest.approx(np.ones(37), abs=1e-5)
    assert travel[0].max() == 0
    assert travelled(cost, 10.0, [one], [other], 0.1, apart_m=300).max() == 0
    pinch = pinched(travel, 10.0, 50.0)
    assert np.unravel_index(pinch.argmax(), pinch.shape)[0] == 10
    assert near(travel, 10.0, 20.0, [10], [20])[0] > near(travel, 10.0, 20.0, [3], [20])[0]


def test_sign_raises_and_lowers_around_it_and_never_below_nothing():
    flat = np.full((11, 11), 0.2)
    up, down = signed(flat, 10.0, [(5, 5, 0.5)], 20.0), signed(flat, 10.0, [(5, 5, -0.5)], 20.0)
    assert up[5, 5] == pytest.approx(0.7)
    assert up[5, 7] == pytest.approx(0.2 + 0.5 * exp(-0.5))
    assert down.min() == 0

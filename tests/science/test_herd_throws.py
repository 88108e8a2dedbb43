"""Counts throw by throw: properties of the intervals, and the walk that stays inside."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from fencerow.science.ground.zigzag import spots_along
from fencerow.science.herd import counts_interval as sure
from fencerow.science.herd import frames

THROWS = st.lists(st.integers(0, 25), min_size=2, max_size=30)


@settings(max_examples=30)
@given(THROWS)
def test_the_frequency_lies_in_its_interval_and_more_of_the_same_narrows_it(hits):
    found = frames.frequency_in_throws(hits, 25)
    assert found == pytest.approx(100 * sum(hits) / (25 * len(hits)))
    few, many = (_between(hits * n) for n in (1, 4))
    assert few[0] - 1e-9 <= found <= few[1] + 1e-9
    assert many[1] - many[0] <= few[1] - few[0] + 1e-9


def _between(hits):
    found = frames.frequency_in_throws(hits, 25)
    error = frames.frames_error(hits, 1) * 100 / 25
    times = sure.times_error(len(hits), 90)
    return sure.least_pct(found, error, times), sure.most_pct(found, error, times)


@settings(max_examples=30)
@given(st.integers(1, 200), st.floats(0, 1))
def test_wilsons_interval_is_within_0_and_100_and_turns_over(looks, share):
    hits = round(share * looks)
    low, high = sure.least_share(hits, looks, 90), sure.most_share(hits, looks, 90)
    assert 0 <= low <= 100 * hits / looks + 1e-9
    assert 100 * hits / looks - 1e-9 <= high <= 100
    assert low == pytest.approx(100 - sure.most_share(looks - hits, looks, 90), abs=1e-9)


def test_as_many_throws_as_are_needed_bring_the_count_as_near_as_was_asked():
    # with a fixed t the half-width at n' throws is t s / root n', which is what was asked for
    needed = sure.throws_needed(10, 1.833, 6, 5)
    assert 1.833 * 6 * math.sqrt(10 / needed) == pytest.approx(5)


OUTLINES = {
    "long and slanting": Polygon(
        [(-90, 45), (-89.996, 45.002), (-89.9963, 45.0025), (-90.0003, 45.0005)]
    ),
    "an L": Polygon(
        [(0, 60), (0.004, 60), (0.004, 60.0005), (0.001, 60.0005), (0.001, 60.002), (0, 60.002)]
    ),
    "a strip three yards wide": box(10, -35, 10.004, -34.99998),
    "with a hole": box(0, 0, 0.002, 0.002) - box(0.0008, 0.0008, 0.0012, 0.0012),
    "in two parts": box(0, 0, 0.001, 0.001) | box(0.003, 0, 0.004, 0.001),
}


@pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES)
@pytest.mark.parametrize("spots", [1, 4, 10, 20])
def test_every_spot_of_a_walk_lies_inside(outline, spots):
    found = spots_along(outline, spots)
    assert len(found) == spots
    near = outline.buffer(1e-9)  # a tenth of a millimetre
    assert all(near.contains(Point(spot)) for spot in found)


def test_the_spots_are_spread_over_the_whole_and_never_crowd():
    field = OUTLINES["with a hole"]
    found = spots_along(field, 10)
    west, south, east, north = field.bounds
    across = [p[0] for p in found]
    assert min(across) < west + (east - west) / 5
    assert max(across) > east - (east - west) / 5
    apart = [math.dist(a, b) for a, b in pairwise(found)]
    assert min(apart) > (north - south) / 20

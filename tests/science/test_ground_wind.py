"""Winds of a sit in all quadrants, over north, in a calm, and against a count hour by hour."""

import math
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from fencerow.exchange.weather import read_weather
from fencerow.science.ground import sun, wind
from fencerow.science.ground.arcs import Arcs

SPEC = find_spec("pvlib")
GREENSBORO = Path(SPEC.submodule_search_locations[0]) / "data" / "723170TYA.CSV" if SPEC else Path()
SIT = Point(-90.6155, 47.3139)
bearings = st.floats(0, 359.99)


def away(bearing, yards, sit=SIT):
    to = Geodesic.WGS84.Direct(sit.y, sit.x, bearing, yards * 0.9144)
    return to["lon2"], to["lat2"]


def block(bearing, yards, half=20.0):
    centre = Point(away(bearing, yards))
    return Polygon([away(b, half, centre) for b in (45, 135, 225, 315)])


@given(st.floats(0, 360))
def test_downwind_of_downwind(from_deg):
    there = wind.downwind_deg(from_deg)
    assert 0 <= there < 360
    assert math.remainder(wind.downwind_deg(there) - from_deg, 360) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("cover_lies", "carried_by"),
    [(0, 180), (45, 225), (90, 270), (135, 315), (180, 0), (225, 45), (270, 90), (315, 135)],
)
def test_the_wind_that_carries_blows_from_the_other_side(cover_lies, carried_by):
    winds = wind.carrying_winds(SIT, block(cover_lies, 100), 220, 15)
    assert winds.holds(carried_by)
    assert winds.holds(carried_by + 360)
    assert not winds.holds([carried_by + 90, carried_by + 180, carried_by - 90]).any()


@given(bearings, st.floats(60, 200), bearings)
def test_carried_as_by_walking_downwind(lies, yards, from_deg):
    """Walk straight downwind, and to the half-width beside it: is the place crossed?"""
    shape = block(lies, yards)
    half_width = 15.0
    toward = from_deg + 180
    fan = Polygon([(SIT.x, SIT.y)] + [away(toward + a, 400) for a in np.linspace(-15, 15, 31)])
    margin = min(
        abs(math.remainder(
            Geodesic.WGS84.Inverse(SIT.y, SIT.x, y, x)["azi1"] - toward - side * half_width, 360
        ))
        for x, y in shape.exterior.coords for side in (-1, 1)
    )  # fmt: skip
    assume(margin > 0.1)
    winds = wind.carrying_winds(SIT, shape, 400, half_width)
    assert bool(winds.holds(from_deg)) == fan.intersects(shape)


def test_beyond_the_reach_no_wind_carries():
    shape = block(90, 250)
    assert not wind.carrying_winds(SIT, shape, 220, 15)
    assert wind.carrying_winds(SIT, shape, 260, 15)
    assert wind.right_winds([wind.carrying_winds(SIT, shape, 220, 15)]).everywhere


@given(st.lists(st.tuples(bearings, st.floats(60, 300)), max_size=4), bearings, st.floats(60, 300))
def test_more_cover_never_gives_more_winds(places, lies, yards):
    avoid = [wind.carrying_winds(SIT, block(*p), 220, 15) for p in places]
    more = [*avoid, wind.carrying_winds(SIT, block(lies, yards), 220, 15)]
    directions = np.arange(0.0, 360, 3)
    assert not (
        wind.right_winds(more).holds(directions) & ~wind.right_winds(avoid).holds(directions)
    ).any()


hours = st.tuples(
    st.one_of(st.just(math.nan), st.sampled_from([10.0 * d for d in range(36)])),
    st.one_of(st.just(math.nan), st.just(0.0), st.floats(0.1, 30)),
)


def plain_count(record, avoid):
    """Hour by hour, as one would with a pencil."""
    right = calm = unknown = 0
    for direction, speed in record:
        if speed == 0:
            calm += 1
        elif math.isnan(speed) or math.isnan(direction):
            unknown += 1
        elif not any((direction - start) % 360 <= width for start, width in avoid):
            right += 1
    return len(record), len(record) - unknown, right, calm, unknown


@given(
    st.lists(hours, max_size=60),
    st.lists(st.tuples(st.integers(0, 359), st.integers(0, 200)), max_size=4),
)
def test_hours_are_counted_as_by_hand(record, avoid):
    from_deg, wind_m_s = [r[0] for r in record], [r[1] for r in record]
    counted = wind.count_hours(from_deg, wind_m_s, wind.right_winds([avoid]))
    assert tuple(counted) == plain_count(record, avoid)


@given(st.lists(hours, min_size=1, max_size=60), st.integers(0, 35))
def test_turning_winds_and_places_together_changes_nothing(record, tens):
    from_deg, wind_m_s = (np.array(x) for x in zip(*record, strict=True))
    right = Arcs.of([(15, 100), (200, 33)])
    turned = wind.count_hours((from_deg + 10 * tens) % 360, wind_m_s, right.turned(10 * tens))
    assert turned == wind.count_hours(from_deg, wind_m_s, right)


def test_a_calm_is_never_right():
    still = wind.count_hours([math.nan, math.nan], [0, 0], Arcs.of([(0, 360)]))
    assert (still.right, still.calm, still.known, still.unknown) == (0, 2, 2, 0)


def test_north_is_right_or_not_whichever_way_it_is_written():
    for right in (Arcs.of([(350, 20)]), Arcs.of([(-10, 20)]), Arcs.of([(710, 20)])):
        assert wind.count_hours([0, 360, 355, 5, 180], [2] * 5, right).right == 4


# ---- a real file


@pytest.fixture(scope="module")
def greensboro():
    if not GREENSBORO.is_file():
        pytest.skip("pvlib's data files are not here")
    return read_weather(GREENSBORO).series


def test_rose_of_a_typical_year(greensboro):
    """Counts worked from the file by other means: calm written 0, north written 360 and 0."""
    found = wind.rose(greensboro.wind_from_deg, greensboro.wind_m_s)
    assert found.calm == 1050
    assert found.unknown == 0
    assert found.hours.tolist() == [
        584, 527, 653, 437, 291, 101, 128, 239, 700, 806, 942, 637, 582, 399, 392, 292,
    ]  # fmt: skip


def test_legal_hours_of_a_season(greensboro):
    """1 October to 15 January, half an hour either side of the sun: 1,229 hours by their middles,
    5.8 % of them calm, worked from the file by other means."""
    days = np.concatenate([
        np.arange("2001-01-01", "2001-01-16", dtype="datetime64[D]"),
        np.arange("2001-10-01", "2002-01-01", dtype="datetime64[D]"),
    ])  # fmt: skip
    legal = sun.in_legal_hours(greensboro.middles, days, -79.95, 36.1, 30, 30, -0.8333)
    counted = wind.count_hours(
        greensboro.wind_from_deg[legal], greensboro.wind_m_s[legal], Arcs.of([(0, 360)])
    )
    assert counted.hours == 1229
    assert 100 * counted.calm / counted.known == pytest.approx(5.8, abs=0.05)
    assert counted.right == counted.known - counted.calm

"""Lines and arcs around a sit, against geographiclib and by turning, mirroring and plain search."""

import math

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import assume, example, given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, Point, Polygon

from fencerow.science.ground import lines
from fencerow.science.ground.arcs import POINTS, Arcs, sector
from fencerow.words import OutsideRange

SIT = Point(-90.6155, 47.3139)
YD = 0.9144
bearings = st.floats(0, 359.99)
spans = st.lists(st.tuples(st.floats(-720, 720), st.floats(0, 400)), max_size=6)


def away(bearing, yards, sit=SIT):
    """The point that many yards off on a bearing, by geographiclib."""
    to = Geodesic.WGS84.Direct(sit.y, sit.x, bearing, yards * YD)
    return to["lon2"], to["lat2"]


def block(bearing, yards, half=10.0, sit=SIT):
    """A square about a point that many yards off."""
    centre = Point(away(bearing, yards, sit))
    return Polygon([away(b, half, centre) for b in (45, 135, 225, 315)])


# ---- arcs


@given(spans, st.floats(-360, 720))
def test_a_union_holds_what_its_parts_hold(parts, direction):
    plain = any(width >= 360 or (direction - start) % 360 <= width for start, width in parts)
    off = [abs((direction - s - w + 180) % 360 - 180) for s, w in parts]
    off += [abs((direction - s + 180) % 360 - 180) for s, _ in parts]
    assume(min(off, default=1) > 1e-6)
    arcs = Arcs.of(parts)
    assert bool(arcs.holds(direction)) == plain
    assert bool(arcs.rest().holds(direction)) == (not plain)


@given(spans)
def test_arcs_are_apart_and_share_the_circle_with_the_rest(parts):
    arcs = Arcs.of(parts)
    rest = arcs.rest()
    assert sum(w for _, w in (*arcs.spans, *rest.spans)) == pytest.approx(360)
    again = np.array(Arcs.of(arcs.spans).spans)
    assert again == pytest.approx(np.array(arcs.spans), abs=1e-9)
    assert list(arcs.spans) == sorted(arcs.spans)
    assert all(0 <= start < 360 for start, _ in arcs.spans)


@given(spans, st.floats(-360, 360))
def test_turning_there_and_back(parts, by):
    arcs = Arcs.of(parts)
    back = arcs.turned(by).turned(-by)
    directions = np.arange(0.37, 360, 1.0)
    edges = [e % 360 for s, w in arcs.spans for e in (s, s + w)]
    clear = [all(abs((d - e + 180) % 360 - 180) > 1e-6 for e in edges) for d in directions]
    assert (back.holds(directions) == arcs.holds(directions))[np.array(clear)].all()


@pytest.mark.parametrize(
    ("parts", "said", "rest"),
    [
        ([], "none", "every direction"),
        ([(0, 360)], "every direction", "none"),
        ([(350, 20)], "N (350° to 10°)", "NNE to NNW (10° to 350°)"),
        ([(350, 10), (0, 30)], "N to NNE (350° to 30°)", "NE to NNW (30° to 350°)"),
        ([(80, 20), (260, 20)], "E (80° to 100°), W (260° to 280°)",
         "ESE to WSW (100° to 260°), WNW to ENE (280° to 80°)"),
        ([(13, 341.5)], "NNE to N (13° to 355°)", "N (355° to 13°)"),
        ([(0, 350)], "N to NNW (0° to 350°)", "N (350° to 0°)"),
    ],
)  # fmt: skip
def test_words_of_the_compass(parts, said, rest):
    assert Arcs.of(parts).text == said
    assert Arcs.of(parts).rest().text == rest


@given(st.floats(0, 359), st.floats(23, 300))
def test_what_is_left_never_names_a_point_outside_it(start, width):
    rest = Arcs.of([(start, width)]).rest()
    ends = rest.text.split(" (")[0].split(" to ")
    if len(ends) == 2:
        assert all(rest.holds(22.5 * POINTS.index(point)) for point in ends)


def test_sixteenths():
    assert sector([0, 360, 11.2, 348.8, 11.3, 90, 181, 270]).tolist() == [0, 0, 0, 0, 1, 4, 8, 12]


def test_an_arc_of_less_than_nothing():
    with pytest.raises(ValueError, match="degrees"):
        Arcs.of([(0, -1)])


# ---- around a sit


@given(bearings, st.floats(1, 3000))
def test_a_point_lies_where_geographiclib_has_it(bearing, yards):
    point = Point(away(bearing, yards))
    assert lines.nearest_yd(SIT, point) == pytest.approx(yards, rel=1e-6)
    turn = math.remainder(lines.nearest_deg(SIT, point) - bearing, 360)
    # positions are as sharp as a nanodegree or so
    assert abs(turn) < math.degrees(1e-6 / yards) + 1e-9


@given(bearings, st.floats(30, 900), st.floats(5, 25))
def test_the_nearest_point_of_an_edge_is_found_as_by_walking_it(bearing, yards, half):
    shape = block(bearing, yards, half)
    ring = shape.exterior
    walked = [ring.interpolate(t, normalized=True) for t in np.linspace(0, 1, 801)]
    inverse = [Geodesic.WGS84.Inverse(SIT.y, SIT.x, p.y, p.x)["s12"] / YD for p in walked]
    got = lines.nearest_yd(SIT, lines.edge(shape))
    step = 4 * 2 * half / 800
    assert min(inverse) - step <= got <= min(inverse) + 1e-4
    assert lines.nearest_yd(SIT, shape) == pytest.approx(got)


def test_within_an_area_the_distance_is_nothing_and_its_edge_is_off():
    shape = block(0, 0, 20)
    assert lines.nearest_yd(SIT, shape) == 0
    # half a side of the square, whose corners are 20 yd off
    assert lines.nearest_yd(SIT, lines.edge(shape)) == pytest.approx(20 / math.sqrt(2), rel=1e-5)
    with pytest.raises(OutsideRange, match="one and the same"):
        lines.nearest_deg(SIT, shape)


def test_the_far_end_of_a_lane():
    lane = LineString([SIT.coords[0], away(230, 30), away(235, 80)])
    end = lines.far_end(SIT, lane, 5000)
    assert end.coords[0] == pytest.approx(lane.coords[-1], abs=1e-9)
    near = lines.far_end(SIT, lane, 40)
    assert lines.nearest_yd(SIT, near) == pytest.approx(40, abs=0.02)
    assert lines.nearest_yd(SIT, end) == pytest.approx(80, rel=1e-6)
    assert lines.nearest_deg(SIT, end) == pytest.approx(235, abs=1e-4)


# ---- directions


@given(bearings, st.floats(40, 900))
def test_a_place_lies_in_the_directions_it_is_seen_in(bearing, yards):
    shape = block(bearing, yards, 20)
    arcs = lines.seen_toward(SIT, shape, 2000, 0)
    assert arcs.holds(bearing)
    assert not arcs.holds(bearing + 180)
    corners = [Geodesic.WGS84.Inverse(SIT.y, SIT.x, y, x)["azi1"] for x, y in shape.exterior.coords]
    off = [math.remainder(c - bearing, 360) for c in corners]
    ((start, width),) = arcs.spans
    assert width == pytest.approx(max(off) - min(off), abs=1e-6)
    assert math.remainder(start - bearing, 360) == pytest.approx(min(off), abs=1e-6)


@given(bearings, st.floats(50, 500), st.floats(0, 60))
def test_a_half_width_is_added_to_both_sides(bearing, yards, half_width):
    point = Point(away(bearing, yards))
    ((start, width),) = lines.seen_toward(SIT, point, 600, half_width).spans
    assert width == pytest.approx(2 * half_width)
    assert math.remainder(start + half_width - bearing, 360) == pytest.approx(0, abs=1e-5)


def test_who_stands_in_a_place_has_it_all_around():
    assert lines.seen_toward(SIT, block(0, 0, 200), 50, 0).everywhere
    holed = block(0, 0, 200) - block(0, 0, 20)
    assert lines.seen_toward(SIT, holed, 100, 0).everywhere
    assert not lines.seen_toward(SIT, holed, 5, 0)


def test_a_sit_on_the_edge_has_the_place_on_one_side():
    field = Polygon([away(b, 100) for b in (90, 0, 270)])
    arcs = lines.seen_toward(SIT, field, 300, 0)
    ((start, width),) = arcs.spans
    assert (start, width) == (pytest.approx(270, abs=0.01), pytest.approx(180, abs=0.01))


def test_only_what_lies_within_the_distance_counts():
    road = LineString([away(270, 3000), away(0, 100), away(90, 3000)])
    near = lines.seen_toward(SIT, road, 200, 0).spans[0][1]
    far = lines.seen_toward(SIT, road, 2000, 0).spans[0][1]
    assert 0 < near < far < 180
    assert not lines.seen_toward(SIT, road, 90, 0)
    assert lines.seen_toward(SIT, block(10, 195, 10), 200, 0)


def test_several_parts_and_a_shape_that_turns_around_the_sit():
    two = MultiPolygon([block(10, 100), block(200, 100)])
    assert len(lines.seen_toward(SIT, two, 300, 0).spans) == 2
    horseshoe = LineString([away(b, 60) for b in range(20, 341, 10)])
    ((start, width),) = lines.seen_toward(SIT, horseshoe, 300, 0).spans
    assert (start, width) == (pytest.approx(20, abs=1e-4), pytest.approx(320, abs=1e-4))


@given(bearings, st.integers(0, 359))
def test_turning_the_place_turns_its_directions(bearing, by):
    arcs = lines.seen_toward(SIT, block(bearing, 150, 30), 600, 5)
    turned = lines.seen_toward(SIT, block(bearing + by, 150, 30), 600, 5)
    # the square keeps its sides to north, so only its middle turns
    assert turned.holds(bearing + by)
    assert arcs.turned(by).holds(bearing + by)


# ---- up and down


@given(st.floats(1, 1000), st.floats(-300, 300))
@example(100.0, 0.0)
def test_the_level_part_of_a_line_is_its_distance_on_the_map(map_yd, drop_ft):
    slant = lines.slant_yd(map_yd, drop_ft)
    angle = lines.off_level_deg(map_yd, slant)
    assert slant >= map_yd
    assert lines.level_yd(slant, angle) == pytest.approx(map_yd, rel=1e-9)
    assert lines.slant_yd(map_yd, -drop_ft) == slant


@given(st.floats(1, 1000), st.floats(0, 89), st.floats(0, 1))
def test_the_steeper_the_shorter(slant, angle, more):
    assert lines.level_yd(slant, angle + more) <= lines.level_yd(slant, angle) <= slant


@pytest.mark.parametrize(
    ("slant", "angle", "level"), [(40, 20, 37.6), (40, 30, 34.6), (30, 45, 21.2), (300, 15, 289.8)]
)
def test_the_first_order_rule(slant, angle, level):
    """The cosine, worked apart."""
    assert lines.level_yd(slant, angle) == pytest.approx(level, abs=0.05)


def test_a_bow_shot_from_a_blind_is_level():
    """26 to 28 yd from a blind is a common bow shot: on the ground the angle takes nothing off."""
    for yards in (26, 28):
        slant = lines.slant_yd(yards, 1.5)
        assert slant == pytest.approx(yards, abs=0.01)
        assert lines.off_level_deg(yards, slant) < 1.2


def test_ground_fall_uphill_is_negative():
    grid = {"elevation_m": np.add.outer(np.arange(9.0), np.zeros(9)), "x0": 499_980.0,
            "y0": 4_000_020.0, "cell_m": 5.0, "crs": 32617}  # fmt: skip
    south, north = Point(-81, 36.14462), Point(-81, 36.14480)
    fall = lines.ground_fall_ft(grid, south, north)
    # a metre up for each five to the south
    yards = lines.nearest_yd(south, north)
    assert fall == pytest.approx(3 * yards / 5, rel=1e-3)
    assert lines.ground_fall_ft(grid, north, south) == pytest.approx(-fall)

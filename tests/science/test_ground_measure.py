"""Areas, lengths and bearings against geographiclib, the author's own package, and by symmetry."""

import math
from itertools import pairwise

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from fencerow.science.ground import measure
from fencerow.tract.shape import Shape
from fencerow.words import OutsideRange

YD, AC = 0.9144, 4046.8564224
lons = st.floats(-179.9, 179.9)
lats = st.floats(-89, 89)
points = st.tuples(lons, lats)


def planimeter(ring):
    polygon = Geodesic.WGS84.Polygon()
    for lon, lat in ring:
        polygon.AddPoint(lat, lon)
    _, perimeter, area = polygon.Compute(False, True)
    return perimeter, abs(area)


@st.composite
def stars(draw):
    """A polygon about a point, its corners in order of bearing: it never crosses itself."""
    lon, lat = draw(st.floats(-179, 179)), draw(st.floats(-70, 70))
    reach = draw(st.lists(st.floats(1e-4, 0.5), min_size=3, max_size=12))
    turn = [2 * math.pi * i / len(reach) for i in range(len(reach))]
    return [
        (lon + r * math.cos(t), lat + r * math.sin(t)) for r, t in zip(reach, turn, strict=True)
    ]


@given(stars())
def test_area_and_edge_as_geographiclib_has_them(ring):
    perimeter, area = planimeter(ring)
    shape = Polygon(ring)
    assert measure.area_m2(shape) == pytest.approx(area, rel=1e-9, abs=1e-3)
    assert measure.perimeter_m(shape) == pytest.approx(perimeter, rel=1e-12)
    assert measure.area_ac(shape) == pytest.approx(area / AC, rel=1e-9, abs=1e-6)
    assert measure.perimeter_yd(shape) == pytest.approx(perimeter / YD, rel=1e-12)


@given(stars(), st.floats(-360, 360))
def test_area_does_not_know_which_way_the_ring_turns_nor_the_meridian(ring, east):
    area = measure.area_m2(Polygon(ring))
    assert measure.area_m2(Polygon(ring[::-1])) == pytest.approx(area, rel=1e-12)
    moved = Polygon([(lon + east, lat) for lon, lat in ring])
    assert measure.area_m2(moved) == pytest.approx(area, rel=1e-6, abs=1e-2)


@given(points, points)
def test_distance_and_bearing_as_geographiclib_has_them(a, b):
    there = Geodesic.WGS84.Inverse(a[1], a[0], b[1], b[0])
    assume(1e-3 < there["s12"] < 19_000_000)
    assert measure.distance_yd(a, b) == pytest.approx(there["s12"] / YD, rel=1e-9)
    bearing = measure.bearing_deg(a, b)
    assert 0 <= bearing < 360
    turn = math.remainder(bearing - there["azi1"], 360)
    # a bearing over a short way is only as sharp as the positions
    assert abs(turn) < max(1e-6, math.degrees(1e-6 / there["s12"]))


@given(points, points)
def test_distance_is_the_same_both_ways(a, b):
    assert measure.distance_yd(a, b) == pytest.approx(measure.distance_yd(b, a), abs=1e-6)


@pytest.mark.parametrize(
    ("east", "north", "bearing"),
    [(0, 1, 0), (1, 0, 90), (0, -1, 180), (-1, 0, 270), (1, 1, 45), (1, -1, 135), (-1, -1, 225),
     (-1, 1, 315)],
)  # fmt: skip
def test_bearings_run_clockwise_from_north(east, north, bearing):
    a = (-79.95, 0.0)  # on the equator a degree is nearly as long both ways
    assert measure.bearing_deg(a, (a[0] + east / 1e3, north / 1e3)) == pytest.approx(
        bearing, abs=0.3
    )


def test_a_hair_west_of_north_is_not_360():
    assert measure.bearing_deg((0.0, 0.0), (-1e-18, 1.0)) < 360


def test_no_bearing_to_itself():
    with pytest.raises(OutsideRange, match="one and the same"):
        measure.bearing_deg((1.0, 2.0), (1.0, 2.0))


def test_holes_are_taken_out_and_their_edges_added():
    whole, hole = box(-80, 36, -79.9, 36.1), box(-79.98, 36.02, -79.96, 36.04)
    with_hole = Polygon(whole.exterior, [hole.exterior])
    assert measure.area_ac(with_hole) == pytest.approx(
        measure.area_ac(whole) - measure.area_ac(hole), rel=1e-12
    )
    assert measure.perimeter_yd(with_hole) == pytest.approx(
        measure.perimeter_yd(whole) + measure.perimeter_yd(hole), rel=1e-12
    )


def test_several_polygons_add_up():
    one, two = box(-80, 36, -79.99, 36.01), box(-79.9, 36, -79.89, 36.01)
    together = measure.area_ac(MultiPolygon([one, two]))
    assert together == pytest.approx(measure.area_ac(one) + measure.area_ac(two), rel=1e-12)


def test_a_web_map_is_half_as_large_again():
    """The reason for all this: at 36 N a web map's square metres are 53.5 % too many."""
    shape = box(-79.95, 36.10, -79.94, 36.11)
    r = 6378137.0

    def north(lat):
        return r * math.log(math.tan(math.pi / 4 + math.radians(lat) / 2))

    flat = r * math.radians(0.01) * (north(36.11) - north(36.10))
    assert flat / measure.area_m2(shape) == pytest.approx(1.535, abs=0.001)


def test_length_of_lines():
    path = [(-80, 36), (-79.99, 36), (-79.99, 36.01)]
    legs = sum(measure.distance_yd(a, b) for a, b in pairwise(path))
    assert measure.length_yd(LineString(path)) == pytest.approx(legs, rel=1e-12)
    lines = {"type": "MultiLineString", "coordinates": [path, path]}
    assert measure.length_yd(lines) == pytest.approx(2 * legs, rel=1e-12)


def test_any_spelling_of_a_shape():
    ring = ((-80.0, 36.0), (-79.99, 36.0), (-79.99, 36.01), (-80.0, 36.0))
    typed = Shape("Polygon", (ring,))
    spelt = {"type": "Polygon", "coordinates": [[list(p) for p in ring]]}
    assert measure.area_ac(typed) == measure.area_ac(spelt) == measure.area_ac(Polygon(ring)) > 0
    assert measure.area_ac(Point(-80, 36)) == 0

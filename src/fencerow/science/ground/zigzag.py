"""A winding walk across an outline, with spots spread evenly along it: where to throw a frame.

A person who chooses each spot throws where the stand looks like what they think of it. A way that
was laid before the first throw does not see the stand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely.affinity import rotate, scale
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from fencerow.science.ground.measure import ShapeLike, as_geometry

METRES_A_DEGREE = 111_320.0
"""On a circle of latitude at the equator, and near enough along a meridian, for a plot's size."""
EDGE_M = 4.0
"""How far the way keeps from the edge, where the outline is wide enough: edges are no sample."""
LEGS = 6
"""Strokes of the zigzag: three peaks, as a W and a half."""


def spots_along(outline: ShapeLike, spots: int) -> list[tuple[float, float]]:
    """Spots on a zigzag across an outline, in walking order, each inside [deg lon, lat].

    The zigzag runs along the longer side of the tightest box around the outline, turned about by
    its angle, and is clipped to the outline; the spots stand in the middle of equal parts of what
    is left of it.

    Args:
        outline: polygon or polygons, lon/lat.
        spots: how many.
    """
    shape = as_geometry(outline)
    centre = shape.centroid
    narrow = math.cos(math.radians(centre.y))
    flat = scale(shape, narrow * METRES_A_DEGREE, METRES_A_DEGREE, origin=centre)
    inner = flat.buffer(-EDGE_M)
    way = _clipped(flat if inner.is_empty else inner)
    found = [_along(way, (i + 0.5) / spots) for i in range(spots)]
    back = (1 / (narrow * METRES_A_DEGREE), 1 / METRES_A_DEGREE)
    return [
        ((p.x - centre.x) * back[0] + centre.x, (p.y - centre.y) * back[1] + centre.y)
        for p in found
    ]


def _clipped(inner: BaseGeometry) -> list[LineString]:
    """The parts of the zigzag within an outline, in walking order."""
    angle = _long_side_deg(inner)
    centre = inner.centroid
    level = rotate(inner, -angle, origin=centre)
    low_x, low_y, high_x, high_y = level.bounds
    step = (high_x - low_x) / LEGS
    corners = [(low_x + i * step, high_y if i % 2 else low_y) for i in range(LEGS + 1)]
    parts: list[LineString] = []
    for a, b in pairwise(corners):
        leg = LineString([a, b])
        cut = leg.intersection(level)
        lines = [g for g in getattr(cut, "geoms", (cut,)) if isinstance(g, LineString)]
        parts += sorted((g for g in lines if not g.is_empty), key=lambda g: leg.project(_first(g)))
    if not parts:  # a sliver that the zigzag missed: its own middle
        point = level.representative_point()
        parts = [LineString([point, point])]
    return [rotate(part, angle, origin=centre) for part in parts]


def _first(line: LineString) -> Point:
    return Point(line.coords[0])


def _long_side_deg(shape: BaseGeometry) -> float:
    """The direction of the longer side of the tightest box around a shape, from east [deg]."""
    box = shape.minimum_rotated_rectangle
    ring = list(box.exterior.coords if isinstance(box, Polygon) else box.coords)
    sides = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ring)]
    east, north = max(sides, key=lambda s: math.hypot(*s))
    return math.degrees(math.atan2(north, east))


def _along(parts: Sequence[LineString], share: float) -> Point:
    """The point at a share of the whole length of several lines."""
    left = share * sum(part.length for part in parts)
    for part in parts:
        if left <= part.length:
            return part.interpolate(left)
        left -= part.length
    return part.interpolate(part.length)

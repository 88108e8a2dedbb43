"""Lines from a treestand or blind: how far, which way, how steep, and what lies that way.

Everything is laid out around the sit: each point at its geodesic distance and its true bearing
(Karney 2013), so that what is measured from the sit is measured on the ellipsoid. Between corners
an outline is straight in that picture; over a tract the difference is a hair.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import acos, atan, cos, degrees, pi, radians, sqrt
from typing import Any

import numpy as np
import shapely
from pyproj import Geod
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs, Span
from fencerow.science.ground.grid import Floats, LocalGrid
from fencerow.science.ground.measure import ShapeLike, as_geometry
from fencerow.units import convert
from fencerow.words import OutsideRange

HERE_YD = 0.5
"""Nearer than this a thing is at the sit itself, and has no direction from it."""
_WGS84 = Geod(ellps="WGS84")
_CORNERS = 32
"""Corners in a quarter of the circle that stands for a distance."""


def _at(sit: ShapeLike) -> tuple[float, float]:
    lon, lat = shapely.get_coordinates(as_geometry(sit))[0]
    return float(lon), float(lat)


def around(sit: ShapeLike, shape: ShapeLike) -> BaseGeometry:
    """A shape as it lies around a sit: yards east and north of it, distance and bearing true.

    Source: Karney 2013, as it runs in PROJ.

    Args:
        sit: point, lon/lat.
        shape: any outline, lon/lat.
    """
    lon, lat = _at(sit)

    def laid(points: Floats) -> Floats:
        here = np.full(len(points), lon), np.full(len(points), lat)
        azimuth, _, metres = _WGS84.inv(*here, points[:, 0], points[:, 1])
        far, turn = convert(1.0, "m", "yd") * metres, np.radians(azimuth)
        return np.column_stack((far * np.sin(turn), far * np.cos(turn)))

    return shapely.transform(as_geometry(shape), laid)


def nearest(sit: ShapeLike, shape: ShapeLike) -> tuple[float, float]:
    """Yards east and north from a sit to the nearest point of a shape."""
    x, y = shapely.get_coordinates(shapely.shortest_line(Point(0, 0), around(sit, shape)))[1]
    return float(x), float(y)


@formula("the edge of the outline", unit="shape", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def edge(shape: ShapeLike) -> BaseGeometry:
    """The edge of an area, that of its holes included; a line or a point is its own edge.

    Args:
        shape: any outline, lon/lat.
    """
    geometry = as_geometry(shape)
    return geometry.boundary if geometry.area > 0 else geometry


@formula("of the outline within the distance the corner that lies farthest from the sit",
         unit="shape", source="karney-2013", valid={"within_yd": (0, 5000)},
         lookup=True)  # fmt: skip
def far_end(sit: ShapeLike, shape: ShapeLike, within_yd: float) -> BaseGeometry:
    """The corner or end that lies farthest from a sit, of what of an outline is near enough.

    Source: distances by Karney 2013.

    Args:
        sit: point, lon/lat.
        shape: any outline, lon/lat.
        within_yd: only what lies this near counts [yd].

    Raises:
        OutsideRange: no such distance, or nothing of the outline lies so near.
    """
    # a hair wide of it, so that what ends just there is not lost to the circle's corners
    reach = Point(0, 0).buffer(within_yd / cos(pi / (4 * _CORNERS)), _CORNERS)
    corners = shapely.get_coordinates(shapely.intersection(around(sit, shape), reach))
    if not len(corners):
        raise OutsideRange("line-beyond")
    x, y = corners[int(np.argmax(np.hypot(corners[:, 0], corners[:, 1])))]
    metres = convert(float(np.hypot(x, y)), "yd", "m")
    lon, lat, _ = _WGS84.fwd(*_at(sit), np.degrees(np.arctan2(x, y)), metres)
    return Point(lon, lat)


@formula(
    "geodesic distance to the nearest point of the outline; 0 within it (Karney 2013)",
    unit="yd",
    source="karney-2013",
    lookup=True,
)
def nearest_yd(sit: ShapeLike, shape: ShapeLike) -> float:
    """Distance from a sit to the nearest point of an outline, on the map [yd].

    Source: Karney 2013.

    Args:
        sit: point, lon/lat.
        shape: any outline, lon/lat; within an area the distance is 0.
    """
    return float(np.hypot(*nearest(sit, shape)))


@formula(
    "bearing at the sit of the nearest point of the outline, clockwise from true north "
    "(Karney 2013)",
    unit="deg",
    source="karney-2013",
    lookup=True,
)
def nearest_deg(sit: ShapeLike, shape: ShapeLike) -> float:
    """Bearing from a sit to the nearest point of an outline, 0 to below 360 [deg].

    Source: Karney 2013. True north: a compass needle points to magnetic north.

    Args:
        sit: point, lon/lat.
        shape: any outline, lon/lat.

    Raises:
        OutsideRange: it lies at the sit itself; there is no bearing.
    """
    x, y = nearest(sit, shape)
    if np.hypot(x, y) < HERE_YD:
        raise OutsideRange("ground-one-point")
    return float(np.degrees(np.arctan2(x, y)) % 360 % 360)


@formula(
    "height of the ground at the sit, less that at the nearest point of the outline",
    unit="ft",
    source="definition",
    basis="definition",
    lookup=True,
)
def ground_fall_ft(grid: LocalGrid | Mapping[str, Any], sit: ShapeLike, shape: ShapeLike) -> float:
    """How much lower the ground is at the nearest point of an outline than at a sit [ft].

    Args:
        grid: a `LocalGrid`, or a mapping of its fields.
        sit: point, lon/lat.
        shape: any outline, lon/lat.

    Raises:
        OutsideRange: the grid does not know one of the two heights.
    """
    here, (x, y) = _at(sit), nearest(sit, shape)
    metres = convert(float(np.hypot(x, y)), "yd", "m")
    lon, lat, _ = _WGS84.fwd(*here, np.degrees(np.arctan2(x, y)), metres)
    heights = LocalGrid.of(grid).sample([here[0], lon], [here[1], lat])
    if not np.isfinite(heights).all():
        raise OutsideRange("line-no-elevation")
    return convert(float(heights[0] - heights[1]), "m", "ft")


@formula("180 / pi * atan(ground_fall_ft / (3 * map_yd))", unit="deg", source="definition",
         basis="definition",
         valid={"map_yd": (0.1, 2000), "ground_fall_ft": (-2000, 2000)})  # fmt: skip
def ground_falls_deg(map_yd: float, ground_fall_ft: float) -> float:
    """How steeply the ground falls from a sit to a target; below 0 it rises [deg].

    Args:
        map_yd: distance on the map [yd].
        ground_fall_ft: `ground_fall_ft` [ft].

    Raises:
        OutsideRange: no such distance or fall.
    """
    return degrees(atan(ground_fall_ft / (3 * map_yd)))


@formula("height_ft + ground_fall_ft", unit="ft", source="definition", basis="definition",
         valid={"height_ft": (0, 250), "ground_fall_ft": (-2000, 2000)})  # fmt: skip
def drop_ft(height_ft: float, ground_fall_ft: float) -> float:
    """How far a sit's platform stands above the ground at a target; negative is below it [ft].

    Args:
        height_ft: platform above the ground at the sit [ft].
        ground_fall_ft: `ground_fall_ft` [ft].

    Raises:
        OutsideRange: no such height or fall.
    """
    return height_ft + ground_fall_ft


@formula("sqrt(map_yd ** 2 + (drop_ft / 3) ** 2)", unit="yd", source="definition",
         basis="definition", valid={"map_yd": (0, 2000), "drop_ft": (-2000, 2250)})  # fmt: skip
def slant_yd(map_yd: float, drop_ft: float) -> float:
    """Distance along the line of sight, as a rangefinder without a level reads it [yd].

    By Pythagoras, from the platform to the ground.

    Args:
        map_yd: distance on the map [yd].
        drop_ft: `drop_ft` [ft].

    Raises:
        OutsideRange: no such distance or drop.
    """
    return sqrt(map_yd**2 + (drop_ft / 3) ** 2)


@formula("180 / pi * acos(map_yd / slant_yd)", unit="deg", source="definition",
         basis="definition", valid={"map_yd": (0, 2000), "slant_yd": (0.1, 2500)})  # fmt: skip
def off_level_deg(map_yd: float, slant_yd: float) -> float:
    """How far a line of sight is off level, down or up [deg].

    Args:
        map_yd: distance on the map [yd].
        slant_yd: `slant_yd`, no less [yd].

    Raises:
        OutsideRange: no such distance, or one along the line that is less than on the map.
    """
    if slant_yd < map_yd:
        raise OutsideRange("outside-range", name="slant_yd", value=slant_yd, low=map_yd, high=2500)
    return degrees(acos(map_yd / slant_yd))


@formula(
    "slant_yd * cos(pi / 180 * off_level_deg)",
    unit="yd",
    source="from-memory",
    basis="from memory",
    valid={"slant_yd": (0, 2500), "off_level_deg": (0, 90)},
)
def level_yd(slant_yd: float, off_level_deg: float) -> float:
    """The distance on level ground at which an arrow or bullet drops as much as on a slant [yd].

    The shooter's first-order rule, the same for up and down: gravity pulls over the level part of
    the way. From memory; for steep and far shots it is rough.

    Args:
        slant_yd: distance along the line of sight [yd].
        off_level_deg: angle off level [deg].

    Raises:
        OutsideRange: no such distance, or an angle outside 0 to 90.
    """
    return slant_yd * cos(radians(off_level_deg))


@formula(
    "directions in which part of the outline lies within the distance, and the half-width to each "
    "side of them",
    unit="text",
    source="karney-2013",
    valid={"within_yd": (0, 5000), "half_width_deg": (0, 90)},
    lookup=True,
)
def seen_toward(sit: ShapeLike, shape: ShapeLike, within_yd: float, half_width_deg: float) -> Arcs:
    """The directions from a sit in which a place lies, clockwise from true north [deg].

    Source: distances and bearings by Karney 2013. Nothing stands between in this: neither woods
    nor a rise hides what lies behind.

    Args:
        sit: point, lon/lat.
        shape: the place's outline, lon/lat; within an area it is every direction.
        within_yd: only what lies this near counts [yd].
        half_width_deg: added to each side [deg].

    Raises:
        OutsideRange: no such distance, or a half-width outside 0 to 90.
    """
    # the circle's corners lie outside it, so that what is just within is not cut off
    far = within_yd / cos(pi / (4 * _CORNERS))
    ring = Point(0, 0).buffer(far, _CORNERS) - Point(0, 0).buffer(HERE_YD, _CORNERS)
    parts = shapely.intersection(around(sit, shape), ring)
    return Arcs.of(_span(p) for p in _simple(parts)).widened(half_width_deg)


def _simple(geometry: BaseGeometry) -> Iterator[BaseGeometry]:
    for part in getattr(geometry, "geoms", (geometry,)):
        if hasattr(part, "geoms"):
            yield from _simple(part)
        elif not part.is_empty:
            yield part


def _span(part: BaseGeometry) -> Span:
    """The arc that one line, area or point takes up around the origin, which it does not touch."""
    path = part.exterior if isinstance(part, Polygon) else part
    x, y = shapely.get_coordinates(path).T
    bearings = np.degrees(np.arctan2(x, y))
    turned = np.concatenate(([0.0], np.cumsum((np.diff(bearings) + 180) % 360 - 180)))
    return float(bearings[0] + turned.min()), float(np.ptp(turned))

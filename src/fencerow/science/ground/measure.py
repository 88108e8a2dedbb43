"""Areas, lengths and bearings on the WGS84 ellipsoid; positions are (longitude, latitude).

A shape is a shapely geometry, anything with `type` and `coordinates` as GeoJSON spells them, or a
mapping of the two. Maps that are flat lie about size (web-map metres by half at 36 N), so nothing
here is measured on one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pyproj import Geod
from shapely.affinity import scale
from shapely.geometry import Polygon
from shapely.geometry import shape as to_shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from fencerow.figure import formula
from fencerow.units import convert
from fencerow.words import OutsideRange

Point = Sequence[float]
ShapeLike = Any
_WGS84 = Geod(ellps="WGS84")


def as_geometry(shape: ShapeLike) -> BaseGeometry:
    """The shapely geometry of a shape, in degrees lon/lat."""
    if isinstance(shape, BaseGeometry):
        return shape
    if isinstance(shape, Mapping):
        return to_shapely(dict(shape))
    return to_shapely({"type": shape.type, "coordinates": shape.coordinates})


def area_m2(shape: ShapeLike) -> float:
    """Geodesic area [m²], holes taken out; the way its rings turn makes no difference.

    Source: Karney 2013, as it runs in PROJ. Lines and points enclose nothing: 0.
    """
    return sum(
        _ring(polygon.exterior)[0] - sum(_ring(hole)[0] for hole in polygon.interiors)
        for polygon in _polygons(shape)
    )


def perimeter_m(shape: ShapeLike) -> float:
    """Geodesic length of the whole edge [m], that of holes included. Source: Karney 2013."""
    return sum(
        _ring(ring)[1]
        for polygon in _polygons(shape)
        for ring in (polygon.exterior, *polygon.interiors)
    )


@formula(
    "geodesic area on the WGS84 ellipsoid, holes taken out (Karney 2013)",
    unit="ac",
    source="karney-2013",
    lookup=True,
)
def area_ac(shape: ShapeLike) -> float:
    """Geodesic area of an outline on the WGS84 ellipsoid, holes taken out [ac].

    Source: Karney 2013.

    Args:
        shape: polygon or polygons, lon/lat; lines and points enclose nothing.
    """
    return convert(area_m2(shape), "m2", "ac")


@formula(
    "geodesic length of the edge on the WGS84 ellipsoid, that of holes included (Karney 2013)",
    unit="yd",
    source="karney-2013",
    lookup=True,
)
def perimeter_yd(shape: ShapeLike) -> float:
    """Geodesic length of the edge of an outline on the WGS84 ellipsoid, holes included [yd].

    Source: Karney 2013.

    Args:
        shape: polygon or polygons, lon/lat.
    """
    return convert(perimeter_m(shape), "m", "yd")


@formula(
    "geodesic length of the line on the WGS84 ellipsoid (Karney 2013)",
    unit="yd",
    source="karney-2013",
    lookup=True,
)
def length_yd(shape: ShapeLike) -> float:
    """Geodesic length of a line, or of several together, on the WGS84 ellipsoid [yd].

    Source: Karney 2013. Along the ground as a map sees it: slope adds nothing.

    Args:
        shape: line or lines, lon/lat.
    """
    geometry = as_geometry(shape)
    lines = getattr(geometry, "geoms", (geometry,))
    metres = sum(_WGS84.line_length(*line.coords.xy) for line in lines)
    return convert(metres, "m", "yd")


@formula(
    "geodesic distance on the WGS84 ellipsoid (Karney 2013)",
    unit="yd",
    source="karney-2013",
    lookup=True,
)
def distance_yd(a: Point, b: Point) -> float:
    """Geodesic distance between two points on the WGS84 ellipsoid [yd].

    Source: Karney 2013.

    Args:
        a, b: (longitude, latitude) [deg].
    """
    return convert(_WGS84.inv(a[0], a[1], b[0], b[1])[2], "m", "yd")


@formula(
    "bearing at the first point of the geodesic to the second, clockwise from true north "
    "(Karney 2013)",
    unit="deg",
    source="karney-2013",
    lookup=True,
)
def bearing_deg(a: Point, b: Point) -> float:
    """Bearing from one point to another, clockwise from true north, 0 to below 360 [deg].

    Source: Karney 2013. A compass shows another figure: its needle points to magnetic north.

    Args:
        a, b: (longitude, latitude) [deg].

    Raises:
        OutsideRange: the two points are one; there is no bearing.
    """
    azimuth, _, metres = _WGS84.inv(a[0], a[1], b[0], b[1])
    if metres == 0:
        raise OutsideRange("ground-one-point")
    # a hair west of north comes out as 360.0 after rounding
    return float(azimuth) % 360.0 % 360.0


@formula(
    "geodesic distance between the nearest points of two outlines (Karney 2013)",
    unit="ft",
    source="karney-2013",
    lookup=True,
)
def gap_ft(outline: ShapeLike, other: ShapeLike) -> float:
    """Distance between two outlines where they come nearest, 0 where they meet [ft].

    Source: Karney 2013 for the distance. The nearest points are found with degrees of longitude
    drawn together as they are at that latitude, which is true to a foot for places of one tract.

    Args:
        outline, other: points, lines or polygons, lon/lat.
    """
    a, b = as_geometry(outline), as_geometry(other)
    narrow = math.cos(math.radians(a.centroid.y))
    near = nearest_points(*(scale(g, narrow, 1, origin=(0, 0)) for g in (a, b)))
    (lon_a, lat_a), (lon_b, lat_b) = ((p.x / narrow, p.y) for p in near)
    return convert(_WGS84.inv(lon_a, lat_a, lon_b, lat_b)[2], "m", "ft")


def _polygons(shape: ShapeLike) -> Iterator[Polygon]:
    geometry = as_geometry(shape)
    for part in getattr(geometry, "geoms", (geometry,)):
        if isinstance(part, Polygon) and not part.is_empty:
            yield part


def _ring(ring: BaseGeometry) -> tuple[float, float]:
    area, perimeter = _WGS84.polygon_area_perimeter(*ring.coords.xy)
    return abs(area), perimeter

"""How much of a place lies near something: what a disturbance reaches of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import cos, radians

from shapely import GeometryCollection
from shapely.geometry.base import BaseGeometry

from fencerow.figure import formula
from fencerow.science.ground.lines import around
from fencerow.science.ground.measure import ShapeLike, as_geometry

_YD_A_DEGREE = 120_900.0
"""A degree of latitude is 120,918 yd or more (WGS 84), one of longitude at the equator more."""
_CORNERS = 32
"""Corners in a quarter of a circle: its area falls short by 4 in 10,000."""


@formula("the outlines together", unit="shape", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def together(shapes: Sequence[ShapeLike]) -> BaseGeometry:
    """Several outlines as one: where somebody was in one walk.

    Args:
        shapes: outlines, lon/lat.
    """
    return GeometryCollection([as_geometry(shape) for shape in shapes])


@formula(
    "the share of the place that lies within the distance of the outline; of a point, 1 or 0",
    unit="share",
    source=("definition", "karney-2013"),
    basis="definition",
    valid={"within_yd": (0, 5000)},
    lookup=True,
)
def share_near(part: ShapeLike, shape: ShapeLike, within_yd: float) -> float:
    """How much of a place lies within a distance of something, 0 to 1.

    Of an area its area counts, of a line its length, of a point whether it is within. Laid out
    around the middle of the place (Karney 2013); over a tract the flat picture is off by a hair.

    Args:
        part: the place, lon/lat.
        shape: what is near or not, lon/lat.
        within_yd: the distance [yd].

    Raises:
        OutsideRange: no such distance.
    """
    return _share_near(as_geometry(part), as_geometry(shape), within_yd)


@lru_cache(maxsize=16384)
def _share_near(part: BaseGeometry, shape: BaseGeometry, within_yd: float) -> float:
    """As above, once for two outlines: a record is looked at again with every word."""
    middle = part.centroid
    here, there = around(middle, part), around(middle, shape)
    if here.distance(there) > within_yd:
        return 0.0
    reached = there.buffer(within_yd, _CORNERS)
    if here.area > 0:
        return min(1.0, float(here.intersection(reached).area / here.area))
    if here.length > 0:
        return min(1.0, float(here.intersection(reached).length / here.length))
    return 1.0


def surely_apart(box: tuple[float, ...], other: tuple[float, ...], within_yd: float) -> bool:
    """Whether two boxes are known to lie further apart than a distance, without measuring.

    Args:
        box, other: west, south, east, north [lon/lat].
        within_yd: the distance [yd].

    Returns:
        False where they may be near.
    """
    up = max(box[1] - other[3], other[1] - box[3])
    aside = max(box[0] - other[2], other[0] - box[2])
    pole = min(90.0, max(map(abs, (box[1], box[3], other[1], other[3]))))
    across = min(aside, 360 - (max(box[2], other[2]) - min(box[0], other[0])))
    return max(up, across * cos(radians(pole))) * _YD_A_DEGREE > within_yd

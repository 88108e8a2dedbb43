"""Split: an area cut in two, or in more, by a line drawn across it."""

from __future__ import annotations

import math

from shapely import LineString, MultiPolygon, Polygon, unary_union
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry
from shapely.ops import split as cut

from fencerow.manner import Amount
from fencerow.science.ground.measure import area_ac
from fencerow.tract.shape import Shape
from fencerow.words import BadInput

REACH_DEG = 2e-7
"""How far each end of the line is drawn on, about an inch: an end that was laid on the edge lies
a hair inside it as often as outside."""
LEAST_AC = 0.001


def split_area(shape: Shape, line: Shape) -> tuple[Shape, ...]:
    """The parts of an area that a line leaves, the largest first.

    Args:
        shape: an area, lon/lat; of several areas, those that the line misses go with the largest.
        line: the line across it.

    Raises:
        BadInput: the one is no area, the other no line, the line does not cross it from edge to
            edge, or it leaves a part of next to nothing.
    """
    area, across = shape.geometry(), line.geometry()
    if not isinstance(area, Polygon | MultiPolygon):
        raise BadInput("split-no-area", type=shape.type)
    if not isinstance(across, LineString):
        raise BadInput("split-no-line", type=line.type)
    reaching = _reaching(across)
    parts, whole = list[Polygon](), list[Polygon]()
    for one in area.geoms if isinstance(area, MultiPolygon) else (area,):
        found = [p for p in cut(one, reaching).geoms if isinstance(p, Polygon)]
        if len(found) > 1:
            parts += found
        else:
            whole.append(one)
    if not parts:
        raise BadInput("split-misses")
    first, *rest = sorted(parts, key=area_ac, reverse=True)
    if area_ac(rest[-1]) < LEAST_AC:
        raise BadInput("split-sliver", least=Amount(LEAST_AC, "ac", printed=True))
    return tuple(_shape(p) for p in (unary_union([first, *whole]) if whole else first, *rest))


def _reaching(line: LineString) -> LineString:
    """The line with both its ends drawn on by a hair."""
    points = [p for i, p in enumerate(line.coords) if i == 0 or p != line.coords[i - 1]]
    return LineString([_beyond(points[1], points[0]), *points, _beyond(points[-2], points[-1])])


def _beyond(a: tuple[float, ...], b: tuple[float, ...]) -> tuple[float, float]:
    far = math.hypot(b[0] - a[0], b[1] - a[1])
    return b[0] + (b[0] - a[0]) / far * REACH_DEG, b[1] + (b[1] - a[1]) / far * REACH_DEG


def _shape(part: BaseGeometry) -> Shape:
    found = mapping(part)
    return Shape(found["type"], found["coordinates"])

"""The map on paper: places in millimetres on the sheet, hatch and line before colour."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
from pyproj import Transformer
from shapely import GeometryCollection, Point, transform
from shapely.geometry.base import BaseGeometry

from fencerow.manner import shown_unit, symbol
from fencerow.plan.ground import acres_of, in_order, kind_of
from fencerow.plan.plan import Plan
from fencerow.plan.show import brief
from fencerow.science.ground.grid import utm_epsg
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase
from fencerow.units import convert
from fencerow.words import value_of

WIDTH_MM, HEIGHT_MM = 180.0, 165.0
SCALES = (25, 50, 100, 200, 300, 500, 1000, 2000, 5000)
_HALF_INCH_MM = 12.7


def draw_map(
    plan: Plan,
    keep: Callable[[Kept[PlaceBase]], bool] = lambda _: True,
    closed: frozenset[str] = frozenset(),
    tall_mm: float = HEIGHT_MM,
    also: tuple[str, ...] = (),
) -> dict[str, Any] | None:
    """The places of a tract on a sheet, north up, with a scale bar; None where nothing is drawn.

    Args:
        keep: whether a place is on it.
        closed: ids of the places that are hatched as closed ground.
        tall_mm: the most height that it takes.
        also: kinds of line that have their names on it.
    """
    places = [k for k in in_order(plan.given.tract) if k.body.shape and keep(k)]
    drawn = [(k, k.body.shape.geometry()) for k in places if k.body.shape]
    if not drawn:
        return None
    centre = _hull(shape for _, shape in drawn).centroid
    to_grid = Transformer.from_crs("EPSG:4326", utm_epsg(centre.x, centre.y), always_xy=True)

    def flatten(points: Any) -> Any:
        return np.column_stack(to_grid.transform(points[:, 0], points[:, 1]))

    flat = [(k, transform(s, flatten)) for k, s in drawn]
    west, south, east, north = _hull(shape for _, shape in flat).bounds
    mm = min(WIDTH_MM / max(east - west, 1), tall_mm / max(north - south, 1)) * 0.96
    width, height = (east - west) * mm, (north - south) * mm

    def place(points: Any) -> Any:
        return np.column_stack([(points[:, 0] - west) * mm, height - (points[:, 1] - south) * mm])

    features = [_feature(k, transform(s, place)) for k, s in flat]
    place_labels(features, width, height, also)
    for (kept, _), feature in zip(flat, features, strict=True):
        if kept.id in closed and feature["area"]:
            feature["kind"] = "closed ground"
    return {
        "width": width,
        "height": height,
        "features": [f for f in features if f["parts"] or f["point"]],
        "kinds": list(dict.fromkeys(f["kind"] for f in features)),
        "called": {f["kind"]: value_of(f["kind"]) for f in features},
        "scale": _scale(mm, width),
    }


def _hull(shapes: Iterator[BaseGeometry]) -> BaseGeometry:
    return GeometryCollection(list(shapes)).envelope


def _scale(mm_per_m: float, width: float) -> dict[str, Any]:
    """The longest round bar that takes no more than a third of the sheet."""
    unit = shown_unit("yd")
    lengths = [(n, convert(n, unit, "m") * mm_per_m) for n in SCALES]
    fit = [pair for pair in lengths if pair[1] <= width / 3] or lengths[:1]
    return {"words": f"{fit[-1][0]:,} {symbol('yd')}", "mm": fit[-1][1]}


def _feature(kept: Any, shape: BaseGeometry) -> dict[str, Any]:
    area = shape.geom_type in ("Polygon", "MultiPolygon")
    spot = shape.representative_point() if area else _middle(shape)
    acres = brief(acres_of(kept)) if area and kind_of(kept.body) == "plot" else ""
    return {
        "name": kept.body.name,
        "under": acres,
        "kind": kind_of(kept.body),
        "area": area,
        "point": [spot.x, spot.y] if shape.geom_type == "Point" else None,
        "parts": [_ring(part) for part in _rings(shape)],
        "spot": [spot.x, spot.y],
    }


def _middle(shape: BaseGeometry) -> Point:
    return shape.interpolate(0.5, normalized=True) if shape.length else shape.centroid


def _rings(shape: BaseGeometry) -> Iterator[Any]:
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "Polygon":
            yield part.exterior.coords
            yield from (hole.coords for hole in part.interiors)
        elif part.geom_type == "LineString":
            yield part.coords


def _ring(coords: Any) -> list[list[float]]:
    return [[round(x, 2), round(y, 2)] for x, y in coords]


Box = tuple[float, float, float, float]
_LETTER_MM, _LINE_MM, _GAP_MM = 1.55, 3.6, 2.6
_LABELLED_AREAS = ("plot", "native-grass field", "cover", "timber", "right-of-way")


def place_labels(
    features: list[dict[str, Any]], width: float, height: float, also: tuple[str, ...] = ()
) -> None:
    """Give each feature a `label` (centre of its words) that covers no other, or None.

    Areas first, at a point inside; then points, to the right, left, below or above of their sign.
    A name for which there is no room is left to the legend of the ground sheet.
    """
    taken: list[Box] = [around(f["point"], 1.8, 1.8) for f in features if f["point"]]
    labelled = (*_LABELLED_AREAS, *also)
    areas = [f for f in features if f["kind"] in labelled and not f["point"]]
    points = [f for f in features if f["point"]]
    for feature in features:
        feature["label"] = None
    for feature in areas + points:
        wide = _LETTER_MM * max(len(feature["name"]), len(feature["under"])) / 2
        tall = _LINE_MM * (2 if feature["under"] else 1) / 2
        for spot in _spots(feature, wide, tall):
            box = around(spot, wide, tall)
            inside = box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height
            if inside and not any(meet(box, other) for other in taken):
                feature["label"] = list(spot)
                taken.append(box)
                break


def _spots(feature: dict[str, Any], wide: float, tall: float) -> list[tuple[float, float]]:
    x, y = feature["spot"]
    if not feature["point"]:
        return [(x, y), (x, y - 2 * tall), (x, y + 2 * tall), (x, y - 4 * tall), (x, y + 4 * tall)]
    side = wide + _GAP_MM
    near = [(x + side, y), (x - side, y), (x, y + tall + _GAP_MM), (x, y - tall - _GAP_MM)]
    return near + [(x + s * side, y + t * 2 * tall) for s in (1, -1) for t in (1, -1)]


def around(spot: Any, wide: float, tall: float) -> Box:
    """The box of words about their centre."""
    return spot[0] - wide, spot[1] - tall, spot[0] + wide, spot[1] + tall


def meet(a: Box, b: Box) -> bool:
    """Whether two boxes cover one another."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]

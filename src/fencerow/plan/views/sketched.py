"""The ground as a sketch: places in whole metres from the top left corner, by kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from pyproj import Transformer
from shapely import GeometryCollection, Point, box, transform
from shapely.geometry.base import BaseGeometry

from fencerow.manner import shown_unit, symbol
from fencerow.plan.ground import in_order, kind_of
from fencerow.plan.sketch import Key, Outline, Run, Spot, View, Word
from fencerow.science.ground.grid import utm_epsg
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import PlaceBase
from fencerow.units import convert
from fencerow.words import say, value_of

UNDER = ("boundary", "right-of-way", "timber", "cover", "native-grass field", "water", "plot")
"""What is wide is drawn under what is small."""
LEFT_OUT = ("soil zone", "lane")
NAMED = ("plot", "treestand", "blind", "cover", "timber", "native-grass field", "mock scrape",
         "camera", "dwelling", "gate")  # fmt: skip
"""What is named where there is room, the first first."""
NAMES = {
    "share-1": "sketch-key-share-1", "share-2": "sketch-key-share-2",
    "share-3": "sketch-key-share-3", "way": "sketch-key-way", "reached": "sketch-key-reached",
    "spread": "sketch-key-spread", "aim": "sketch-key-aim", "arm": "sketch-key-arm",
    "open": "sketch-key-open", "ruled": "sketch-key-ruled", "sun": "sketch-key-sun",
}  # fmt: skip
"""What the looks of a sketch's own stand for, in words of the catalogue."""
SIGNED_AREAS = ("dwelling",)
BARS = (25, 50, 100, 200, 300, 500, 1000, 2000, 5000)
TOLERANCE_M = 0.7


@dataclass(frozen=True)
class Ground:
    """A piece of ground that is drawn: its corner and size in metres of the tract's UTM zone."""

    west: float
    north: float
    wide: int
    high: int
    crs: int

    def flat(self, shape: BaseGeometry) -> BaseGeometry:
        """A lon/lat shape in metres from the top left corner, y down."""
        to_grid = Transformer.from_crs(4326, self.crs, always_xy=True)

        def placed(points: Any) -> Any:
            x, y = to_grid.transform(points[:, 0], points[:, 1])
            return np.column_stack((np.asarray(x) - self.west, self.north - np.asarray(y)))

        return transform(shape, placed)

    @property
    def frame(self) -> BaseGeometry:
        """The rim of what is drawn."""
        return box(0, 0, self.wide, self.high)

    def outline(self, look: str, shape: BaseGeometry, area: bool) -> Outline:
        """A shape in metres of the sketch as it is drawn: cut at the rim, in whole metres."""
        cut = shape.intersection(self.frame).simplify(TOLERANCE_M)
        return Outline(look, tuple(_runs(cut, area)), area)


def whole_tract(tract: Tract, margin_m: float = 25.0) -> Ground | None:
    """All that is drawn of a tract; None where nothing is."""
    drawn = [k.body.shape.geometry() for k in tract.places.values() if k.body.shape]
    if not drawn:
        return None
    whole = GeometryCollection(drawn)
    middle = whole.envelope.centroid
    crs = utm_epsg(middle.x, middle.y)
    left, top, right, bottom = Ground(0.0, 0.0, 1, 1, crs).flat(whole).bounds
    return Ground(
        left - margin_m, margin_m - top,
        round(right - left + 2 * margin_m), round(bottom - top + 2 * margin_m), crs,
    )  # fmt: skip


def around(shape: BaseGeometry, half_m: float) -> Ground:
    """A square about a place, so many metres to each side."""
    point = shape.representative_point()
    crs = utm_epsg(point.x, point.y)
    x, y = Transformer.from_crs(4326, crs, always_xy=True).transform(point.x, point.y)
    side = round(2 * half_m)
    return Ground(x - half_m, y + half_m, side, side, crs)


def bar(ground: Ground) -> tuple[int, str]:
    """The longest round scale bar that takes no more than a third of the width."""
    unit = shown_unit("yd")
    fit = [n for n in BARS if convert(n, unit, "m") <= ground.wide / 3] or [BARS[0]]
    return round(convert(fit[-1], unit, "m")), f"{fit[-1]:,} {symbol('yd')}"


def base_of(
    tract: Tract, ground: Ground, names: bool = True, only: str = "", skip: tuple[str, ...] = ()
) -> View:
    """The places on a piece of ground: areas and lines, signs, and what they are called.

    Args:
        names: whether places are named.
        skip: kinds that are not drawn.
        only: the one treestand or blind that is drawn; empty for all.
    """
    outlines, spots, words = [], [], []
    for kept in sorted(in_order(tract), key=_rank):
        kind = kind_of(kept.body)
        if kept.body.shape is None or kind in (*LEFT_OUT, *skip):
            continue
        if only and kind in ("treestand", "blind", "camera", "mock scrape") and kept.id != only:
            continue
        shape = ground.flat(kept.body.shape.geometry())
        named = names and kind in NAMED
        if shape.geom_type == "Point" or kind in SIGNED_AREAS:
            at = shape.representative_point()
            if ground.frame.contains(at):
                spots.append(Spot(kind, round(at.x), round(at.y), kept.body.name if named else ""))
            continue
        area = shape.geom_type in ("Polygon", "MultiPolygon")
        drawn = ground.outline(kind, shape, area)
        if not drawn.runs:
            continue
        outlines.append(drawn)
        if named and area:
            at = shape.intersection(ground.frame).representative_point()
            words.append((NAMED.index(kind), Word(kept.body.name, round(at.x), round(at.y))))
    ordered = tuple(w for _, w in sorted(words, key=lambda pair: pair[0]))
    return View("", "", tuple(outlines), tuple(spots), ordered)


def _rank(kept: Kept[PlaceBase]) -> int:
    kind = kind_of(kept.body)
    return UNDER.index(kind) if kind in UNDER else len(UNDER)


def key_of(view: View) -> Iterator[Key]:
    """What the hatches, lines and signs of the kinds of place stand for."""
    forms = {o.look: "area" if o.area else "line" for o in view.outlines}
    forms |= {s.kind: "sign" for s in view.spots}
    for look, form in forms.items():
        yield Key(look, value_of(look), form)


def keys(forms: Iterable[tuple[str, str]]) -> tuple[Key, ...]:
    """What looks of a sketch's own stand for."""
    return tuple(Key(look, say(NAMES[look]), form) for look, form in forms)


def spot_of(ground: Ground, kind: str, shape: BaseGeometry, name: str = "") -> Spot:
    """A sign at a lon/lat place."""
    at: Point = ground.flat(shape).representative_point()
    return Spot(kind, round(at.x), round(at.y), name)


def _runs(shape: BaseGeometry, area: bool) -> Iterator[Run]:
    for part in getattr(shape, "geoms", [shape]):
        if part.is_empty:
            continue
        if part.geom_type == "Polygon" and area:
            for ring in (part.exterior, *part.interiors):
                yield _run(list(ring.coords)[:-1])
        elif part.geom_type == "LineString" and not area:
            yield _run(list(part.coords))
        elif hasattr(part, "geoms"):
            yield from _runs(part, area)


def _run(points: Any) -> Run:
    """Whole metres, none twice."""
    whole = [(round(p[0]), round(p[1])) for p in points]
    kept = [p for i, p in enumerate(whole) if i == 0 or p != whole[i - 1]]
    return tuple(n for p in kept for n in p)

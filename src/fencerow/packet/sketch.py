"""Sketches on paper: the same pictures as on a page, in millimetres, their words set down."""

from __future__ import annotations

from typing import Any

from fencerow.packet.map import place_labels
from fencerow.plan.sketch import Outline, Sketch, Spot, View, Word

WIDTH_MM, GAP_MM = 176.0, 4.0
CARD_MM = 100.0
"""A range card leaves room for what has to be read beside it."""
MOST_ACROSS = 4
UNDER = "share"
"""Looks that begin so lie under the places."""


def set_sketch(sketch: Sketch) -> dict[str, Any]:
    """A sketch as the template sets it: points in millimetres, words where they cover no others."""
    across = min(len(sketch.views), MOST_ACROSS)
    card = sketch.bar is None
    wide = CARD_MM if card else (WIDTH_MM - GAP_MM * (across - 1)) / across
    mm = wide / sketch.wide
    high = sketch.high * mm
    bar = None if sketch.bar is None else {"mm": sketch.bar[0] * mm, "word": sketch.bar[1]}
    return {
        "kind": "sketch", "title": sketch.title, "across": across, "width": wide, "height": high,
        "north": sketch.north_deg, "bar": bar, "card": card,
        "views": [_view(sketch.base, v, mm, wide, high) for v in sketch.views],
        "key": [vars(k) for k in sketch.key],
    }  # fmt: skip


def _view(base: View, view: View, mm: float, wide: float, high: float) -> dict[str, Any]:
    under = [o for o in view.outlines if o.look.startswith(UNDER)]
    over = [o for o in view.outlines if not o.look.startswith(UNDER)]
    spots, words = (*base.spots, *view.spots), (*base.words, *view.words)
    return {
        "title": view.title,
        "told": view.told,
        "outlines": [_outline(o, mm) for o in (*under, *base.outlines, *over)],
        "spots": [{"kind": s.kind, "at": _at(s, mm)} for s in spots],
        "words": [*_free(spots, words, mm, wide, high), *_fixed(words, mm)],
    }


def _at(thing: Spot | Word, mm: float) -> list[float]:
    return [round(thing.x * mm, 2), round(thing.y * mm, 2)]


def _outline(outline: Outline, mm: float) -> dict[str, Any]:
    runs = [
        [[round(x * mm, 2), round(y * mm, 2)] for x, y in zip(r[::2], r[1::2], strict=True)]
        for r in outline.runs
    ]
    return {"look": outline.look, "area": outline.area, "runs": runs}


def _fixed(words: tuple[Word, ...], mm: float) -> list[dict[str, Any]]:
    return [{"text": w.text, "at": _at(w, mm)} for w in words if not w.free]


def _free(
    spots: tuple[Spot, ...], words: tuple[Word, ...], mm: float, wide: float, high: float
) -> list[dict[str, Any]]:
    """Names of signs and areas where there is room."""
    features: list[dict[str, Any]] = [
        {"name": s.name, "under": "", "kind": s.kind, "point": _at(s, mm), "spot": _at(s, mm)}
        for s in spots
    ]
    features += [
        {"name": w.text, "under": "", "kind": "plot", "point": None, "spot": _at(w, mm)}
        for w in words
        if w.free
    ]
    place_labels(features, wide, high)
    return [{"text": f["name"], "at": f["label"]} for f in features if f["label"] and f["name"]]

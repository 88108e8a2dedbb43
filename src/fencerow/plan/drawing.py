"""A drawing: what a table's figures look like; the same on a page and on paper.

Everything in it is told by pattern and by word; ink comes second, so that it reads in sunlight, in
grey and by red light. Places along the axis count from 0. Amounts are in the unit that is shown, so
that nothing is left to reckon for whoever draws. Each picture stands beside its table, with a row
for each place along the axis, and says in a sentence what is to be seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import floor, log10
from typing import Any

from fencerow.manner import shown
from fencerow.plan.ruled import Ruled
from fencerow.plan.sketch import Sketch, plain_sketch

Amounts = tuple[float | None, ...]


class Look(StrEnum):
    """How a line runs, or how an area is filled."""

    SOLID = "solid"
    DASHED = "dashed"
    DOTTED = "dotted"
    HATCHED = "hatched"
    CROSSED = "crossed"
    STIPPLED = "stippled"
    FULL = "full"
    EMPTY = "empty"


class Ink(StrEnum):
    """What a pattern is drawn in, where there is colour."""

    PLAIN = "plain"
    WATER = "water"
    FIT = "fit"
    STOP = "stop"
    MARK = "mark"


@dataclass(frozen=True)
class Axis:
    """Places from left to right: what each is called, and where words stand below them."""

    heads: tuple[str, ...]
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True)
class Scale:
    """Amounts from 0 up to `top`, and the amounts that are lettered."""

    top: float
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True)
class Line:
    """An amount at each place; none where it is not known."""

    name: str
    at: Amounts
    look: Look = Look.SOLID
    ink: Ink = Ink.PLAIN


@dataclass(frozen=True)
class Band:
    """From a low to a high amount at each place; none where it is not known."""

    name: str
    low: Amounts
    high: Amounts
    look: Look = Look.HATCHED
    ink: Ink = Ink.PLAIN


@dataclass(frozen=True)
class Mark:
    """A place along the axis with a word."""

    at: float
    word: str


@dataclass(frozen=True)
class Curve:
    """One picture of bands and lines; `about` names the thing of the record that it is of."""

    title: str
    told: str
    layers: tuple[Band | Line, ...]
    marks: tuple[Mark, ...]
    table: Ruled
    about: str = ""

    def amounts(self) -> Iterable[float]:
        """Every amount that is known."""
        for layer in self.layers:
            for series in (layer.at,) if isinstance(layer, Line) else (layer.low, layer.high):
                yield from (a for a in series if a is not None)


@dataclass(frozen=True)
class Curves:
    """Curves on one axis and one scale, so that they can be held against each other."""

    title: str
    unit: str
    axis: Axis
    scale: Scale
    frames: tuple[Curve, ...]

    def pictures(self) -> Iterable[tuple[str, str]]:
        """What each picture is called, and what it shows in words."""
        return ((frame.title, frame.told) for frame in self.frames)


@dataclass(frozen=True)
class State:
    """What a cell of a strip may be."""

    word: str
    look: Look
    ink: Ink = Ink.PLAIN


@dataclass(frozen=True)
class Lane:
    """A row of a strip: at each place the number of its state."""

    name: str
    cells: tuple[int, ...]


@dataclass(frozen=True)
class Strip:
    """Rows of cells that are in one of a few states: fit, not, not known."""

    title: str
    told: str
    axis: Axis
    states: tuple[State, ...]
    lanes: tuple[Lane, ...]
    marks: tuple[Mark, ...]
    table: Ruled

    def pictures(self) -> Iterable[tuple[str, str]]:
        """What it shows in words, under no name but its title."""
        return (("", self.told),)


Drawing = Curves | Strip | Sketch


LEAST_DRAWN = 1e-6
"""Less than this is nothing, in any unit."""


def scaled(frames: Sequence[Curve]) -> Scale:
    """A scale that holds every amount of some curves, lettered at two to four round amounts."""
    most = max((a for f in frames for a in f.amounts()), default=0.0)
    if most < LEAST_DRAWN:
        return Scale(1.0, ())
    rough = most / 2.5
    tens = 10.0 ** floor(log10(rough))
    step = next(n * tens for n in (1.0, 2.0, 5.0, 10.0) if n * tens >= rough * 0.999)
    count = int(most / step + 1e-9)
    marks = [float(f"{step * (i + 1):.6g}") for i in range(count)]
    return Scale(float(f"{most * 1.06:.4g}"), tuple((m, f"{m:,g}") for m in marks))


def seen(values: Iterable[float | None], unit: str) -> Amounts:
    """Amounts of a unit as they are drawn: in the unit that is shown, to four places that count."""
    return tuple(None if v is None else float(f"{shown(v, unit):.4g}") for v in values)


def curves(title: str, unit: str, axis: Axis, frames: Sequence[Curve]) -> tuple[Curves, ...]:
    """Curves as one drawing on one scale; none where there is none."""
    return (Curves(title, unit, axis, scaled(frames), tuple(frames)),) if frames else ()


def plain(drawing: Drawing) -> dict[str, Any]:
    """A drawing as JSON values, without the tables that stand beside its pictures."""
    if isinstance(drawing, Sketch):
        return plain_sketch(drawing)
    axis = {"heads": list(drawing.axis.heads), "ticks": _marks(drawing.axis.ticks)}
    head = {"title": drawing.title, "axis": axis}
    if isinstance(drawing, Strip):
        return {
            "kind": "strip", **head, "told": drawing.told,
            "states": [{"word": s.word, "look": s.look.value, "ink": s.ink.value}
                       for s in drawing.states],
            "lanes": [{"name": n.name, "cells": list(n.cells)} for n in drawing.lanes],
            "marks": _marks([(m.at, m.word) for m in drawing.marks]),
        }  # fmt: skip
    return {
        "kind": "curves", **head, "unit": drawing.unit,
        "top": drawing.scale.top, "ticks": _marks(drawing.scale.ticks),
        "frames": [_frame(f) for f in drawing.frames],
    }  # fmt: skip


def _frame(frame: Curve) -> dict[str, Any]:
    return {
        "title": frame.title, "told": frame.told, "about": frame.about,
        "layers": [_layer(layer) for layer in frame.layers],
        "marks": _marks([(m.at, m.word) for m in frame.marks]),
    }  # fmt: skip


def _layer(layer: Band | Line) -> dict[str, Any]:
    """A line's amounts stand as the high ones; it has no low ones."""
    line = isinstance(layer, Line)
    low, high = ((), layer.at) if isinstance(layer, Line) else (layer.low, layer.high)
    return {
        "name": layer.name, "line": line, "look": layer.look.value, "ink": layer.ink.value,
        "low": list(low), "high": list(high),
    }  # fmt: skip


def _marks(marks: Iterable[tuple[float, str]]) -> list[dict[str, Any]]:
    return [{"at": round(at, 3), "word": word} for at, word in marks]

"""A sketch: ground as it lies, or a range card, drawn with line and hatch; for page and paper.

Everything is placed by the planner in whole units of the sketch, from its top left corner; whoever
draws it only chooses how wide. Kinds of place keep the hatch and line that the map gives them; what
is told besides has a look of its own, told apart without colour.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from fencerow.plan.ruled import Ruled

Run = tuple[int, ...]
"""x, y, x, y ... along a line or around an area."""

SHARES = ("share-1", "share-2", "share-3")
"""Lines that stand the closer, the more of the hours are right."""
REACHED, SPREAD = "reached", "spread"
"""Ground that scent reaches; that it may reach, for all that is known of the wind."""
WAY, RING, AIM, ARM, LANE_OPEN, RULED, SUN = (
    "way", "ring", "aim", "arm", "open", "ruled", "sun"
)  # fmt: skip
"""A way in; a ring of one distance; a line to a place in reach, and one in reach of every arm; a
lane; directions ruled out; where the sun comes up or goes down."""


@dataclass(frozen=True)
class Outline:
    """Lines or areas that are drawn alike; an area's runs are its rims and its holes."""

    look: str
    runs: tuple[Run, ...]
    area: bool


@dataclass(frozen=True)
class Spot:
    """A sign; `name` stands beside it where there is room."""

    kind: str
    x: int
    y: int
    name: str = ""


@dataclass(frozen=True)
class Word:
    """Words at a place. Free ones are set down, the first first, where they cover no others."""

    text: str
    x: int
    y: int
    free: bool = True


@dataclass(frozen=True)
class View:
    """One picture: what is drawn over what all pictures share; `about` names what it is of."""

    title: str
    told: str
    outlines: tuple[Outline, ...] = ()
    spots: tuple[Spot, ...] = ()
    words: tuple[Word, ...] = ()
    about: str = ""


@dataclass(frozen=True)
class Key:
    """What a look or a sign stands for."""

    look: str
    name: str
    form: str
    """area, line or sign"""


@dataclass(frozen=True)
class Sketch:
    """Pictures of one piece of ground at one scale.

    Args:
        wide, high: of each picture, in units of the sketch.
        north_deg: which way north lies, clockwise from up.
        bar: length of the scale bar in units, and its words; none where rings tell the distance.
        base: what every picture shows beneath its own.
        table: the same in words.
    """

    title: str
    wide: int
    high: int
    north_deg: float
    bar: tuple[int, str] | None
    base: View
    views: tuple[View, ...]
    key: tuple[Key, ...]
    table: Ruled

    def pictures(self) -> Iterable[tuple[str, str]]:
        """What each picture is called, and what it shows in words."""
        return ((view.title, view.told) for view in self.views)


def plain_sketch(sketch: Sketch) -> dict[str, Any]:
    """A sketch as JSON values, without the tables that stand beside its pictures."""
    return {
        "kind": "sketch", "title": sketch.title, "wide": sketch.wide, "high": sketch.high,
        "north": round(sketch.north_deg, 1),
        "bar": None if sketch.bar is None else {"long": sketch.bar[0], "word": sketch.bar[1]},
        "base": _layer(sketch.base),
        "views": [
            {"title": v.title, "told": v.told, "about": v.about, **_layer(v)} for v in sketch.views
        ],
        "key": [vars(k) for k in sketch.key],
    }  # fmt: skip


def _packed(run: Run) -> str:
    """The first point, then how far each lies from the one before it: short, for pages to open."""
    steps = (b - a for a, b in zip((0, 0, *run), run, strict=False))
    return " ".join(map(str, steps))


def _layer(view: View) -> Mapping[str, Any]:
    return {
        "outlines": [
            {"look": o.look, "area": o.area, "runs": ";".join(map(_packed, o.runs))}
            for o in view.outlines
        ],
        "spots": [vars(s) for s in view.spots],
        "words": [vars(w) for w in view.words],
    }

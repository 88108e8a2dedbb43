"""Where scent goes from a sit, drawn on the ground: in the winds it wants, and in today's hours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from fencerow.plan.ruled import Ruled, columns
from fencerow.plan.show import Told, brief, compass
from fencerow.plan.sits.evening import Evening, HourWind, PlaceToday
from fencerow.plan.sits.footprints import Footprints
from fencerow.plan.sits.siting_body import Print, Siting
from fencerow.plan.sketch import REACHED, SPREAD, Outline, Sketch, View, Word
from fencerow.plan.views.sketched import Ground, around, bar, base_of, key_of, keys
from fencerow.science.ground.sit_hours import WRONG
from fencerow.science.ground.sun import clock_text
from fencerow.tract.model import Tract
from fencerow.words import name_of, say

HALF_M = 270.0
"""So far to each side of a sit is drawn, alike for all, so that they can be held together."""
POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
LEFT_OUT = ("right-of-way", "firebreak", "boundary", "gate")
"""What scent has nothing to do with, and a small picture no room for."""


def steady_sketch(siting: Siting, tract: Tract, sit: str) -> tuple[Sketch, ...]:
    """Where scent goes on the steady day, in the winds of the compass that a sit wants."""
    prints = siting.prints.get(sit)
    shape = _shape(tract, sit)
    if not prints or shape is None:
        return ()
    rows = [
        (say("sketch-wind-from", wind=_from(p)), ", ".join(p.reached), ", ".join(_also(p)))
        for p in prints.values()
    ]
    table = Ruled(columns("wind", "reached+", "maybe", of="sketch-"), tuple(rows))
    views = [(say("sketch-wind-from", wind=_from(p)), p) for p in prints.values()]
    return (_sketch(say("sketch-steady"), tract, sit, shape, views, table),)


def hours_sketches(evening: Evening, prints: Footprints, tract: Tract) -> tuple[Sketch, ...]:
    """For each sit that may be sat in today, where scent goes in its last hours; what stands
    for what is said once, below the last."""
    drawn = list(_hours(evening, prints, tract))
    keys = tuple(dict.fromkeys(k for d in drawn for k in d.key))
    return tuple(replace(d, key=keys if d is drawn[-1] else ()) for d in drawn)


def _hours(evening: Evening, prints: Footprints, tract: Tract) -> Iterator[Sketch]:
    for sit, found in prints.sits.items():
        place, shape = evening.places.get(sit), _shape(tract, sit)
        if place is None or shape is None or _shut(place):
            continue
        kept = [(key, p) for key, p in found.items() if key in evening.hours]
        if not kept:
            continue
        table = _hours_table(evening, sit, kept)
        views = [(_at(evening.hours[key]), p) for key, p in kept]
        yield _sketch(say("sketch-today", place=place.name), tract, sit, shape, views, table)


def _shut(place: PlaceToday) -> bool:
    """Whether something else than the wind keeps people away for the whole day."""
    return any(r.state == WRONG for r in place.reasons.values())


def _hours_table(evening: Evening, sit: str, kept: Sequence[tuple[str, Print]]) -> Ruled:
    rows = []
    for key, p in kept:
        hour = evening.hours[key]
        wind = compass(hour.wind_from) if hour.wind_from.known else say("evening-still")
        rows.append((
            _at(hour), f"{wind} {brief(hour.wind)}" if not hour.wind.known
            else Told(f"{wind} {brief(hour.wind)}", hour.wind),
            ", ".join(p.reached), ", ".join(_also(p)),
        ))  # fmt: skip
    return Ruled(columns("hour", "wind", "reached+", "maybe", of="sketch-"), tuple(rows))


def _at(hour: HourWind) -> str:
    return Told(clock_text(hour.begins.value), hour.begins)


def _from(found: Print) -> str:
    if found.from_deg is None:
        return say("evening-still")
    return name_of(POINTS[round(found.from_deg / 45) % 8])


def _also(found: Print) -> list[str]:
    return [name for name in found.maybe if name not in found.reached]


def _sketch(
    title: str, tract: Tract, sit: str, shape: BaseGeometry,
    found: Sequence[tuple[str, Print]], table: Ruled,
) -> Sketch:  # fmt: skip
    ground = around(shape, HALF_M)
    base = base_of(tract, ground, names=False, only=sit, skip=LEFT_OUT)
    views = tuple(
        View(str(head), _told(p), (*_outlines(ground, p),), (), (*_names(tract, ground, p),))
        for head, p in found
    )
    own = keys(((REACHED, "area"), (SPREAD, "area")))
    return Sketch(title, ground.wide, ground.high, 0.0, bar(ground), base, views,
                  (*own, *key_of(base)), table)  # fmt: skip


def _outlines(ground: Ground, found: Print) -> Iterator[Outline]:
    for look, shape in ((SPREAD, found.spread), (REACHED, found.middle)):
        outline = ground.outline(look, ground.flat(shape), True)
        if outline.runs:
            yield outline


def _names(tract: Tract, ground: Ground, found: Print) -> Iterator[Word]:
    """What scent may reach, by name, where it lies in the picture."""
    for kept in tract.places.values():
        if kept.body.name in found.maybe and kept.body.shape is not None:
            cut = ground.flat(kept.body.shape.geometry()).intersection(ground.frame)
            if not cut.is_empty:
                at = cut.representative_point()
                yield Word(kept.body.name, round(at.x), round(at.y))


def _told(found: Print) -> str:
    parts = []
    if found.reached:
        parts.append(say("sketch-reaches", places=", ".join(found.reached)))
    if also := _also(found):
        parts.append(say("sketch-may-reach", places=", ".join(also)))
    return " ".join(parts) or say("sketch-reaches-none")


def _shape(tract: Tract, sit: str) -> BaseGeometry | None:
    kept = tract.places.get(sit)
    return None if kept is None or kept.body.shape is None else kept.body.shape.geometry()

"""What was found at each look at a plot, the choices it leaves, the one taken, what follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.counts.read import (
    COVER,
    FREQUENCY,
    PLANTS,
    Reading,
    of_scouting,
    reading_of,
)
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import Sprayed, sprayings
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.section import Said, Weight
from fencerow.plan.work.counted import Count, count_of, count_options
from fencerow.plan.work.frost import PlantingWindow
from fencerow.plan.work.options import Option, sprayed_since, standing_on
from fencerow.plan.work.weeds import weed_options
from fencerow.tract.model import Kept
from fencerow.tract.places import NativeGrass
from fencerow.tract.scouted import Scouting
from fencerow.words import Message

FOUND = {PLANTS: "scout-found-plants", FREQUENCY: "scout-found-frequency",
         COVER: "scout-found-cover"}  # fmt: skip


@dataclass(frozen=True)
class Taken:
    """The task that follows from a decision."""

    by: Figure
    what: Message
    why: Message


@dataclass(frozen=True)
class Looked:
    """One look at a plot: what was found, the choices, the one that was taken, what follows."""

    place: str
    name: str
    on: Figure
    found: Message
    count: Count | None
    options: Mapping[str, Option]
    taken: str
    task: Taken | None


def looks_of(
    given: Given, orders: Mapping[str, PlotOrder], windows: Mapping[str, PlantingWindow]
) -> tuple[dict[str, Looked], dict[str, list[Said]]]:
    """Every scouting and every count of a place that is still there, the latest first, and what
    each asks."""
    sprayed, why_not = sprayings(given, orders)
    looks = [k for k in given.tract.scoutings.values() if k.body.place in given.tract.places]
    looks.sort(key=lambda k: (k.body.on, k.id), reverse=True)
    body, asked = dict[str, Looked](), dict[str, list[Said]]()
    for kept in looks:
        stops = [s.message for s in why_not if s.about == kept.body.place and _stops(s)]
        body[kept.id], asked[kept.id] = _look(given, kept, windows, sprayed, stops)
    for counted in given.tract.counts.values():
        if counted.body.place in given.tract.places:
            counted_now = reading_of(given, counted)
            body[counted.id], asked[counted.id] = _count(given, counted_now, windows)
    latest = sorted(body, key=lambda i: (body[i].on.value, i), reverse=True)
    return {i: body[i] for i in latest}, asked


def _stops(said: Said) -> bool:
    return said.weight is Weight.STOPPED


def _look(
    given: Given, kept: Kept[Scouting], windows: Mapping[str, PlantingWindow],
    sprayed: Mapping[str, Sprayed], stops: list[Message],
) -> tuple[Looked, list[Said]]:  # fmt: skip
    if kept.body.what == "plant count":
        return _count(given, of_scouting(given, kept), windows)
    planting = standing_on(given.tract, kept.body.place, kept.body.on)
    options = weed_options(given, kept, planting, windows, sprayed, stops)
    on = kept.figure("on", "scouted", unit="date")
    return _looked(given, kept.id, kept.body.place, on, _weeds(kept), None, options), []


def _count(
    given: Given, counted: Reading, windows: Mapping[str, PlantingWindow]
) -> tuple[Looked, list[Said]]:
    planting = standing_on(given.tract, counted.place, counted.on.value)
    count, asked = count_of(given, counted, planting)
    native = isinstance(given.tract.places[counted.place].body, NativeGrass)
    options = count_options(given, planting, windows, native)
    found = Message.of(FOUND[counted.measured])
    return _looked(given, counted.id, counted.place, counted.on, found, count, options), asked


def _looked(
    given: Given, id_: str, place: str, on: Figure, found: Message, count: Count | None,
    options: Mapping[str, Option],
) -> Looked:  # fmt: skip
    """A look with the choice that was taken, and what follows from it."""
    taken, name = _decided(given, id_), given.tract.places[place].body.name
    task = _task(given, place, on, options.get(taken), taken)
    return Looked(place, name, on, found, count, options, taken, task)


def _weeds(kept: Kept[Scouting]) -> Message:
    body = kept.body
    parts = (body.stage, body.weed or body.kind_of_weed)
    weed = " ".join(part for part in parts if part)
    if body.cover_pct is None:
        return Message.of("scout-found-weeds", weed=weed or "?")
    return Message.of("scout-found-weeds-cover", weed=weed or "?", cover=f"{body.cover_pct:g}")


def _decided(given: Given, id_: str) -> str:
    """The choice that was said last about a look; '' where none was."""
    of_it = [d for d in given.tract.decisions.values() if d.body.scouting == id_]
    last = max(of_it, key=lambda d: (str(d.on or ""), d.id), default=None)
    return "" if last is None else last.body.choice


def _task(given: Given, place: str, on: Figure, option: Option | None, taken: str) -> Taken | None:
    """What follows from a choice that is open; leaving is no task."""
    if option is None or option.stopped or taken == "leave":
        return None
    if taken == "spray" and sprayed_since(given, place, on.value) is not None:
        return None
    name = given.tract.places[place].body.name
    by = option.by if option.by is not None and option.by.known else on
    what = Message.of("task-scouted", choice=taken, place=name)
    return Taken(by, what, Message.of("task-scouted-why", on=on.value))

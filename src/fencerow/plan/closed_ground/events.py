"""What was done on the ground, by the log: sits, jobs, cameras, visits, walks, deer trailed.

One list for all that asks how disturbed a place is, so that a treestand and the cover beside it
never tell two stories. A thing that the log says twice, as a job that is marked as done and the
outing of the same day to the same place, counts once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.figure import Entered, Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import outline
from fencerow.plan.work.tasks import Work
from fencerow.science.ground.near import together
from fencerow.tract.model import Kept
from fencerow.tract.outings import Outing
from fencerow.tract.places import Camera
from fencerow.words import say

ROW_OF = {
    "sit": "sit", "work": "job", "camera check": "camera", "trailing": "trailing",
    "scouting": "scouting",
}  # fmt: skip
"""What somebody went in for, and the row of `rest_settings`; all else is a visit."""
READS = (
    "places", "sits", "visited", "done", "signs", "drifts", "scoutings", "clips", "applications",
    "verdicts", "outings",
)  # fmt: skip
"""The parts of a tract in which something was done."""


@dataclass(frozen=True)
class Event:
    """Something of the log: its id, row of `rest_settings`, place, day, words for where, and the
    outline of the ground that was walked, where it is drawn; `ground` is the same for the same
    outline."""

    id: str
    row: str
    place: str
    on: Figure
    where: str
    shape: Figure | None
    ground: str = ""

    @property
    def day(self) -> date:
        found: date = self.on.value
        return found


def events_of(given: Given, jobs: Mapping[str, Work]) -> list[Event]:
    """All that was done up to the day of the plan, by day. Reads the parts named in `READS`."""
    found = [e for e in _surely(given, jobs) if e.day <= given.as_of]
    there = {(e.place, e.day) for e in found}
    for event in _perhaps(given):
        if event.day <= given.as_of and (event.place, event.day) not in there:
            there.add((event.place, event.day))
            found.append(event)
    found += [e for e in _walks(given) if e.day <= given.as_of]
    return sorted(found, key=lambda e: (e.day, e.id))


def _surely(given: Given, jobs: Mapping[str, Work]) -> Iterator[Event]:
    """What counts each time that it is said."""
    for sat in given.tract.sits.values():
        if sat.body.on != given.as_of:  # that of today is not over
            row = "sit" if sat.body.noticed in (None, "none") else "noticed"
            yield from _at(given, sat, row, sat.body.place, sat.figure("on", unit="date"))
    for note in given.tract.visited.values():
        if note.on is not None:
            yield from _at(given, note, _visit(given, note.body.place), note.body.place)
    for done in given.tract.done.values():
        job = jobs.get(done.body.task)
        if job is not None and done.body.part != "not today" and done.on is not None:
            yield from _at(given, done, "camera" if job.kind == "camera" else "job", job.place)


def _perhaps(given: Given) -> Iterator[Event]:
    """What counts only where nothing else is said of that place on that day."""
    tract = given.tract
    for kept in tract.applications.values():
        yield from _at(given, kept, "job", kept.body.place, kept.figure("on", unit="date"))
    looks: tuple[Mapping[str, Kept[Any]], ...] = (
        tract.drifts, tract.scoutings, tract.clips, tract.verdicts,
    )  # fmt: skip
    for things in looks:
        for look in things.values():
            yield from _at(given, look, "visit", look.body.place, look.figure("on", unit="date"))
    for outing in tract.outings.values():
        yield from _outing(given, outing)


def _at(
    given: Given, kept: Kept[Any], row: str, place: str, on: Figure | None = None
) -> Iterator[Event]:
    there = given.tract.places.get(place)
    if there is None:
        return
    shape = outline(there) if there.body.shape is not None else None
    yield Event(kept.id, row, place, on or day_of(kept), there.body.name, shape, place)


def _visit(given: Given, place: str) -> str:
    kept = given.tract.places.get(place)
    return "camera" if kept is not None and isinstance(kept.body, Camera) else "visit"


def day_of(kept: Kept[object]) -> Figure:
    """The day on which an entry happened."""
    return Figure(kept.on, "date", Entered(kept.entry, "happened_on", "entered", kept.on))


def _outing(given: Given, kept: Kept[Outing]) -> Iterator[Event]:
    """Somebody who went in, at the place and along the route; one of today counts once they are
    back."""
    body = kept.body
    day = body.left_at.astimezone(ZoneInfo(given.tract.about.body.zone)).date()
    if day == given.as_of and body.back_at is None:
        return
    places = given.tract.places
    there = [places[i] for i in (body.place, body.route) if i in places]
    if not there:
        return
    drawn = {k.body.name: outline(k) for k in there if k.body.shape is not None}
    on = Figure(day, "date", Entered(kept.entry, "left_at", "entered", day))
    row = ROW_OF.get(body.what, "visit")
    ground = " ".join(k.id for k in there)
    yield Event(kept.id, row, there[0].id, on, there[0].body.name, _together(drawn), ground)


def _walks(given: Given) -> Iterator[Event]:
    """The sign that was found on a day is one walk."""
    by_day: dict[date, list[Kept[Any]]] = {}
    for sign in given.tract.signs.values():
        by_day.setdefault(sign.body.on, []).append(sign)
    for signs in by_day.values():
        drawn: dict[str, Figure] = {}
        for sign in signs:
            place = given.tract.places.get(sign.body.place)
            if sign.body.longitude_deg is not None:
                at = {"type": "Point",
                      "coordinates": (sign.body.longitude_deg, sign.body.latitude_deg)}  # fmt: skip
                drawn[sign.id] = Figure(at, "shape", Entered(sign.entry, "position", "entered"))
            elif place is not None and place.body.shape is not None:
                drawn[sign.id] = outline(place)
        first = min(signs, key=lambda s: s.id)
        at_one = first.body.place if len(signs) == 1 else ""
        on = first.figure("on", unit="date")
        yield Event(
            first.id, "scouting", at_one, on, say("disturb-walk"), _together(drawn), first.id
        )


def _together(drawn: Mapping[str, Figure]) -> Figure | None:
    """Several outlines as one."""
    if len(drawn) < 2:
        return next(iter(drawn.values()), None)
    parts = work_parts(together, drawn, shapes=[f.value for f in drawn.values()])
    return parts.figure(lambda shape: shape, "shape")

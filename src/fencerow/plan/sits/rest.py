"""Rest: what was done at each treestand and blind or near it lately, and when it is rested again.

The log feeds it: sits, visits noted, jobs and cameras marked as done. The model is a judgement, its
figures rows of `rest_settings`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.cameras import or_usual
from fencerow.plan.sits.frame import Frame
from fencerow.plan.work.planner import WorkPlan
from fencerow.science.ground.lines import nearest_yd
from fencerow.science.herd import rest as resting
from fencerow.science.seed.rotation import days_between
from fencerow.science.soil.timing import days_on
from fencerow.tract.model import Kept
from fencerow.tract.places import Camera, PlaceBase

HALF_LIVES = 8
"""What is older than so many half-lives has faded to nothing that counts."""


@dataclass(frozen=True)
class Disturbance:
    """Something that was done: what, where, when, and what is left of it."""

    what: str
    where: str
    on: Figure
    left: Figure


@dataclass(frozen=True)
class Resting:
    """What is left of the disturbance at one treestand or blind, and the day that it is rested."""

    name: str
    kind: str
    left: Figure
    days: Figure
    rested_on: Figure
    after: Mapping[str, Disturbance]

    @property
    def rested(self) -> bool:
        return self.days.number() == 0


@dataclass(frozen=True)
class Checked:
    """The day on which a camera was looked after last, and the day for the next time."""

    last: Figure
    next: Figure


@dataclass(frozen=True)
class Rest:
    """Each treestand and blind, and each camera that was ever looked after."""

    places: Mapping[str, Resting] = field(default_factory=dict)
    cameras: Mapping[str, Checked] = field(default_factory=dict)


@dataclass(frozen=True)
class _Event:
    """Something of the log: its id, row of `rest_settings`, place, day."""

    id: str
    row: str
    place: str
    on: Figure

    @property
    def day(self) -> date:
        found: date = self.on.value
        return found


def rest_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """How rested each treestand and blind is. Reads places, sits, notes and what is done."""
    frame = Frame(given)
    events = sorted(_events(given, earlier["work"].body), key=lambda e: (e.day, e.id))
    places = {kept.id: _resting(frame, kept, events) for kept in frame.sits()}
    last = {e.place: e.on for e in events if e.row == "camera"}
    cameras = {id_: _checked(frame, given.tract.places[id_], on) for id_, on in last.items()}
    said = [Said.of(Weight.DOUBT, "rest", "rest-judged")] if places else []
    return Section("rest", Rest(places, cameras), tuple(said))


def _events(given: Given, plan: WorkPlan) -> Iterator[_Event]:
    """All that was done up to the day of the plan, on a place that is there."""
    return (e for e in _all(given, plan) if e.place in given.tract.places and e.day <= given.as_of)


def _all(given: Given, plan: WorkPlan) -> Iterator[_Event]:
    tract = given.tract
    for sat in tract.sits.values():
        if sat.body.on == given.as_of:
            continue  # that of today is not over
        row = "sit" if sat.body.noticed in (None, "none") else "noticed"
        yield _Event(sat.id, row, sat.body.place, sat.figure("on", unit="date"))
    for note in tract.visited.values():
        if note.on is not None:
            yield _Event(note.id, _visit(given, note.body.place), note.body.place, _day_of(note))
    for done in tract.done.values():
        job = plan.jobs.get(done.body.task)
        if job is not None and done.body.part != "not today" and done.on is not None:
            row = "camera" if job.kind == "camera" else "job"
            yield _Event(done.id, row, job.place, _day_of(done))


def _visit(given: Given, place: str) -> str:
    kept = given.tract.places.get(place)
    return "camera" if kept is not None and isinstance(kept.body, Camera) else "visit"


def _day_of(kept: Kept[object]) -> Figure:
    """The day on which an entry happened."""
    return Figure(kept.on, "date", Entered(kept.entry, "happened_on", "entered", kept.on))


def _checked(frame: Frame, camera: Kept[PlaceBase], last: Figure) -> Checked:
    every = or_usual(frame, camera, "check_days", "check", "after_days")
    return Checked(last, work(days_on, from_date=last, after_days=every))


def _resting(frame: Frame, sit: Kept[PlaceBase], events: list[_Event]) -> Resting:
    after = {e.id: found for e in events if (found := _left(frame, sit, e)) is not None}
    names = {f"{d.what}, {d.on.value}, {i}": d.left for i, d in after.items()}
    left = work_parts(
        resting.disturbed_share, names, left=[d.left.number() for d in after.values()]
    ).figure(lambda total: total, "share")
    days = work(
        resting.days_to_rest,
        disturbed_share=left,
        rested_share=_row(frame, "rested", "weight_share"),
        half_life_days=_row(frame, "half-life", "after_days"),
    )
    rested_on = work(days_on, from_date=frame.today, after_days=days)
    return Resting(sit.body.name, kind_of(sit.body), left, days, rested_on, after)


def _left(frame: Frame, sit: Kept[PlaceBase], event: _Event) -> Disturbance | None:
    """What is left of an event at a sit; None where it was too far away or is long past."""
    half_life = _row(frame, "half-life", "after_days")
    ago = work(days_between, from_date=event.on, to_date=frame.today)
    place = frame.given.tract.places[event.place]
    if ago.number() > HALF_LIVES * half_life.number() or not _near(frame, sit, place):
        return None
    left = work(
        resting.left_share,
        weight_share=_row(frame, event.row, "weight_share"),
        ago_days=ago,
        half_life_days=half_life,
    )
    return Disturbance(event.row, place.body.name, event.on, left)


def _near(frame: Frame, sit: Kept[PlaceBase], place: Kept[PlaceBase]) -> bool:
    if place.id == sit.id:
        return True
    if sit.body.shape is None or place.body.shape is None:
        return False
    distance = work(nearest_yd, sit=outline(sit), shape=outline(place))
    return distance.number() <= _row(frame, "near", "within_yd").number()


def _row(frame: Frame, setting: str, column: str) -> Figure:
    return frame.given.tables["rest_settings"].row(setting).figure(column)

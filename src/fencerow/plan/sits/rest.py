"""Rest: what was done at each treestand and blind or near it lately, and when it is rested again.

The log feeds it (`closed_ground.events`). The model is a judgement, its figures rows of
`rest_settings`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure, work, work_parts
from fencerow.plan.closed_ground.events import Event, events_of
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.cameras import or_usual
from fencerow.plan.sits.frame import Frame
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


def rest_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """How rested each treestand and blind is. Reads all in which something was done."""
    frame = Frame(given)
    events = events_of(given, earlier["work"].body.jobs)
    half_life = _row(frame, "half-life", "after_days").number()
    lately = [e for e in events if (given.as_of - e.day).days <= HALF_LIVES * half_life]
    places = {kept.id: _resting(frame, kept, lately) for kept in frame.sits()}
    watching = {i: k for i, k in given.tract.places.items() if isinstance(k.body, Camera)}
    last = {e.place: e.on for e in events if e.row == "camera" and e.place in watching}
    cameras = {id_: _checked(frame, watching[id_], on) for id_, on in last.items()}
    said = [Said.of(Weight.DOUBT, "rest", "rest-judged")] if places else []
    return Section("rest", Rest(places, cameras), tuple(said))


def _checked(frame: Frame, camera: Kept[PlaceBase], last: Figure) -> Checked:
    every = or_usual(frame, camera, "check_days", "check", "after_days")
    return Checked(last, work(days_on, from_date=last, after_days=every))


def _resting(frame: Frame, sit: Kept[PlaceBase], events: list[Event]) -> Resting:
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


def _left(frame: Frame, sit: Kept[PlaceBase], event: Event) -> Disturbance | None:
    """What is left of an event at a sit; None where it was too far away."""
    if not _near(frame, sit, event):
        return None
    left = work(
        resting.left_share,
        weight_share=_row(frame, event.row, "weight_share"),
        ago_days=work(days_between, from_date=event.on, to_date=frame.today),
        half_life_days=_row(frame, "half-life", "after_days"),
    )
    return Disturbance(event.row, event.where, event.on, left)


def _near(frame: Frame, sit: Kept[PlaceBase], event: Event) -> bool:
    if event.place == sit.id:
        return True
    if sit.body.shape is None or event.shape is None:
        return False
    distance = work(nearest_yd, sit=outline(sit), shape=event.shape)
    return distance.number() <= _row(frame, "near", "within_yd").number()


def _row(frame: Frame, setting: str, column: str) -> Figure:
    return frame.given.tables["rest_settings"].row(setting).figure(column)

"""Who is on the ground today, and the directions from a sit that they rule out.

Directions that dwellings, roads, the boundary and other sits rule out hold every day (`ruled`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.figure import Figure, work
from fencerow.plan.ground import outline
from fencerow.plan.sits.frame import Frame
from fencerow.plan.work.planner import WorkPlan
from fencerow.science.ground.lines import nearest_yd, seen_toward
from fencerow.tract.hands import Assignment
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase


@dataclass(frozen=True)
class SomebodyThere:
    """Somebody who is on a place today: how far off it is, and which directions that rules out."""

    who: str
    place: str
    distance: Figure
    directions: Figure


def at_work(frame: Frame, plan: WorkPlan) -> Iterator[tuple[str, Kept[PlaceBase]]]:
    """People whose work is given for today, and the places that are drawn where it is."""
    tract = frame.given.tract
    for gift in tract.assignments.values():
        if gift.body.on != frame.given.as_of or gift.body.person not in tract.people:
            continue
        for id_ in dict.fromkeys(_places_of(gift.body, plan)):
            place = tract.places.get(id_)
            if place is not None and place.body.shape is not None:
                yield tract.people[gift.body.person].body.name, place


def _places_of(gift: Assignment, plan: WorkPlan) -> Iterator[str]:
    yield from gift.places
    for id_, job in plan.jobs.items():
        if gift.task == id_ or (not gift.task and not gift.places and gift.job == job.kind):
            yield job.place


def sitting(frame: Frame) -> Iterator[tuple[str, Kept[PlaceBase]]]:
    """People who sit somewhere today, and the places that are drawn where they do."""
    tract = frame.given.tract
    for sat in tract.sits.values():
        place = tract.places.get(sat.body.place)
        if sat.body.on == frame.given.as_of and place is not None and place.body.shape is not None:
            known = sat.body.person in tract.people
            yield tract.people[sat.body.person].body.name if known else "", place


def toward_people(frame: Frame, plan: WorkPlan, sit: Kept[PlaceBase]) -> dict[str, SomebodyThere]:
    """The directions from a sit that people rule out today, the nearest first."""
    if sit.body.shape is None:
        return {}
    found = {}
    for who, place in (*at_work(frame, plan), *sitting(frame)):
        if place.id == sit.id:
            continue
        directions = work(
            seen_toward,
            sit=outline(sit),
            shape=outline(place),
            within_yd=frame.setting("people", "within_yd"),
            half_width_deg=frame.setting("shot-half-width", "by_deg"),
        )
        if directions.value:
            off = work(nearest_yd, sit=outline(sit), shape=outline(place))
            found[f"{who}-{place.id}"] = SomebodyThere(who, place.body.name, off, directions)
    return dict(sorted(found.items(), key=lambda item: item[1].distance.number()))

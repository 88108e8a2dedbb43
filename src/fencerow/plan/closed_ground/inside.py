"""What is inside closed ground: the ways in and their winds, and what is still wanted there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure, work
from fencerow.plan.closed_ground.closings import ClosedGround, covers, in_order
from fencerow.plan.closed_ground.wanted import Wanted, wanted_inside
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.frame import SITS
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.siting_body import Siting
from fencerow.plan.work.spans import spans
from fencerow.science.ground.lines import nearest_yd
from fencerow.tract.bodies import Closing
from fencerow.tract.model import Kept
from fencerow.tract.places import AccessRoute, Camera, MockScrape, PlaceBase

GOALS = (*SITS, Camera, MockScrape)
"""To what somebody goes in."""


@dataclass(frozen=True)
class Way:
    """A way in: an access route and how far the place lies off it, or one that siting found for
    some winds, with its length and minutes."""

    name: str
    winds: str = ""
    off: Figure | None = None
    length: Figure | None = None
    minutes: Figure | None = None


@dataclass(frozen=True)
class Goal:
    """A place inside to which somebody may go: on which winds, by which ways."""

    name: str
    kind: str
    winds: Figure | None
    ways: Mapping[str, Way]


@dataclass(frozen=True)
class Inside:
    """One closing: its goals, and what is still wanted of the year's work."""

    goals: Mapping[str, Goal]
    wanted: Mapping[str, Wanted]


def inside_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What is inside each closing that is not over."""
    closings: Mapping[str, ClosedGround] = earlier["closed"].body
    kept = [k for k in in_order(given.tract) if k.body.opens > given.as_of]
    found = spans(given, earlier) if kept else {}
    body = {
        one.id: Inside(
            dict(_goals(given, earlier, one, closings[one.id])),
            wanted_inside(given, earlier, one.body, found),
        )
        for one in kept
    }
    said = [
        Said.of(Weight.DOUBT, one.id, "closed-still-inside", one.entry,
                count=len(body[one.id].wanted), closes=one.body.closes)
        for one in kept if body[one.id].wanted
    ]  # fmt: skip
    if any(i.goals for i in body.values()) and not any(
        w.length for i in body.values() for g in i.goals.values() for w in g.ways.values()
    ):
        said.append(Said.of(Weight.NOTE, "inside", "inside-no-ways"))
    return Section("inside", body, tuple(said))


def _goals(
    given: Given, earlier: Mapping[str, Section], kept: Kept[Closing], closing: ClosedGround
) -> Iterator[tuple[str, Goal]]:
    for place in sorted(given.tract.places.values(), key=lambda k: (k.body.name, k.id)):
        if isinstance(place.body, GOALS) and covers(kept.body, place.id):
            yield place.id, Goal(
                place.body.name, kind_of(place.body), _winds(earlier, place.id),
                dict(_ways(given, earlier, kept.body, place)),
            )  # fmt: skip


def _winds(earlier: Mapping[str, Section], sit: str) -> Figure | None:
    """The winds that a sit wants, judged hour by hour where that is known, else the simple ones."""
    siting: Siting = earlier["siting"].body
    if sit in siting.places:
        return siting.places[sit].wants
    sits: Mapping[str, SitPlace] = earlier["sits"].body
    winds = sits[sit].winds if sit in sits else None
    return None if winds is None else winds.right


def _ways(
    given: Given, earlier: Mapping[str, Section], closing: Closing, place: Kept[PlaceBase]
) -> Iterator[tuple[str, Way]]:
    """By the routes that the closing names; else as siting found; else the nearest route drawn."""
    routes = [given.tract.places[i] for i in closing.routes if i in given.tract.places]
    siting: Siting = earlier["siting"].body
    if not routes and place.id in siting.places and siting.places[place.id].ways:
        for name, way in siting.places[place.id].ways.items():
            yield name, Way("", way.winds, None, way.length, way.minutes)
        return
    named = bool(routes)
    if not named:
        routes = [k for k in given.tract.places.values() if isinstance(k.body, AccessRoute)]
    if place.body.shape is None:
        return
    near = [
        (work(nearest_yd, sit=outline(place), shape=outline(route)), route)
        for route in routes
        if route.body.shape is not None
    ]
    near.sort(key=lambda pair: (pair[0].number(), pair[1].id))
    for off, route in near if named else near[:1]:
        yield route.id, Way(route.body.name, off=off)

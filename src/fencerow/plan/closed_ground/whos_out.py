"""Who is on the ground on a day, who is expected there, and who is back.

Who is out is an entry (`outing`). A planned sit and work given for the day are expected until their
person goes in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fencerow.figure import Entered, Figure
from fencerow.plan.graph import Given
from fencerow.plan.work.planner import WorkPlan
from fencerow.tract.hands import Assignment
from fencerow.tract.model import Kept
from fencerow.tract.outings import Outing
from fencerow.tract.sat import Sit
from fencerow.words import say

EXPECTED, OUT, BACK = "expected", "out", "back"


@dataclass(frozen=True)
class Out:
    """Somebody on the ground, or expected there: who, for what, where, and their times, which are
    moments of the tract's zone; None where none is said."""

    who: str
    person: str
    what: str
    places: tuple[str, ...]
    where: str
    state: str
    left: Figure | None = None
    back_by: Figure | None = None
    back: Figure | None = None
    entry: str = ""
    route: str = ""

    def meets(self, other: Out, day: date, zone: ZoneInfo) -> bool:
        """Whether the two may be there at one time; a time that is not said is all day."""
        mine, theirs = self._span(day, zone), other._span(day, zone)
        return mine[0] < theirs[1] and theirs[0] < mine[1]

    def _span(self, day: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
        begins = datetime.combine(day, time(), zone)
        left = begins if self.left is None else self.left.value
        # somebody who is out and means to be back may still be late
        if self.state == EXPECTED and self.back_by is not None:
            return left, self.back_by.value
        return left, begins + timedelta(days=1)


@dataclass(frozen=True)
class InOut:
    """The day: everybody who is out, expected or back, by id of the entry that says so."""

    people: Mapping[str, Out] = field(default_factory=dict)

    def of_state(self, state: str) -> list[Out]:
        """Those in a state, by the time that they mean to be back."""
        found = [o for o in self.people.values() if o.state == state]
        return sorted(found, key=lambda o: (o.back_by is None, str(o.back_by and o.back_by.value),
                                            o.who))  # fmt: skip


def people_of(given: Given, plan: WorkPlan) -> dict[str, Out]:
    """Everybody who is out or was today, and those expected who have not gone in yet."""
    out = dict(_outings(given))
    gone = {(o.who, p) for o in out.values() for p in o.places}
    expected = {**dict(_sitters(given)), **dict(_workers(given, plan))}
    return out | {
        i: o for i, o in expected.items() if not any((o.who, p) in gone for p in o.places)
    }


def _outings(given: Given) -> Iterator[tuple[str, Out]]:
    """Outings of the day, and those of days before from which nobody came back."""
    zone = ZoneInfo(given.tract.about.body.zone)
    for kept in given.tract.outings.values():
        body = kept.body
        day = body.left_at.astimezone(zone).date()
        if day != given.as_of and (day > given.as_of or body.back_at is not None):
            continue
        yield (
            kept.id,
            Out(
                who=_name(given, body.person) or body.guest or say("inout-somebody"),
                person=body.person,
                what=body.what,
                places=tuple(i for i in (body.place,) if i in given.tract.places),
                where=_where(given, (body.place, body.route)),
                state=OUT if body.back_at is None else BACK,
                left=_moment(kept, "left_at", zone),
                back_by=_moment(kept, "back_by", zone),
                back=_moment(kept, "back_at", zone),
                entry=kept.entry,
                route=body.route if body.route in given.tract.places else "",
            ),
        )


def _moment(kept: Kept[Outing], name: str, zone: ZoneInfo) -> Figure | None:
    """A moment of an outing as the tract's clocks show it."""
    at: datetime | None = getattr(kept.body, name)
    return None if at is None else _clock(at.astimezone(zone), kept.entry, name)


def _clock(at: datetime, entry: str, name: str) -> Figure:
    return Figure(at, "clock", Entered(entry, name, "entered", at.date()))


def _sitters(given: Given) -> Iterator[tuple[str, Out]]:
    zone = ZoneInfo(given.tract.about.body.zone)
    for kept in given.tract.sits.values():
        body = kept.body
        if body.on == given.as_of and body.place in given.tract.places:
            yield (
                kept.id,
                Out(
                    who=_name(given, body.person) or body.person or say("inout-somebody"),
                    person=body.person,
                    what="sit",
                    places=(body.place,),
                    where=_where(given, (body.place,)),
                    state=EXPECTED,
                    left=_hour(kept, "begins", zone),
                    back_by=_hour(kept, "ends", zone),
                    entry=kept.entry,
                ),
            )


def _hour(kept: Kept[Sit], name: str, zone: ZoneInfo) -> Figure | None:
    """A clock time of a sit as a moment of its day."""
    clock: str = getattr(kept.body, name)
    if not clock:
        return None
    at = datetime.combine(kept.body.on, time.fromisoformat(clock), zone)
    return _clock(at, kept.entry, name)


def _workers(given: Given, plan: WorkPlan) -> Iterator[tuple[str, Out]]:
    for kept in given.tract.assignments.values():
        body = kept.body
        places = tuple(dict.fromkeys(_places_of(body, plan)))
        there = tuple(p for p in places if p in given.tract.places)
        if body.on == given.as_of and body.person in given.tract.people and there:
            yield kept.id, Out(
                who=_name(given, body.person), person=body.person, what="work", places=there,
                where=_where(given, there), state=EXPECTED, entry=kept.entry,
            )  # fmt: skip


def _places_of(gift: Assignment, plan: WorkPlan) -> Iterator[str]:
    yield from gift.places
    for id_, job in plan.jobs.items():
        if gift.task == id_ or (not gift.task and not gift.places and gift.job == job.kind):
            yield job.place


def _name(given: Given, person: str) -> str:
    kept = given.tract.people.get(person)
    return "" if kept is None else kept.body.name


def _where(given: Given, ids: tuple[str, ...]) -> str:
    """Where, by name; the second of a place and a route is the way."""
    places = given.tract.places
    return ", ".join(places[i].body.name for i in ids if i in places)

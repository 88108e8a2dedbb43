"""What a record says before anything is planned: who is out, what clashes, the last word."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from fencerow.tract.entry import Entry
from fencerow.tract.model import Tract
from fencerow.words import say


@dataclass(frozen=True)
class OutNow:
    """Somebody who went in and is not back: where to, when, and by when they mean to be."""

    who: str
    where: str
    left: datetime
    back_by: datetime | None

    def overdue(self, now: datetime) -> bool:
        """Whether they should be back; who gave no time, on a later day than that of leaving.

        Args:
            now: a moment, with its zone.
        """
        if self.back_by is not None:
            return self.back_by < now
        return self.left.date() < now.astimezone(self.left.tzinfo).date()


@dataclass(frozen=True)
class AtHand:
    """What is at hand of a tract. Moments are of the tract's zone."""

    name: str
    state: str
    zone: str
    entries: int
    last: datetime | None
    author: str
    outs: tuple[OutNow, ...]
    clashes: int

    def day(self, now: datetime) -> date:
        """The day that it is there."""
        return now.astimezone(ZoneInfo(self.zone)).date()


def at_hand(entries: Sequence[Entry], tract: Tract) -> AtHand:
    """What a log, and the tract that it comes to, say without a plan."""
    about = tract.about.body
    zone = ZoneInfo(about.zone)
    last = entries[-1] if entries else None  # as they came: clocks never order
    return AtHand(
        name=about.name,
        state=about.state,
        zone=about.zone,
        entries=len(entries),
        last=None if last is None else last.said_at.astimezone(zone),
        author="" if last is None else last.author,
        outs=tuple(sorted(_outs(tract, zone), key=lambda o: (o.back_by or o.left, o.who))),
        clashes=len(tract.conflicts),
    )


def _outs(tract: Tract, zone: ZoneInfo) -> Iterator[OutNow]:
    for kept in tract.outings.values():
        body = kept.body
        if body.back_at is not None:
            continue
        person = tract.people.get(body.person)
        who = body.guest if person is None else person.body.name
        ids = (i for i in (body.place, body.route) if i in tract.places)
        yield OutNow(
            who=who or str(say("inout-somebody")),
            where=", ".join(tract.places[i].body.name for i in ids),
            left=body.left_at.astimezone(zone),
            back_by=None if body.back_by is None else body.back_by.astimezone(zone),
        )

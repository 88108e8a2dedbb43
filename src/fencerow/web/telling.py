"""Telling: the states that pages were told, so that each hears only what is another since."""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import Lock

from fencerow.manner import Manner, manner
from fencerow.web.desk import Desk
from fencerow.web.piece import Piece, Pieces, to_json
from fencerow.web.plan_told import PlanTold
from fencerow.web.record import Record
from fencerow.web.sights import Levels
from fencerow.web.state import AllRows, own_rows, rows_of, whole_of
from fencerow.web.told import Listing, Told
from fencerow.web.who import Person
from fencerow.words import Language, language

KEPT = 24
"""States that are kept for each who see alike: who comes back after more is told all of it."""
Seen = tuple[str, Levels | None, Manner, Language, str]


@dataclass
class Heard:
    """What somebody was told of a record last, and the last states, by the record and the plan."""

    record: Record
    listing: Listing
    states: dict[tuple[str, object], Told] = field(default_factory=dict)


class Telling:
    """The last states of each sight and each manner. What one sight was told, no other hears."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._rows: dict[tuple[str, Levels | None, str], tuple[Record, AllRows]] = {}
        self._heard: dict[Seen, Heard] = {}

    def now(self, desk: Desk, person: Person, plan: PlanTold) -> Told:
        """The state of the record as it is now, beside what a plan tells."""
        record = desk.record(person.levels)
        seen = desk.tract_id, person.levels, manner(), language(), _alike(person)
        with self._lock:
            heard = self._heard.get(seen)
            if heard is None or heard.record is not record:
                states = {} if heard is None else heard.states
                heard = self._heard[seen] = Heard(record, self._listing(record, person), states)
            at = record.digest, plan.parts
            if at not in heard.states:
                fresh = {"count": plan.count, "fresh": plan.digest == record.digest}
                heard.states[at] = Told(heard.listing, plan.parts, Piece(to_json(fresh)))
                while len(heard.states) > KEPT:
                    del heard.states[next(iter(heard.states))]
            return heard.states[at]

    def _listing(self, record: Record, person: Person) -> Listing:
        role = person.role if _alike(person) else ""
        alike = record.tract_id, person.levels, role
        before = self._rows.get(alike)
        if before is None or before[0] is not record:
            before = self._rows[alike] = record, rows_of(record, role, before)
        rows = own_rows(record, person, before[1]) if role else before[1]
        return Listing(whole_of(record, person), rows)

    def since(self, told: Told, have: str | None, person: Person) -> Pieces:
        """A state as JSON, or only its changes where it is known what the page holds."""
        with self._lock:
            alike = (person.levels, _alike(person))
            heard = [
                h for (_, levels, _, _, who), h in self._heard.items() if (levels, who) == alike
            ]
            states = (t for of_one in heard for t in of_one.states.values())
            known = next((t for t in states if t.tag == have), None)
        return told.state(person.name) if known is None else told.since(known, person.name)


def _alike(person: Person) -> str:
    """Who is told the same: what somebody may not change is told to them alone, and an owner may
    change all of it."""
    return f"{person.role} {person.name}" if person.account and person.role != "owner" else ""

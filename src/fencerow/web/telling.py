"""Telling: the states that pages were told, so that each hears only what is another since."""

from __future__ import annotations

from threading import Lock
from typing import Any
from weakref import ref

from fencerow.manner import Manner, manner
from fencerow.web.desk import Desk, Levels, Standing
from fencerow.web.state import state_json
from fencerow.web.told import Told
from fencerow.web.who import Person
from fencerow.words import Language, language

KEPT = 24
"""States that are kept for each who see alike: who comes back after more is told all of it."""
Seen = tuple[str, Levels | None, Manner, Language, str]


class Telling:
    """The last states of each sight and each manner. What one sight was told, no other hears."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._told: dict[Seen, dict[Any, Told]] = {}

    def now(self, desk: Desk, person: Person, standing: Standing) -> Told:
        """The state of the record as it is now, beside a plan."""
        record = desk.record(person.levels)
        at = record.digest, ref(standing)  # a plan is large, and is not kept for this
        with self._lock:
            seen = (desk.tract_id, person.levels, manner(), language(), _alike(person))
            kept = self._told.setdefault(seen, {})
            if at not in kept:
                last = next(reversed(kept.values()), None) or self._of_others(seen)
                kept[at] = Told.of(state_json(standing, person, record), last)
                while len(kept) > KEPT:
                    del kept[next(iter(kept))]
            return kept[at]

    def since(self, told: Told, have: str | None, person: Person) -> bytes:
        """A state as JSON, or only its changes where it is known what the page holds."""
        with self._lock:
            alike = (person.levels, _alike(person))
            kept = [k for (_, levels, _, _, who), k in self._told.items() if (levels, who) == alike]
            states = (t for of_one in kept for t in of_one.values())
            known = next((t for t in states if t.tag == have), None)
        return told.state(person.name) if known is None else told.since(known, person.name)

    def _of_others(self, seen: Seen) -> Told | None:
        """What others who see as much were told last: most of its parts are the same."""
        told = [k for other, k in self._told.items() if other[:4] == seen[:4] and k]
        return next(reversed(told[-1].values())) if told else None


def _alike(person: Person) -> str:
    """Who is told the same: what somebody may not change is told to them alone, and an owner may
    change all of it."""
    return f"{person.role} {person.name}" if person.account and person.role != "owner" else ""

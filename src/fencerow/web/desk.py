"""Desk: one tract's folder behind the API; plans it, keeps the plan, takes entries.

One plan is worked at a time; an edit recomputes only what it touches, because the planners' cache
is kept from one to the next.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path, PurePath
from threading import Lock
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.plan.graph import Cache, Given
from fencerow.plan.plan import Plan, make_plan
from fencerow.store import Store
from fencerow.store.bring import bring
from fencerow.store.given import given_of
from fencerow.tract.entry import Entry
from fencerow.tract.fold import fold
from fencerow.tract.read import read_body
from fencerow.words import BadInput


class Desk:
    """A tract as the pages see it. `as_of` fixes the day, as for an invented tract."""

    def __init__(
        self,
        folder: Path,
        author: str,
        as_of: date | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self.store = Store.open(folder)
        self.author, self._as_of, self.now = author, as_of, now
        self._lock = Lock()
        self._cache: Cache = {}
        self._given: tuple[str, Given] | None = None
        self._plans: dict[tuple[str, date], Plan] = {}

    def today(self) -> date:
        """The day in the tract's own zone."""
        zone = self.store.tract().about.body.zone
        return self.now().astimezone(ZoneInfo(zone)).date()

    def day(self, as_of: date | None) -> date:
        """The day to plan for: as asked, else as fixed, else today."""
        return as_of or self._as_of or self.today()

    def log(self) -> tuple[int, str]:
        """How many entries there are, and a digest that says whether any is new."""
        entries = self.store.entries()
        return len(entries), entries_digest(entries)

    def plan(self, as_of: date | None = None) -> Plan:
        """The plan of the record as it stands."""
        day = self.day(as_of)
        with self._lock:
            key = (self.log()[1], day)
            if key not in self._plans:
                if len(self._plans) > 16:
                    self._plans.clear()
                self._plans[key] = make_plan(self._given_on(key[0], day), self._cache)
            return self._plans[key]

    def tried(self, entries: Sequence[Entry], as_of: date | None = None) -> Plan:
        """The plan that the record would have with these entries; nothing is written."""
        day = self.day(as_of)
        with self._lock:
            known = self.store.entries()
            given = self._given_on(entries_digest(known), day)
            tract = fold([*known, *entries])
            return make_plan(replace(given, tract=tract), self._cache)

    def _given_on(self, digest: str, day: date) -> Given:
        """Series and tables are read again only when the record has changed."""
        if self._given is None or self._given[0] != digest:
            self._given = digest, given_of(self.store, day)
        return replace(self._given[1], as_of=day)

    def take(self, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
        """Entries from a page: each stands on its own, and each id is answered for."""
        refused: list[dict[str, str]] = []
        sound: list[Entry] = []
        for row in rows:
            try:
                entry = self._entry(row)
                read_body(entry)
                sound.append(entry)
            except BadInput as error:
                refused.append({"id": str(row.get("id", "")), "text": str(error)})
        receipt = self.store.take(sound)
        return {
            "stored": list(receipt.stored),
            "known": list(receipt.known),
            "clashed": list(receipt.clashed),
            "refused": refused,
        }

    def _entry(self, row: Mapping[str, Any]) -> Entry:
        signed = dict(row) | {"author": row.get("author") or self.author}
        try:
            return Entry.from_json(signed)
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise BadInput("web-bad-entry", why=str(error)) from None

    def entries_of(self, rows: Sequence[Mapping[str, Any]]) -> list[Entry]:
        """Entries to be tried.

        Raises:
            BadInput: one of them is wrong.
        """
        entries = [self._entry(row) for row in rows]
        for entry in entries:
            read_body(entry)
        return entries

    def bring(
        self, name: str, content: bytes, mapping: Sequence[str], vertical_unit: str
    ) -> list[str]:
        """Import a file that was dropped on a page, all or nothing.

        Raises:
            BadInput: as for a file named in the terminal.
        """
        base = PurePath(name.replace("\\", "/")).name or "file"
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / base
            path.write_bytes(content)
            return bring(self.store, path, mapping, vertical_unit, self.author, self.now)


def entries_digest(entries: Sequence[Entry]) -> str:
    """A digest of a log that does not depend on the order of its entries."""
    import hashlib

    joined = "".join(sorted(e.digest() for e in entries))
    return hashlib.sha256(joined.encode()).hexdigest()[:16]

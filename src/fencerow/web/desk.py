"""Desk: one tract's folder behind the API; plans it, keeps the plan, takes entries.

One plan is worked at a time; an edit recomputes only what it touches, because the planners' cache
is kept from one to the next. What is kept is keyed by the state of the log, so that another server
or a terminal may write to the same folder.
"""

from __future__ import annotations

import hashlib
import logging
from collections import ChainMap
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path, PurePath
from threading import Lock
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.plan.graph import Given, Recent
from fencerow.plan.plan import Plan, make_plan
from fencerow.store import Store, backups
from fencerow.store.given import OWN_SYSTEMS, OWN_TABLES, forecast_of, given_of
from fencerow.web import form, intake
from fencerow.web.relief import Relief, draw_relief
from fencerow.words import BadInput

YEARS = (1900, 2200)
KEPT_SECTIONS, KEPT_STANDINGS = 60, 8
Key = tuple[str, tuple[tuple[str, int], ...]]


@dataclass(frozen=True, eq=False)
class Standing:
    """A plan, and the state of the record that it was made from."""

    plan: Plan
    tract_id: str
    count: int
    digest: str
    today: date
    author: str


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
        self.tract_id = self.store.entries()[0].id
        self._lock = Lock()
        self._cache = Recent(KEPT_SECTIONS)
        self._given: tuple[Key, Given] | None = None
        self._standings: dict[tuple[Key, date, date], Standing] = {}
        self._relief: Relief | None = None

    def log(self) -> tuple[int, str]:
        """How many entries there are, and a digest that is another as soon as one is new."""
        entries, clashes = self.store.size()
        text = repr((self.tract_id, entries, clashes, [e.id for e in self.store.log(1)]))
        return entries + clashes, hashlib.sha256(text.encode()).hexdigest()[:16]

    def standing(self, as_of: date | None = None) -> Standing:
        """The plan of the record as it stands, for a day: as asked, else as fixed, else today.

        Raises:
            BadInput: the day is in no year that can be planned.
        """
        with self._lock:
            count, digest = self.log()
            given = self._given_at(key := (digest, self._own_files()))
            today = self.now().astimezone(ZoneInfo(given.tract.about.body.zone)).date()
            day = _day(as_of or self._as_of or today)
            if (key, day, today) not in self._standings:
                forecast = forecast_of(self.store, given.tract, day)
                plan = make_plan(replace(given, as_of=day, forecast=forecast), self._cache)
                made = Standing(plan, self.tract_id, count, digest, today, self.author)
                self._standings[key, day, today] = made
                _trim(self._standings, KEPT_STANDINGS)
            return self._standings[key, day, today]

    def plan(self, as_of: date | None = None) -> Plan:
        """The plan alone."""
        return self.standing(as_of).plan

    def tried(self, rows: Sequence[intake.Row], as_of: date | None = None) -> Plan:
        """The plan that the record would have with these entries; nothing is written or kept.

        Raises:
            BadInput: one of them is wrong.
        """
        added = [intake.entry_of(row, self.author) for row in rows]
        given = self.standing(as_of).plan.given
        with self._lock:
            tract = self.store.folded().extend(added).tract
            return make_plan(replace(given, tract=tract), ChainMap({}, self._cache))

    def take(self, rows: Sequence[intake.Row]) -> form.Receipt:
        """Entries from a page."""
        self._copied()
        ids = [row["id"] for row in rows if isinstance(row.get("id"), str)]
        held = self.store.held(i for i in ids if i.isprintable())
        return intake.take(self.store, rows, self.author, {e.id: e.author for e in held})

    def _copied(self) -> None:
        """The record as it was before the first word of a day; a word is never refused for it."""
        try:
            backups.keep_up(self.store)
        except BadInput as error:
            logging.getLogger("fencerow").warning(str(error))

    def relief(self) -> Relief | None:
        """The relief of the tract's elevation, drawn once; None where there is none."""
        with self._lock:
            grid = self._given_at((self.log()[1], self._own_files())).grid
            if grid is None:
                return None
            if self._relief is None or self._relief.digest != grid.digest:
                self._relief = draw_relief(grid)
            return self._relief

    def _given_at(self, key: Key) -> Given:
        """Series and tables are read again only when something that they hang on has changed."""
        if self._given is None or self._given[0] != key:
            self._given = key, self._read(key)
        return self._given[1]

    def _read(self, key: Key) -> Given:
        if self._given is not None and self._given[0][1] == key[1]:
            old, tract = self._given[1], self.store.folded().tract
            if (old.tract.places, old.tract.datasets) == (tract.places, tract.datasets):
                return replace(old, tract=tract)
        return given_of(self.store, date.min)

    def _own_files(self) -> tuple[tuple[str, int], ...]:
        """The tract's own tables and systems, and when each was last written."""
        folders = (self.store.folder / name for name in (OWN_TABLES, OWN_SYSTEMS))
        found = (path for folder in folders for path in folder.rglob("*") if path.is_file())
        return tuple(sorted((str(path), path.stat().st_mtime_ns) for path in found))


def base_name(name: str) -> str:
    """A file's own name out of whatever a browser says, fit to be written anywhere."""
    base = PurePath(name.replace("\\", "/")).name
    kept = "".join(c for c in base if c.isprintable() and c not in '<>:"|?*').strip(". ")
    stem, dot, suffix = kept.rpartition(".")
    return f"{stem[:60]}{dot}{suffix[:20]}" or "file"


def _day(day: date) -> date:
    if not YEARS[0] <= day.year <= YEARS[1]:
        raise BadInput("web-day", day=day.isoformat(), first=YEARS[0], last=YEARS[1])
    return day


def _trim(kept: dict[Any, Any], most: int) -> None:
    """Let go of what was kept first."""
    while len(kept) > most:
        del kept[next(iter(kept))]

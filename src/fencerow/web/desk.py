"""Desk: one tract's folder behind the API; plans it, keeps the plan, takes entries.

One plan is worked at a time; an edit recomputes only what it touches, because the planners' cache
is kept from one to the next. What is kept is keyed by the state of the log, so that another server
or a terminal may write to the same folder. A desk with patience answers with the last plan there is
where the newest takes longer, and works that one behind the answers.
"""

from __future__ import annotations

import logging
from collections import ChainMap
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path, PurePath
from threading import Lock
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.plan.graph import Given, Recent
from fencerow.plan.plan import Plan, make_plan
from fencerow.store import Store, backups
from fencerow.store.given import forecast_of, given_of, own_files
from fencerow.store.shelf import mark_of
from fencerow.tract.entry import Entry
from fencerow.tract.fold import Folded
from fencerow.tract.model import Tract
from fencerow.tract.veil import veiled
from fencerow.web import form, intake
from fencerow.web.behind import Behind
from fencerow.web.relief import Relief, draw_relief
from fencerow.web.who import Person
from fencerow.web.writer import Writer
from fencerow.words import BadInput

YEARS = (1900, 2200)
KEPT_SECTIONS, KEPT_STANDINGS = 60, 8
FIRST_PATIENCE_S = 15.0
"""How long who asks waits for the first plan of all; pages give up after 20."""
Key = tuple[str, tuple[tuple[str, int], ...]]


@dataclass(frozen=True, eq=False)
class Standing:
    """A plan, and the state of the record that it was made from."""

    plan: Plan
    tract_id: str
    count: int
    digest: str
    today: date
    log: tuple[Entry, ...]
    """The log as it may be seen."""
    whole: tuple[Entry, ...]
    """All of the log: by it, what may be written is judged."""


@dataclass(frozen=True, eq=False)
class Record:
    """What stands of the record now, whatever plan there is of it."""

    tract: Tract
    count: int
    digest: str
    log: tuple[Entry, ...]
    """The log as it may be seen."""
    whole: tuple[Entry, ...]
    """All of the log: by it, what may be written is judged."""


class NotYet(BadInput):
    """The first plan of a tract is still being worked."""


Levels = frozenset[str]
Told = Callable[[Standing, Levels | None], None]
Asked = tuple[date | None, Levels | None]


@dataclass
class Sight:
    """The tract as some may see it: the log that is left to them, and all that is kept of it.

    What is kept for one sight is never looked up for another.
    """

    levels: Levels | None
    """None for all of it."""
    whole: Folded | None = None
    folded: Folded | None = None
    """What is left of `whole`; None where it is as for another."""
    like: Sight | None = None
    """The sight of others to whom, of this `whole`, exactly the same is left."""
    cache: Recent = field(default_factory=lambda: Recent(KEPT_SECTIONS))
    given: tuple[Key, Given] | None = None
    standings: dict[tuple[Key, date, date], Standing] = field(default_factory=dict)
    last: dict[date | None, tuple[Folded, Standing]] = field(default_factory=dict)
    """The last plan for a day as it was asked for, and the log that it was made from."""
    relief: Relief | None = None


class Desk:
    """A tract as the pages see it. `as_of` fixes the day, as for an invented tract.

    Of many tracts only so many plans are worked at once as `turns` lets through; `told` hears of
    each that was made, for the list of tracts.
    """

    def __init__(
        self,
        folder: Path,
        author: str,
        as_of: date | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        turns: AbstractContextManager[object] | None = None,
        told: Told = lambda *_: None,
        patience_s: float | None = None,
    ) -> None:
        """Sit down at a folder; `patience_s` is how long `soon` waits for a plan, None for ever."""
        self.store = Store.open(folder)
        self.author, self._as_of, self.now = author, as_of, now
        self.patience_s = patience_s
        self.tract_id = self.store.entries()[0].id
        self._turns, self._told = turns or nullcontext(), told
        self._lock = Lock()  # held for a moment
        self._planning, self._drawing = Lock(), Lock()  # held for as long as it takes
        self._behind = Behind[Asked, Standing](lambda asked: self.standing(*asked))
        if patience_s is not None:
            self._behind.ask((None, None))
        self._all = Sight(None)
        self._sights: dict[Levels, Sight] = {}

    def log(self) -> tuple[int, str]:
        """How many entries there are, and a digest that is another as soon as one is new."""
        return mark_of(self.store, self.tract_id)

    def standing(self, as_of: date | None = None, levels: Levels | None = None) -> Standing:
        """The plan of the record as it stands, for a day: as asked, else as fixed, else today.

        Args:
            levels: what may be seen of it; all where it is left out.

        Raises:
            BadInput: the day is in no year that can be planned.
        """
        with self._planning:
            with self._lock:
                count, digest = self.log()
                sight = self._sight(levels)
                whole = self.store.folded()
                folded = sight.folded or whole
            given = self._given_at(sight, key := (digest, own_files(self.store.folder)), folded)
            at = key, *self._days(folded.tract, as_of)
            if at not in sight.standings:
                _, day, today = at
                forecast = forecast_of(self.store, given.tract, day)
                with self._turns:
                    plan = make_plan(replace(given, as_of=day, forecast=forecast), sight.cache)
                made = Standing(
                    plan, self.tract_id, count, digest, today, folded.entries, whole.entries
                )
                sight.standings[at] = made
                self._told(made, levels)
            # plans are large: one of an older log is nobody's any more
            sight.standings = {k: s for k, s in sight.standings.items() if k[0] == key}
            _trim(sight.standings, KEPT_STANDINGS)
            sight.last[as_of] = folded, sight.standings[at]
            _trim(sight.last, KEPT_STANDINGS)
            return sight.standings[at]

    def soon(self, as_of: date | None = None, levels: Levels | None = None) -> Standing:
        """The newest plan, where it is there within the desk's patience; else the last one, while
        the newest is worked behind. What has been hidden since is never shown from the last one.

        Raises:
            NotYet: there is no plan at all yet.
            BadInput: the day is in no year that can be planned.
        """
        if self.patience_s is None:
            return self.standing(as_of, levels)
        with self._lock:
            digest, sight = self.log()[1], self._sight(levels)
            folded = sight.folded or self.store.folded()
            at = (digest, own_files(self.store.folder)), *self._days(folded.tract, as_of)
            if (newest := sight.standings.get(at)) is not None:
                return newest
            before, last = sight.last.get(as_of, (None, None))
        if before is not None and folded.entries[: len(before.entries)] != before.entries:
            last = None  # something was hidden
        made = self._behind.ask((as_of, levels))
        try:
            return made.result(self.patience_s if last else FIRST_PATIENCE_S)
        except TimeoutError:
            if last is None:
                raise NotYet("web-not-yet") from None
            return last

    def record(self, levels: Levels | None = None) -> Record:
        """The record as it stands, as far as it may be seen; no plan is waited for."""
        with self._lock:
            count, digest = self.log()
            whole = self.store.folded()
            folded = self._sight(levels).folded or whole
        return Record(folded.tract, count, digest, folded.entries, whole.entries)

    def plan(self, as_of: date | None = None, levels: Levels | None = None) -> Plan:
        """The plan alone."""
        return self.standing(as_of, levels).plan

    def tried(
        self, rows: Sequence[intake.Row], as_of: date | None = None, levels: Levels | None = None
    ) -> Plan:
        """The plan that the record would have with these entries; nothing is written or kept.

        Raises:
            BadInput: one of them is wrong.
        """
        added = [intake.entry_of(row, self.author) for row in rows]
        given = self.standing(as_of, levels).plan.given
        with self._planning:
            with self._lock:
                sight = self._sight(levels)
                tract = (sight.folded or self.store.folded()).extend(added).tract
            with self._turns:
                return make_plan(replace(given, tract=tract), ChainMap({}, sight.cache))

    def tract(self, levels: Levels | None = None) -> Tract:
        """What the record comes to, as far as it may be seen; nothing is planned for it."""
        return self.record(levels).tract

    def entries(self, levels: Levels | None = None) -> list[Entry]:
        """The log, as far as it may be seen."""
        with self._lock:
            kept = self._sight(levels).folded
        return self.store.entries() if kept is None else list(kept.entries)

    def photo(self, sha256: str, levels: Levels | None = None) -> Path:
        """Where a photo stands that an entry names which may be seen.

        Raises:
            BadInput: there is none.
        """
        if levels is not None and not any(
            sha256 in repr(e.body) for e in reversed(self.entries(levels))
        ):
            raise BadInput("web-no-photo")
        return self.store.kept_file(sha256, "photo")

    def keeps_from(self, levels: Levels | None) -> bool:
        """Whether anything of the log is kept back from who may see no more than this."""
        with self._lock:
            return self._sight(levels) is not self._all

    def take(self, rows: Sequence[intake.Row], person: Person | None = None) -> form.Receipt:
        """Entries from a page; those of a person who signed in are signed by the account."""
        self._copied()
        sound = (row for row in rows if isinstance(row, dict))
        ids = [row["id"] for row in sound if isinstance(row.get("id"), str)]
        held = {e.id: e for e in self.store.held(i for i in ids if i.isprintable())}
        writer = None
        if person is not None and person.account:
            writer = Writer(person, self.store.folded().entries, self.entries(person.levels))
        author = self.author if person is None else person.name
        return intake.take(self.store, rows, author, held, writer)

    def _copied(self) -> None:
        """The record as it was before the first word of a day; a word is never refused for it."""
        try:
            backups.keep_up(self.store)
        except BadInput as error:
            logging.getLogger("fencerow").warning(str(error))

    def relief(self, levels: Levels | None = None) -> Relief | None:
        """The relief of the tract's elevation, drawn once; None where there is none. It is cut to
        the places that may be seen, or its edge would tell of the others."""
        with self._lock:
            sight = self._sight(levels)
        hurried = self.patience_s is not None
        given = self.soon(levels=levels).plan.given if hurried else self._now(sight)
        with self._drawing:
            if given.grid is None:
                return None
            if sight.relief is None or sight.relief.digest != given.grid.digest:
                sight.relief = draw_relief(given.grid)
            return sight.relief

    def _now(self, sight: Sight) -> Given:
        with self._planning:
            folded = sight.folded or self.store.folded()
            return self._given_at(sight, (self.log()[1], own_files(self.store.folder)), folded)

    def _days(self, tract: Tract, as_of: date | None) -> tuple[date, date]:
        """The day that is planned for, and the day that it is at the tract."""
        today = self.now().astimezone(ZoneInfo(tract.about.body.zone)).date()
        return _day(as_of or self._as_of or today), today

    def _sight(self, levels: Levels | None) -> Sight:
        """What may be seen now; all of it where nothing is kept back."""
        if levels is None:
            return self._all
        sight, whole = self._sights.setdefault(levels, Sight(levels)), self.store.folded()
        if sight.whole is not whole:
            left = tuple(veiled(whole.entries, levels))
            others = (s for s in self._sights.values() if s.whole is whole and s.folded is not None)
            sight.whole = whole
            sight.like = next((s for s in others if s.folded and s.folded.entries == left), None)
            if left == whole.entries:
                sight.like = self._all
            sight.folded = None if sight.like else _folded(sight.folded, left)
        return sight.like or sight

    def _given_at(self, sight: Sight, key: Key, folded: Folded) -> Given:
        """Series and tables are read again only when something that they hang on has changed."""
        if sight.given is None or sight.given[0] != key:
            sight.given = key, self._read(sight, key, folded.tract)
        return sight.given[1]

    def _read(self, sight: Sight, key: Key, tract: Tract) -> Given:
        if sight.given is not None and sight.given[0][1] == key[1]:
            old = sight.given[1]
            if (old.tract.places, old.tract.datasets) == (tract.places, tract.datasets):
                return replace(old, tract=tract)
        return given_of(self.store, date.min, tract=tract)


def base_name(name: str) -> str:
    """A file's own name out of whatever a browser says, fit to be written anywhere."""
    base = PurePath(name.replace("\\", "/")).name
    kept = "".join(c for c in base if c.isprintable() and c not in '<>:"|?*').strip(". ")
    stem, dot, suffix = kept.rpartition(".")
    return f"{stem[:60]}{dot}{suffix[:20]}" or "file"


def _folded(before: Folded | None, left: tuple[Entry, ...]) -> Folded:
    """What is left of a log, folded; where it only grew, onto what was folded before."""
    if before is None or left[: len(before.entries)] != before.entries:
        return Folded.of(left)
    return before.extend(left[len(before.entries) :])


def _day(day: date) -> date:
    if not YEARS[0] <= day.year <= YEARS[1]:
        raise BadInput("web-day", day=day.isoformat(), first=YEARS[0], last=YEARS[1])
    return day


def _trim(kept: dict[Any, Any], most: int) -> None:
    """Let go of what was kept first."""
    while len(kept) > most:
        del kept[next(iter(kept))]

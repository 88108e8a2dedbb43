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
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path, PurePath
from threading import Lock
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from fencerow.manner import Manner, manner
from fencerow.plan.graph import Given
from fencerow.plan.plan import Plan, make_plan
from fencerow.store import Store, backups
from fencerow.store.given import forecast_of, given_of, grid_of, own_files
from fencerow.tract.entry import Entry
from fencerow.tract.model import Tract
from fencerow.web import form, intake
from fencerow.web.behind import Asked as Answer
from fencerow.web.behind import Behind
from fencerow.web.plan_told import PlanTold
from fencerow.web.record import Record
from fencerow.web.relief import Relief, draw_relief
from fencerow.web.sights import At, Glanced, Key, Levels, Sight, Sights, Standing
from fencerow.web.who import Person
from fencerow.words import BadInput, Language, language

YEARS = (1900, 2200)
KEPT_STANDINGS = 8
FIRST_PATIENCE_S = 15.0
"""How long who asks waits for the first plan of all; pages give up after 20."""
T = TypeVar("T")
Told = Callable[[Glanced], None]
Asked = tuple[date | None, Levels | None]


class NotYet(BadInput):
    """The first plan of a tract is still being worked."""


def waited(made: Answer[T], last: T | None, patience_s: float) -> T:
    """What is made, where it is there within somebody's patience; else the last that there is.

    Raises:
        NotYet: there is none yet.
    """
    try:
        return made.result(FIRST_PATIENCE_S) if last is None else made.within(patience_s)
    except TimeoutError:
        if last is None:
            raise NotYet("web-not-yet") from None
        return last


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
        told: Told | None = None,
        patience_s: float | None = None,
    ) -> None:
        """Sit down at a folder; `patience_s` is how long `soon` waits for a plan, None for ever."""
        self.store = Store.open(folder)
        self.author, self._as_of, self.now = author, as_of, now
        self.patience_s = patience_s
        self._turns, self._told = turns or nullcontext(), told
        self._lock = Lock()  # held for a moment
        # held for as long as it takes
        self._planning, self._telling, self._drawing = Lock(), Lock(), Lock()
        self._behind = Behind[Asked, Standing](lambda asked: self.standing(*asked))
        self._sights = Sights(self.store)
        self.tract_id = self._sights.tract_id
        self._parts: dict[tuple[Sight, Manner, Language], PlanTold] = {}
        self._begin()

    def _begin(self) -> None:
        """Nobody waits for the first plan who does not have to."""
        if self.patience_s is not None:
            self._behind.ask((None, None))

    # ---- the record

    def log(self) -> tuple[int, str]:
        """How many entries there are, and a digest that is another as soon as one is new."""
        return self._sights.mark()

    def record(self, levels: Levels | None = None) -> Record:
        """The record as it stands, as far as it may be seen; no plan is waited for."""
        with self._lock:
            return self._sights.now(levels)[1]

    def tract(self, levels: Levels | None = None) -> Tract:
        """What the record comes to, as far as it may be seen; nothing is planned for it."""
        return self.record(levels).tract

    def entries(self, levels: Levels | None = None) -> list[Entry]:
        """The log, as far as it may be seen."""
        return list(self.record(levels).log)

    def keeps_from(self, levels: Levels | None) -> bool:
        """Whether anything of the log is kept back from who may see no more than this."""
        with self._lock:
            return self._sights.keeps_from(levels)

    def photo(self, sha256: str, levels: Levels | None = None) -> Path:
        """Where a photo stands that an entry names which may be seen.

        Raises:
            BadInput: there is none.
        """
        if levels is not None and not any(sha256 in e.words for e in self.record(levels).log):
            raise BadInput("web-no-photo")
        return self.store.kept_file(sha256, "photo")

    def take(self, rows: Sequence[intake.Row], person: Person | None = None) -> form.Receipt:
        """Entries from a page; those of a person who signed in are signed by the account."""
        self._copied()
        sound = (row for row in rows if isinstance(row, dict))
        ids = [row["id"] for row in sound if isinstance(row.get("id"), str)]
        held = {e.id: e for e in self.store.held(i for i in ids if i.isprintable())}
        signed = person is not None and person.account
        writer = self.record(person.levels).writer(person) if person and signed else None
        author = self.author if person is None else person.name
        return intake.take(self.store, rows, author, held, writer)

    def _copied(self) -> None:
        """The record as it was before the first word of a day; a word is never refused for it."""
        try:
            backups.keep_up(self.store)
        except BadInput as error:
            logging.getLogger("fencerow").warning(str(error))

    # ---- plans

    def parts(
        self, as_of: date | None = None, levels: Levels | None = None, newest: bool = False,
        patience_s: float | None = None,
    ) -> PlanTold:  # fmt: skip
        """What a plan tells the pages: the newest, or one as soon as `soon` has it."""
        standing = self._standing(as_of, levels, newest, patience_s)
        with self._lock:
            sight, _ = self._sights.now(levels)
        key = sight, manner(), language()
        with self._telling:
            told = self._parts.get(key)
            if told is None or told.of is not standing:
                told = self._parts[key] = PlanTold.told(standing, told)
            return told

    def of_plan(
        self, tell: Callable[..., T], *args: Any, as_of: date | None = None,
        levels: Levels | None = None, newest: bool = False,
    ) -> T:  # fmt: skip
        """What `tell` tells of a plan: of the newest, or of the one that `soon` has."""
        return tell(self._standing(as_of, levels, newest).plan, *args)

    def of_trial(
        self, tell: Callable[[Plan], T], rows: Sequence[intake.Row], as_of: date | None = None,
        levels: Levels | None = None,
    ) -> T:  # fmt: skip
        """What `tell` tells of the plan that the record would have with these entries; nothing is
        written or kept.

        Raises:
            BadInput: one of them is wrong.
        """
        added = [intake.entry_of(row, self.author) for row in rows]
        given = self.standing(as_of, levels).plan.given
        with self._planning:
            with self._lock:
                sight, _ = self._sights.now(levels)
                tract = (sight.folded or self.store.folded()).extend(added).tract
            with self._turns:
                plan = make_plan(replace(given, tract=tract), ChainMap({}, sight.cache))
        return tell(plan)

    def glanced(self, as_of: date | None = None, levels: Levels | None = None) -> Glanced:
        """What the list of tracts tells of the plan that `soon` has."""
        return Glanced.of(self.soon(as_of, levels), levels)

    def plan(self, as_of: date | None = None, levels: Levels | None = None) -> Plan:
        """The newest plan."""
        return self.standing(as_of, levels).plan

    def _standing(
        self, as_of: date | None, levels: Levels | None, newest: bool,
        patience_s: float | None = None,
    ) -> Standing:  # fmt: skip
        if newest:
            return self.standing(as_of, levels)
        return self.soon(as_of, levels, patience_s)

    def standing(self, as_of: date | None = None, levels: Levels | None = None) -> Standing:
        """The plan of the record as it stands, for a day: as asked, else as fixed, else today.

        Args:
            levels: what may be seen of it; all where it is left out.

        Raises:
            BadInput: the day is in no year that can be planned.
        """
        with self._planning:
            with self._lock:
                sight, record = self._sights.now(levels)
            at = self._at(record, as_of)
            if at not in sight.standings:
                key, day, _ = at
                given = self._given_at(sight, key, record.tract)
                forecast = forecast_of(self.store, given.tract, day)
                with self._turns:
                    plan = make_plan(replace(given, as_of=day, forecast=forecast), sight.cache)
                _ = plan.nodes  # found before it is shown, so that nobody waits for them
                made = sight.standings[at] = Standing(plan, at, record)
                if self._told is not None:
                    self._told(Glanced.of(made, levels))
            # plans are large: one of an older log is nobody's any more
            sight.standings = {k: s for k, s in sight.standings.items() if k[0] == at[0]}
            trim(sight.standings, KEPT_STANDINGS)
            sight.last[as_of] = sight.standings[at]
            trim(sight.last, KEPT_STANDINGS)
            return sight.standings[at]

    def soon(
        self, as_of: date | None = None, levels: Levels | None = None,
        patience_s: float | None = None,
    ) -> Standing:  # fmt: skip
        """The newest plan, where it is there within the desk's patience; else the last one, while
        the newest is worked behind. What has been hidden since is never shown from the last one.

        Args:
            patience_s: another patience than the desk's.

        Raises:
            NotYet: there is no plan at all yet.
            BadInput: the day is in no year that can be planned.
        """
        if self.patience_s is None:
            return self.standing(as_of, levels)
        with self._lock:
            sight, record = self._sights.now(levels)
            if (newest := sight.standings.get(self._at(record, as_of))) is not None:
                return newest
            last = sight.last.get(as_of)
        if last is not None and record.log[: len(last.record.log)] != last.record.log:
            last = None  # something was hidden
        made = self._behind.ask((as_of, levels))
        patience = self.patience_s if patience_s is None else patience_s
        return waited(made, last, patience)

    def relief(self, levels: Levels | None = None) -> Relief | None:
        """The relief of the tract's elevation, drawn once; None where there is none. It is cut to
        the places that may be seen, or its edge would tell of the others."""
        with self._lock:
            sight, record = self._sights.now(levels)
        ground = record.tract.places, record.tract.datasets
        with self._drawing:
            if sight.ground != ground:
                grid = grid_of(self.store, record.tract)
                drawn = sight.relief
                if grid is None or drawn is None or drawn.digest != grid.digest:
                    sight.relief = None if grid is None else draw_relief(grid)
                sight.ground = ground
            return sight.relief

    def _at(self, record: Record, as_of: date | None) -> At:
        """The state of the record and its files, the day that is planned for, the day that it is
        at the tract."""
        today = self.now().astimezone(ZoneInfo(record.tract.about.body.zone)).date()
        key = record.digest, own_files(self.store.folder)
        return key, _day(as_of or self._as_of or today), today

    def _given_at(self, sight: Sight, key: Key, tract: Tract) -> Given:
        """Series and tables are read again only when something that they hang on has changed."""
        if sight.given is None or sight.given[0] != key:
            sight.given = key, self._read(sight, key, tract)
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


def _day(day: date) -> date:
    if not YEARS[0] <= day.year <= YEARS[1]:
        raise BadInput("web-day", day=day.isoformat(), first=YEARS[0], last=YEARS[1])
    return day


def trim(kept: dict[Any, Any], most: int) -> None:
    """Let go of what was kept first."""
    while len(kept) > most:
        del kept[next(iter(kept))]

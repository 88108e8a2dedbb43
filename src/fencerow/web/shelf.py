"""Shelf: the tracts of one folder behind one server, and what is known of each without a plan.

The list answers at once: a look into each record takes milliseconds, what its plan says is kept
from the last time, and new plans are worked in the background (`ahead.py`). Of the tracts
themselves only a few stay in memory.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from threading import BoundedSemaphore, Lock
from time import monotonic

from fastapi import FastAPI

from fencerow.plan.glance import read_as
from fencerow.plan.together import Known, Together, together
from fencerow.store import Store
from fencerow.store.invented import day_of
from fencerow.store.shelf import (
    SHORT,
    Found,
    Kept,
    Levels,
    Looked,
    address_of,
    id_of,
    keep,
    kept,
    key_of,
    look,
    named,
    tracts_of,
)
from fencerow.web.accounts import Accounts
from fencerow.web.ahead import Ahead, Wanted
from fencerow.web.aside import Aside
from fencerow.web.desk import Desk
from fencerow.web.desk_aside import DeskAside
from fencerow.web.house import House
from fencerow.web.house import Known as KnownTract
from fencerow.web.shared import SharedAccounts
from fencerow.web.sights import Glanced
from fencerow.web.who import COOKIE, Person
from fencerow.words import BadInput, FencerowError, say

AT_ONCE = 2
"""Plans that are worked at the same time."""
IN_MEMORY = 4
"""Tracts whose pages' plans stay in memory; of the others the list is known."""
PATIENCE_S = 1.5
"""How long the list waits for records that do not answer."""
ADDRESS_PATIENCE_S = 20.0
"""And an address, for the record that it may be of."""
Clock = Callable[[], datetime]


@dataclass
class Opened:
    """A tract of the folder, as far as it could be opened."""

    found: Found
    store: Store | None = None
    id: str = ""
    trouble: str = ""
    looked: dict[Levels | None, Looked] = field(default_factory=dict)
    glances: dict[str, Kept] = field(default_factory=dict)
    failed: dict[str, tuple[str, date, str]] = field(default_factory=dict)
    """Plans that could not be worked: of which state and day, and why."""
    looking: dict[object, tuple[Future[None], float]] = field(default_factory=dict)
    """Looks that were begun, by what they look for, and when."""

    @property
    def short(self) -> str:
        """What its address is found by."""
        return self.id[:SHORT]


class Shelf:
    """The tracts of a folder; `build` makes the application of one of them."""

    def __init__(
        self, folder: Path, author: str, as_of: date | None = None, networked: bool = False,
        now: Clock = lambda: datetime.now(UTC),
        build: Callable[[Path, House], FastAPI] | None = None, patience_s: float | None = None,
        aside: Aside | None = None,
    ) -> None:  # fmt: skip
        self.folder, self.author, self.as_of = folder.absolute(), author, as_of
        self.networked, self.now, self.build = networked, now, build
        self.patience_s, self.aside = patience_s, aside
        self.accounts = Accounts(self.folder)
        self.turns = BoundedSemaphore(AT_ONCE)
        self.ahead = Ahead(self.turns, self._planned)
        self._opened: dict[Path, Opened] = {}
        self._apps: OrderedDict[str, tuple[Path, FastAPI]] = OrderedDict()
        self._lock = Lock()
        self._looks = ThreadPoolExecutor(8, "look")

    def begin(self) -> None:
        """Open the records already, before somebody asks for them."""
        self._looks.submit(self._opened_now)

    # ---- the list

    def together(self, cookies: Mapping[str, str]) -> Together:
        """The sheet of the tracts that somebody may see, in their role on each."""
        tracts = self._opened_now()
        people = [(o, self.person(o, cookies)) for o in tracts]
        seen = [(o, p) for o, p in people if p is not None and self._may_know(o, p)]
        self._look_at(seen)
        first: dict[str, str] = {}
        lines = []
        for opened, person in seen:
            if opened.id and first.setdefault(opened.short, opened.found.name) != opened.found.name:
                why = str(say("shelf-copy", first=first[opened.short]))
                lines.append(Known("", opened.found.name, _role(person), trouble=why))
            else:
                lines.append(self._known(opened, person))
        return together(lines, self.now(), self.as_of)

    def person(self, opened: Opened, cookies: Mapping[str, str]) -> Person | None:
        """Who somebody is on a tract; None where nobody that it knows."""
        accounts = self.accounts_of(opened.found.folder)
        try:
            if not (self.networked or accounts.any()):
                return Person(self.author, "owner")
            account = accounts.signed_in(self.token(opened, cookies))
        except BadInput:  # whose accounts can't be read lets nobody in
            return None
        return None if account is None else Person(account.name, account.role, account=True)

    def accounts_of(self, folder: Path) -> Accounts:
        """The accounts that count on one of the tracts."""
        return SharedAccounts(folder, self.accounts)

    def token(self, opened: Opened, cookies: Mapping[str, str]) -> str:
        """The session by which somebody is on a tract: its own, else that of the folder."""
        own = cookies.get(f"{COOKIE}-{opened.short}", "") if opened.id else ""
        if own and self.accounts_of(opened.found.folder).signed_in(own) is not None:
            return own
        return cookies.get(COOKIE, "")

    def _may_know(self, opened: Opened, person: Person) -> bool:
        """Of a tract that can't be opened only who owns them all is told."""
        return bool(opened.id) or person.role == "owner"

    def _known(self, opened: Opened, person: Person) -> Known:
        levels, name = person.levels, opened.found.name
        looked = opened.looked.get(levels)
        if opened.store is None or looked is None:
            slow = not opened.trouble
            return Known("", name, _role(person), trouble=opened.trouble, slow=slow)
        day = self.day_of(opened.found.folder) or looked.hand.day(self.now())
        key, made = key_of(opened.store, looked.digest), opened.glances.get(named(levels))
        fresh = made is not None and (made.key, made.day) == (key, day)
        failed = opened.failed.get(named(levels))
        why = failed[2] if failed is not None and failed[:2] == (key, day) else ""
        if not fresh and not why:
            self.ahead.want(opened.found.folder, levels, day)
        return Known(
            key=address_of(looked.hand.name, opened.id),
            folder=name,
            role=_role(person),
            hand=looked.hand,
            glance=None if made is None else made.told.get(read_as()),
            worked=None if made is None else made.day,
            since=0 if made is None else max(0, looked.count - made.count),
            stale=not fresh,
            working=self.ahead.working(opened.found.folder, levels),
            trouble=opened.trouble or why,
        )

    def day_of(self, folder: Path) -> date | None:
        """The day that a tract is looked at on, where it is not the one that it is."""
        return self.as_of or day_of(folder)

    def _planned(self, wanted: Wanted, day: date, told: Kept | str) -> None:
        """A plan was worked in the background, or could not be."""
        folder, levels = wanted
        opened = self._opened.get(folder)
        if opened is None:
            return
        if isinstance(told, Kept):
            opened.glances[named(levels)] = told
            return
        looked = opened.looked.get(levels)
        if opened.store is not None and looked is not None:
            key = key_of(opened.store, looked.digest)
            opened.failed[named(levels)] = (key, day, told)

    # ---- looking

    def _opened_now(self, patience_s: float = PATIENCE_S) -> list[Opened]:
        """The tracts that stand in the folder now; those that are new are opened."""
        found = tracts_of(self.folder)
        with self._lock:
            gone = set(self._opened) - {f.folder for f in found}
            for folder in gone:
                del self._opened[folder]
            for one in found:
                known = self._opened.get(one.folder)
                if known is None or known.found.mark != one.mark:
                    self._opened[one.folder] = Opened(one)
            tracts = [self._opened[f.folder] for f in found]
        opening = [(o, "id", partial(_open, o)) for o in tracts if not o.id]
        self._await(opening, patience_s)
        return tracts

    def _look_at(self, seen: Iterable[tuple[Opened, Person]]) -> None:
        looks = [(o, p.levels, partial(_look, o, p.levels)) for o, p in seen if o.id]
        self._await(looks, PATIENCE_S)

    def _await(
        self, tasks: Iterable[tuple[Opened, object, Callable[[], None]]], patience_s: float
    ) -> None:
        """Look into some tracts, and wait a little; what has long been slow is not waited for."""
        now, fresh = monotonic(), []
        for opened, what, task in tasks:
            with self._lock:
                before = opened.looking.get(what)
                if before is None or before[0].done():
                    before = opened.looking[what] = self._looks.submit(task), now
            if now - before[1] < patience_s:
                fresh.append(before[0])
        wait(fresh, patience_s)

    # ---- the tracts themselves

    def tract(self, short: str) -> Opened | None:
        """The tract of an address; it is looked for again where its folder has another name."""
        with self._lock:
            known = [o for o in self._opened.values() if o.id and o.short == short]
        for opened in known:
            if any(f == opened.found for f in tracts_of(self.folder)):
                return opened
        tracts = self._opened_now(ADDRESS_PATIENCE_S)
        found = (o for o in tracts if o.id and o.short == short)
        return next(found, None)

    def app(self, opened: Opened) -> FastAPI:
        """The application of a tract; only of a few is what they planned kept in memory.

        Raises:
            BadInput: its record can't be read.
        """
        assert self.build is not None
        with self._lock:
            folder, made = self._apps.get(opened.id, (None, None))
            if made is None or folder != opened.found.folder:
                made = self.build(opened.found.folder, TractOfMany(self, opened))
                self._apps[opened.id] = opened.found.folder, made
            self._apps.move_to_end(opened.id)
            idle = [i for i, (_, a) in self._apps.items() if not a.state.jobs.running]
            for id_ in idle[: max(0, len(self._apps) - IN_MEMORY)]:
                if id_ != opened.id:
                    del self._apps[id_]
            return made

    def told(self, opened: Opened, glanced: Glanced) -> None:
        """A page had its tract planned: the list then needs no plan of its own."""
        day = self.day_of(opened.found.folder) or glanced.today
        if glanced.day == day and opened.store is not None:
            key = key_of(opened.store, glanced.digest)
            made = Kept(key, day, glanced.count, glanced.told)
            opened.glances[named(glanced.levels)] = made
            keep(opened.found.folder, glanced.levels, made)


class TractOfMany(House):
    """The house of one tract that stands with others; of those it says nothing."""

    def __init__(self, shelf: Shelf, opened: Opened) -> None:
        self._shelf, self._opened = shelf, opened
        folder = opened.found.folder
        super().__init__(folder.parent, shelf.author, folder, shelf.as_of, shelf.networked, True)

    def accounts(self) -> Accounts | None:
        """The tract's accounts and those of the folder."""
        found = self._shelf.accounts_of(self._opened.found.folder)
        return found if self.networked or found.any() else None

    def tracts(self) -> list[KnownTract]:
        """This one alone."""
        name = self._opened.found.name
        return [KnownTract(name, day_of(self._opened.found.folder) is not None, True)]

    def _on_this_machine(self) -> None:
        raise BadInput("shelf-tract-of-many")

    def _sit_at(self, folder: Path, as_of: date | None) -> Desk:
        shelf, day = self._shelf, as_of or day_of(folder)
        told = partial(shelf.told, self._opened)
        if shelf.aside is not None:
            patience_s = shelf.patience_s or 0.0
            return DeskAside(folder, self.author, day, patience_s, shelf.aside, told)
        return Desk(folder, self.author, day, shelf.now, shelf.turns, told, shelf.patience_s)


class Front(House):
    """What stands before the tracts: the list, and who signs in to all of them at once."""

    def __init__(self, shelf: Shelf) -> None:
        super().__init__(shelf.folder, shelf.author, None, shelf.as_of, shelf.networked, True)
        self._all = shelf

    def accounts(self) -> Accounts | None:
        """The accounts of the folder."""
        found = self._all.accounts
        return found if self.networked or found.any() else None


def _role(person: Person) -> str:
    """A role that is worth telling: where nobody signs in, all are the owner's."""
    return person.role if person.account else ""


def _open(opened: Opened) -> None:
    try:
        opened.store = Store.open(opened.found.folder)
        opened.glances = kept(opened.found.folder)
        opened.id, opened.trouble = id_of(opened.store), ""
    except FencerowError as error:
        opened.trouble = str(error)


def _look(opened: Opened, levels: Levels | None) -> None:
    assert opened.store is not None
    try:
        before = opened.looked.get(levels)
        opened.looked[levels] = look(opened.store, opened.id, levels, before)
        opened.trouble = ""
    except FencerowError as error:
        opened.trouble = str(error)

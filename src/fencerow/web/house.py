"""House: the tracts in one folder, and the one of them that is open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from threading import Lock
from typing import Any

from fencerow.manner import Manner, shown_in
from fencerow.store import Store, create
from fencerow.store.going import Going
from fencerow.store.invented import build, day_of
from fencerow.tract.model import slug_of
from fencerow.tract.read import check
from fencerow.web.accounts import Accounts
from fencerow.web.aside import Aside
from fencerow.web.desk import Desk
from fencerow.web.desk_aside import DeskAside
from fencerow.words import BadInput

DEMO = "demo"


@dataclass(frozen=True)
class Known:
    """A tract that stands in the folder."""

    folder: str
    invented: bool
    open: bool


class House:
    """The tracts of a folder. One is open at a time, for all pages of this server.

    Where other machines ask (`one_tract`) it is the one that the server was started with;
    `networked` says that nobody asks without an account.
    """

    def __init__(
        self, shelf: Path, author: str, opened: Path | None = None, as_of: date | None = None,
        networked: bool = False, one_tract: bool = False, patience_s: float | None = None,
        aside: Aside | None = None,
    ) -> None:  # fmt: skip
        self.shelf, self.author = shelf.absolute(), author
        self.networked, self.one_tract = networked, networked or one_tract
        self._patience_s, self._aside = patience_s, aside
        self._lock = Lock()
        self._desk = None if opened is None else self._sit_at(opened, as_of)

    @property
    def desk(self) -> Desk:
        """The open tract.

        Raises:
            NoTract: none is open.
        """
        if self._desk is None:
            raise NoTract("web-no-tract")
        return self._desk

    @property
    def is_open(self) -> bool:
        """Whether a tract is open."""
        return self._desk is not None

    def accounts(self) -> Accounts | None:
        """The accounts of the open tract; None where whoever sits at the machine is the owner."""
        if self._desk is None:
            return None
        found = Accounts(self._desk.store.folder)
        return found if self.networked or found.any() else None

    def tracts(self) -> list[Known]:
        """What is there to open, by its folder's name: in this folder, and the invented one."""
        found = [*self.shelf.glob("*.tract"), *self.shelf.glob(f"{DEMO}/*.tract")]
        here = self._desk.store.folder if self._desk is not None else None
        known = [
            Known(path.relative_to(self.shelf).as_posix(), day_of(path) is not None, path == here)
            for path in found
            if path.is_dir()
        ]
        return sorted(known, key=lambda k: (k.invented, k.folder))

    def make(self, about: Mapping[str, Any]) -> str:
        """Make a tract and open it; its folder's name.

        Raises:
            BadInput: a field is wrong, or such a folder is there already.
        """
        self._on_this_machine()
        body = check("about", about, "start")
        store = create(self.shelf / f"{slug_of(body.name)}.tract", body, author=self.author)
        return self.open(store.folder.name)

    def open(self, folder: str) -> str:
        """Open one of the tracts that are there.

        Raises:
            BadInput: there is none of that name, or its record can't be read.
        """
        self._on_this_machine()
        if folder not in {known.folder for known in self.tracts()}:
            raise BadInput("web-no-such-tract", folder=folder, shelf=self.shelf)
        with self._lock:
            self._desk = self._sit_at(self.shelf / folder, None)
        return folder

    def _on_this_machine(self) -> None:
        if self.one_tract:
            raise BadInput("web-one-tract")

    def _sit_at(self, folder: Path, as_of: date | None) -> Desk:
        day = as_of or day_of(folder)
        if self._aside is not None:
            return DeskAside(folder, self.author, day, self._patience_s or 0.0, self._aside)
        return Desk(folder, self.author, day, patience_s=self._patience_s)


class NoTract(BadInput):
    """No tract is open."""


def make_invented(folder: Path, going: Going) -> str:
    """A job: make the invented tract; its folder's name."""
    return f"{DEMO}/{build(folder / DEMO, going).folder.name}"


def bring_file(
    tract: Path, file: Path, rules: list[str], vertical_unit: str, holds: str, author: str,
    units: Manner, going: Going,
) -> list[str]:  # fmt: skip
    """A job: bring a file into a tract; what it says of it."""
    from fencerow.store.bring import bring
    from fencerow.store.record import utc_now

    with shown_in(units):
        store = Store.open(tract)
        return bring(store, file, rules, vertical_unit, author, utc_now, going=going, holds=holds)

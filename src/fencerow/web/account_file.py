"""The file that accounts stand in: its tables, how it is opened, and whom it knows."""

from __future__ import annotations

import sqlite3
import unicodedata
from collections.abc import Callable, Collection, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fencerow.web.roles import ROLES
from fencerow.words import BadInput

FILE = "accounts.db"
_TABLES = """
CREATE TABLE IF NOT EXISTS person (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL, folded TEXT NOT NULL UNIQUE, role TEXT NOT NULL,
    password TEXT NOT NULL, since TEXT NOT NULL, removed INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE IF NOT EXISTS session (
    token TEXT PRIMARY KEY, person INTEGER NOT NULL REFERENCES person, ends TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS invitation (
    token TEXT PRIMARY KEY, role TEXT NOT NULL, name TEXT NOT NULL, ends TEXT NOT NULL,
    used INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE IF NOT EXISTS wrong (
    folded TEXT PRIMARY KEY, count INTEGER NOT NULL, last TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS audit (
    id INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, name TEXT NOT NULL,
    note TEXT NOT NULL) STRICT;
CREATE TRIGGER IF NOT EXISTS audit_stays BEFORE UPDATE ON audit
    BEGIN SELECT RAISE(ABORT, 'the audit is only added to'); END;
CREATE TRIGGER IF NOT EXISTS audit_kept BEFORE DELETE ON audit
    BEGIN SELECT RAISE(ABORT, 'the audit is only added to'); END;
"""
_GROWN = (
    "person ADD COLUMN last TEXT NOT NULL DEFAULT ''",
    "session ADD COLUMN since TEXT NOT NULL DEFAULT ''",
    "session ADD COLUMN last TEXT NOT NULL DEFAULT ''",
    "session ADD COLUMN device TEXT NOT NULL DEFAULT ''",
    "audit ADD COLUMN by TEXT NOT NULL DEFAULT ''",
)
"""What the tables were given later; `user_version` counts how often that was done."""


@dataclass(frozen=True)
class Account:
    """Somebody who may sign in; `last` is when they were last seen, empty where they never were."""

    name: str
    role: str
    since: str
    last: str = ""


@dataclass(frozen=True)
class By:
    """Who arranges accounts, and people of which roles; left out, whoever is at the terminal."""

    name: str = ""
    over: frozenset[str] = frozenset(ROLES)


AT_THE_TERMINAL = By()


@dataclass(frozen=True)
class Done:
    """A line of the audit."""

    at: str
    what: str
    name: str
    note: str
    by: str = ""
    """Whose account did it; empty for the terminal, and for what people do with their own."""


class AccountFile:
    """The accounts of one tract's folder. The file is made by the first word that is kept in it."""

    def __init__(
        self, folder: Path, now: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        self.file, self._now = folder / FILE, now

    @contextmanager
    def _open(self, begin: str = "BEGIN IMMEDIATE") -> Iterator[sqlite3.Connection]:
        """The file, in one transaction."""
        new = not self.file.exists() or not self.file.stat().st_size
        try:
            if new:
                self.file.touch(mode=0o600)
            with closing(sqlite3.connect(self.file, timeout=15, isolation_level=None)) as db:
                db.row_factory = sqlite3.Row
                db.execute("PRAGMA foreign_keys=ON")
                if new:
                    db.executescript(_TABLES)
                _grow(db)
                db.execute(begin)
                try:
                    yield db
                except BaseException:
                    db.execute("ROLLBACK")
                    raise
                db.execute("COMMIT")
        except (sqlite3.Error, UnicodeDecodeError, OSError) as error:
            raise BadInput("account-file", file=self.file, why=error) from None

    def _person(
        self, db: sqlite3.Connection, name: str, over: Collection[str] = ROLES
    ) -> sqlite3.Row:
        found = self._found(db, name, removed=False)
        if found is None:
            raise BadInput("account-none", name=name)
        among(found["role"], over)
        return found

    def _found(self, db: sqlite3.Connection, name: str, removed: bool = True) -> sqlite3.Row | None:
        row: sqlite3.Row | None = db.execute(
            "SELECT * FROM person WHERE folded = ?", (folded_name(name),)
        ).fetchone()
        return None if row is not None and row["removed"] and not removed else row

    def _owner_left(self, db: sqlite3.Connection, person: sqlite3.Row) -> None:
        others = "SELECT 1 FROM person WHERE role = 'owner' AND NOT removed AND id <> ?"
        if person["role"] == "owner" and not db.execute(others, (person["id"],)).fetchone():
            raise BadInput("account-last-owner", name=person["name"])

    def _begun(self, db: sqlite3.Connection, role: str, over: Collection[str] = ROLES) -> None:
        """The first account is an owner's: from then on one must sign in."""
        owner = "SELECT 1 FROM person WHERE role = 'owner' AND NOT removed"
        if known(role) != "owner" and not db.execute(owner).fetchone():
            raise BadInput("account-first")
        among(role, over)

    def _say(
        self, db: sqlite3.Connection, what: str, name: str, note: str = "", by: str = ""
    ) -> None:
        row = (self._at(), what, name, note, by)
        db.execute("INSERT INTO audit (at, what, name, note, by) VALUES (?, ?, ?, ?, ?)", row)

    def _at(self, later: timedelta = timedelta()) -> str:
        return (self._now() + later).astimezone(UTC).isoformat(timespec="milliseconds")


def _grow(db: sqlite3.Connection) -> None:
    """Give the tables of an older file what they lack."""
    if db.execute("PRAGMA user_version").fetchone()[0] > 0:
        return
    db.execute("BEGIN IMMEDIATE")
    if db.execute("PRAGMA user_version").fetchone()[0] == 0:  # nobody else did it meanwhile
        for column in _GROWN:
            db.execute(f"ALTER TABLE {column}")
        db.execute("PRAGMA user_version=1")
    db.execute("COMMIT")


def among(role: str, over: Collection[str]) -> None:
    """Whether people of a role are among those that somebody arranges.

    Raises:
        BadInput: they are not.
    """
    if role not in over:
        raise BadInput(
            "account-not-yours", role=role, want=", ".join(r for r in ROLES if r in over)
        )


class TooSoon(BadInput):
    """Too many wrong passwords: what is asked now is not looked at."""


def named(name: str) -> str:
    """A name that an account can have.

    Raises:
        BadInput: it is empty, too long, or cannot be printed.
    """
    shown = " ".join(unicodedata.normalize("NFKC", name).split())
    if not 0 < len(shown) <= 80 or not shown.isprintable():
        raise BadInput("account-name")
    return shown


def known(role: str) -> str:
    """A role that there is.

    Raises:
        BadInput: there is none of that name.
    """
    if role not in ROLES:
        raise BadInput("account-role", role=role, want=", ".join(ROLES))
    return role


def folded_name(name: str) -> str:
    """Names that look the same are the same."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())[:80]

"""The one place that speaks SQLite: how to connect, lock, guard, examine and copy a record."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from functools import cached_property
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from fencerow.store import dialect, files
from fencerow.words import BadInput

_TELLS = (
    (("SQLITE_FULL",), "store-full"),
    (("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH"), "store-read-only"),
    (("SQLITE_CORRUPT", "SQLITE_NOTADB"), "store-damaged"),
    (("SQLITE_BUSY", "SQLITE_LOCKED"), "store-busy"),
    (("SQLITE_IOERR",), "store-disk"),
)
BESIDE = ("", "-wal", "-shm")
"""What belongs to a database file, by the end of its name."""
_MOVED = "the record was moved"


class Sqlite(dialect.Database):
    """A record that is one file.

    The last connection to close empties the write-ahead log into the file, so a folder at rest is
    one plain file that can be copied; it costs about a millisecond a transaction.
    """

    def __init__(self, record: Path) -> None:
        self.record, self.folder = record, record.parent

    @cached_property
    def engine(self) -> Engine:
        """An engine that holds nothing open between transactions."""
        return _engine_of(self.record, foreign_keys=True)

    def there(self) -> bool:
        return self.record.is_file()

    def absent(self) -> BadInput:
        return BadInput("store-no-tract", folder=self.folder)

    def damaged(self, why: str) -> BadInput:
        return BadInput("store-damaged", folder=self.folder, why=why)

    def begin(self, connection: Connection) -> None:
        """The file is made by being connected to."""

    def set_up(self) -> None:
        with self._told(), closing(_plain(self.record)) as connection:
            connection.execute("PRAGMA journal_mode=WAL")

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        with self._told(), self.engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self, *, bare: bool = False) -> Iterator[Connection]:
        engine = _engine_of(self.record, foreign_keys=False) if bare else self.engine
        with self._told(), engine.execution_options(writes=True).begin() as connection:
            yield connection

    def guard(self, connection: Connection, tables: Mapping[str, str]) -> None:
        """Let these tables only grow; INSERT OR REPLACE is refused too, for it deletes unseen."""
        for table, key in tables.items():
            held = " OR ".join(
                f"EXISTS (SELECT 1 FROM {table} WHERE {c} = NEW.{c})" for c in ("position", key)
            )
            for verb, when in (("UPDATE", "1"), ("DELETE", "1"), ("INSERT", held)):
                _refuse(connection, table, verb, verb.lower(), when, f"{table} only grows")

    def shut(self, connection: Connection) -> None:
        """Take no entry any more: the record is elsewhere now, and who held it open is told so."""
        _refuse(connection, "entry", "INSERT", "moved", "1", _MOVED)

    def damage(self, connection: Connection, *, thorough: bool = False) -> str | None:
        pragma = "integrity_check" if thorough else "quick_check"
        return _faults([str(row[0]) for row in connection.execute(text(f"PRAGMA {pragma}(5)"))])

    def orphans(self, connection: Connection) -> list[str]:
        return sorted({str(r[0]) for r in connection.execute(text("PRAGMA foreign_key_check"))})

    def loose(self, connection: Connection) -> list[str]:
        rows = connection.execute(text("PRAGMA table_list")).mappings()
        ours = [r for r in rows if (r["schema"], r["type"], r["strict"]) == ("main", "table", 0)]
        return sorted(str(r["name"]) for r in ours if not str(r["name"]).startswith("sqlite_"))

    def copy(self, target: Path) -> None:
        with self._told(), closing(_plain(self.record)) as source:
            source.execute("VACUUM INTO ?", (str(target),))
        Sqlite(target).hold_sound(self.folder)

    def replace(self, copy: Path) -> Sqlite:
        with files.refused(self.folder), files.part_of(self.folder) as part:
            Sqlite(copy).copy(part)
            files.sync_file(part)
            aside = self.put_aside()
            part.replace(self.record)
            files.sync_folder(self.folder)
        return aside

    def put_aside(self) -> Sqlite:
        """Put the file, and what belongs to it, out of the way; nothing is deleted."""
        aside = self.folder / "backups" / f"set-aside-{secrets.token_hex(4)}"
        with files.refused(aside):
            aside.mkdir(parents=True)
            for end in BESIDE:
                if (held := self.folder / f"{self.record.name}{end}").exists():
                    held.rename(aside / held.name)
            files.sync_folder(self.folder)
        return Sqlite(aside / self.record.name)

    def __str__(self) -> str:
        return str(self.folder)

    def hold_sound(self, folder: Path) -> None:
        """Hold a copy of the record of a folder to its integrity check.

        Raises:
            BadInput: it does not pass.
        """
        with self._told(), closing(_plain(self.record)) as copy:
            why = _faults([str(row[0]) for row in copy.execute("PRAGMA integrity_check(5)")])
        if why is not None:
            raise BadInput("store-damaged", folder=folder, why=why)

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Say in words what SQLite refused: no room, no leave, damage, another who holds on."""
        try:
            yield
        except (DBAPIError, sqlite3.Error, UnicodeDecodeError) as error:
            cause = error.orig if isinstance(error, DBAPIError) else error
            code = getattr(cause, "sqlite_errorname", "")
            # letters that are none, in a cell or in what SQLite itself quotes of a spoiled schema
            if isinstance(cause, UnicodeDecodeError) or "decode to UTF-8" in str(cause):
                code = "SQLITE_CORRUPT"
            if str(cause) == _MOVED:
                raise BadInput("store-moved", folder=self.folder) from error
            for starts, message in _TELLS:
                if code.startswith(starts):
                    raise BadInput(message, folder=self.folder, why=str(cause)) from error
            raise


def _engine_of(record: Path, *, foreign_keys: bool) -> Engine:
    url = URL.create("sqlite+pysqlite", database=str(record))
    engine = create_engine(url, poolclass=NullPool, connect_args={"timeout": dialect.WAIT_S})

    @event.listens_for(engine, "connect")
    def _connect(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # we say BEGIN ourselves, below
        connection.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("PRAGMA fullfsync=ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def _refuse(connection: Connection, table: str, verb: str, name: str, when: str, why: str) -> None:
    connection.execute(
        text(
            f"CREATE TRIGGER IF NOT EXISTS {table}_{name} BEFORE {verb} ON {table} "
            f"WHEN {when} BEGIN SELECT RAISE(ABORT, '{why}'); END"
        )
    )


def _faults(found: list[str]) -> str | None:
    return None if found == ["ok"] else "; ".join(" ".join(each.split()) for each in found)


def _plain(record: Path) -> Any:
    return sqlite3.connect(record, timeout=dialect.WAIT_S, isolation_level=None)

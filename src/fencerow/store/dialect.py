"""The one place that speaks SQLite: how to connect, lock, guard, examine and copy a record."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from fencerow.words import BadInput

WAIT_S = 15.0
"""How long a writer waits for another before it gives up."""

_TELLS = (
    (("SQLITE_FULL",), "store-full"),
    (("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH"), "store-read-only"),
    (("SQLITE_CORRUPT", "SQLITE_NOTADB"), "store-damaged"),
    (("SQLITE_BUSY", "SQLITE_LOCKED"), "store-busy"),
    (("SQLITE_IOERR",), "store-disk"),
)


def engine_of(record: Path, *, foreign_keys: bool = True) -> Engine:
    """An engine that holds nothing open between transactions.

    The last connection to close empties the write-ahead log into the file, so a folder at rest is
    one plain file that can be copied; it costs about a millisecond a transaction.
    """
    url = URL.create("sqlite+pysqlite", database=str(record))
    engine = create_engine(url, poolclass=NullPool, connect_args={"timeout": WAIT_S})

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


def set_up(record: Path) -> None:
    """Let a record that is ours, new or restored, be read while it is written."""
    with told(record.parent), closing(_plain(record)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A transaction that sees one state of the record."""
    with told(Path(str(engine.url.database)).parent), engine.begin() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that no other writer shares; it is durable when the block has ended."""
    with (
        told(Path(str(engine.url.database)).parent),
        engine.execution_options(writes=True).begin() as connection,
    ):
        yield connection


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Say in words what a database refused.

    Raises:
        BadInput: the disk is full, the folder read-only, the file damaged or held by another.
    """
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        code = getattr(cause, "sqlite_errorname", "")
        if "decode to UTF-8" in str(cause):
            code = "SQLITE_CORRUPT"
        for starts, message in _TELLS:
            if code.startswith(starts):
                raise BadInput(message, folder=folder, why=str(cause)) from error
        raise


def guard(connection: Connection, tables: Mapping[str, str]) -> None:
    """Let these tables only grow; INSERT OR REPLACE is refused too, for it deletes unseen.

    Args:
        tables: name -> the column that, beside `position`, tells its rows apart.
    """
    for table, key in tables.items():
        held = " OR ".join(
            f"EXISTS (SELECT 1 FROM {table} WHERE {c} = NEW.{c})" for c in ("position", key)
        )
        for verb, when in (("UPDATE", "1"), ("DELETE", "1"), ("INSERT", held)):
            connection.execute(
                text(
                    f"CREATE TRIGGER IF NOT EXISTS {table}_{verb.lower()} BEFORE {verb} ON {table} "
                    f"WHEN {when} BEGIN SELECT RAISE(ABORT, '{table} only grows'); END"
                )
            )


def damage(connection: Connection, *, thorough: bool = False) -> str | None:
    """What is wrong with the file, in the database's own words; None when it is sound."""
    pragma = "integrity_check" if thorough else "quick_check"
    return _faults([str(row[0]) for row in connection.execute(text(f"PRAGMA {pragma}(5)"))])


def orphans(connection: Connection) -> list[str]:
    """The tables that hold rows whose parent row is gone."""
    return sorted({str(r[0]) for r in connection.execute(text("PRAGMA foreign_key_check"))})


def loose(connection: Connection) -> list[str]:
    """The tables that take any type in any column."""
    rows = connection.execute(text("PRAGMA table_list")).mappings()
    ours = [r for r in rows if r["schema"] == "main" and r["type"] == "table" and not r["strict"]]
    return sorted(str(r["name"]) for r in ours if not str(r["name"]).startswith("sqlite_"))


def copy_record(record: Path, target: Path) -> None:
    """A sound copy of a record that may be in use, as one file without a write-ahead log.

    Raises:
        BadInput: the copy could not be written, or does not pass its integrity check.
    """
    with told(record.parent), closing(_plain(record)) as source:
        source.execute("VACUUM INTO ?", (str(target),))
    with told(target.parent), closing(_plain(target)) as copy:
        why = _faults([str(row[0]) for row in copy.execute("PRAGMA integrity_check(5)")])
    if why is not None:
        raise BadInput("store-damaged", folder=record.parent, why=why)


def _faults(found: list[str]) -> str | None:
    return None if found == ["ok"] else "; ".join(" ".join(each.split()) for each in found)


def _plain(record: Path) -> Any:
    return sqlite3.connect(record, timeout=WAIT_S, isolation_level=None)

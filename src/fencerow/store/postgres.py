"""The one place that speaks PostgreSQL: a record that is one schema of a database.

Passwords, password files, certificates and the way to the server are libpq's: PGPASSWORD,
PGPASSFILE, sslmode and the others mean what its manual says.
"""

from __future__ import annotations

import os
import secrets
import weakref
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError

from fencerow.store import dialect
from fencerow.store.address import Address
from fencerow.words import BadInput

CONNECT_S = "10"
"""How long a server is waited for, where the address and PGCONNECT_TIMEOUT say nothing."""

_STATES = (
    ("53100", "database-full"),
    ("25006", "database-read-only"),
    ("42501", "database-not-allowed"),
    ("57014", "database-short"),
    ("55P03", "store-busy"),
    ("40P01", "store-busy"),
    ("XX001", "database-damaged"),
    ("XX002", "database-damaged"),
    ("42P01", "database-no-tract"),
    ("3F000", "database-no-tract"),
)
"""What a server says by its code, before the classes of codes below."""
_CLASSES = (("53", "database-short"), ("58", "database-disk"), ("57P", "database-stopped"))
_DOORS = (
    ("password authentication failed", "database-password"),
    ("no password supplied", "database-password"),
    ("does not exist", "database-missing"),
    ("no pg_hba.conf entry", "database-password"),
)
"""What a server says at the door, where it gives no code; in another language it is told whole."""


class Postgres(dialect.Database):
    """A record that is a schema, named after its tract, of a database that holds many."""

    def __init__(self, address: Address, folder: Path) -> None:
        self.address, self.folder = address, folder

    @cached_property
    def engine(self) -> Engine:
        """An engine that keeps a few connections for the next transactions, tried before use."""
        made = engine_of(self.address)
        weakref.finalize(self, made.dispose)
        return made

    def there(self) -> bool:
        query = text(
            "SELECT has_schema_privilege(oid, 'USAGE') FROM pg_catalog.pg_namespace "
            "WHERE nspname = :name"
        )
        with self.reading() as connection:
            allowed = connection.execute(query, {"name": self.address.tract}).scalar()
        if allowed is False:
            why = f'USAGE ON SCHEMA "{self.address.tract}"'
            raise BadInput("database-not-allowed", address=self.address, why=why)
        return allowed is not None

    def absent(self) -> BadInput:
        return BadInput("database-no-tract", address=self.address)

    def damaged(self, why: str) -> BadInput:
        return BadInput("database-damaged", address=self.address, why=why)

    def begin(self, connection: Connection) -> None:
        encoding = connection.execute(text("SHOW server_encoding")).scalar_one()
        if encoding != "UTF8":
            raise BadInput("database-encoding", address=self.address, encoding=encoding)
        if schema_is_there(connection, self.address.tract):
            raise BadInput("database-taken", address=self.address)
        connection.exec_driver_sql(f'CREATE SCHEMA "{self.address.tract}"')

    def set_up(self) -> None:
        """Readers and writers do not wait for one another as it is."""

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        engine = self.engine.execution_options(isolation_level="REPEATABLE READ")
        step = _Step()
        with self._told(step), engine.connect() as connection, connection.begin():
            step.now = "reading"
            yield connection

    @contextmanager
    def writing(self, *, bare: bool = False) -> Iterator[Connection]:
        # the lock comes first and each statement sees what was kept before it: hence no snapshot
        engine = self.engine.execution_options(isolation_level="READ COMMITTED")
        step = _Step()
        with self._told(step), engine.connect() as connection, connection.begin():
            step.now = "writing"
            self._lock(connection)
            yield connection
            step.now = "keeping"

    def _lock(self, connection: Connection) -> None:
        """Wait until no other writes to this tract; let it be on the disk before it is said to be.

        A server may be set not to wait for its disk; for a record it has to.
        """
        wait = f"{int(dialect.WAIT_S * 1000)}ms"
        connection.execute(
            text(
                "SELECT set_config('lock_timeout', :wait, true), "
                "set_config('synchronous_commit', CASE current_setting('synchronous_commit') "
                "WHEN 'off' THEN 'on' ELSE current_setting('synchronous_commit') END, true)"
            ),
            {"wait": wait},
        )
        key = {"name": f"fencerow {self.address.tract}"}
        connection.execute(text("SELECT pg_advisory_xact_lock(hashtextextended(:name, 0))"), key)

    def guard(self, connection: Connection, tables: Mapping[str, str]) -> None:
        connection.exec_driver_sql(
            "CREATE OR REPLACE FUNCTION only_grows() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            "RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' only grows', "
            "ERRCODE = 'integrity_constraint_violation'; END $$"
        )
        for table in tables:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS only_grows ON {table}")
            connection.exec_driver_sql(
                f"CREATE TRIGGER only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
                "FOR EACH STATEMENT EXECUTE FUNCTION only_grows()"
            )

    def damage(self, connection: Connection, *, thorough: bool = False) -> str | None:
        """Indexes that the server itself holds to be wrong, and guards that somebody took away.

        The pages of its files the server proves itself, as it reads them; each entry is held to
        its digest by the log.
        """
        found = [f"index {name} is not valid" for name in connection.scalars(text(_INVALID))]
        if thorough:
            names = connection.scalars(text(_UNGUARDED)).all()
            found += [f"table {name} is not guarded against change" for name in names]
        return "; ".join(found) or None

    def orphans(self, connection: Connection) -> list[str]:
        looked = inspect(connection)
        return sorted(
            table
            for table in looked.get_table_names()
            if any(_lost(connection, table, key) for key in looked.get_foreign_keys(table))
        )

    def loose(self, connection: Connection) -> list[str]:
        return []

    def copy(self, target: Path) -> None:
        from fencerow.store import carry

        with self.reading() as source:
            carry.as_file(source, target, self.folder)

    def replace(self, copy: Path) -> Postgres:
        from fencerow.store import carry
        from fencerow.store.sqlite import Sqlite

        name = aside_name(self.address.tract)
        with self.writing(bare=True) as target, Sqlite(copy).reading() as source:
            if schema_is_there(target, self.address.tract):
                self.put_aside(target, name)
            carry.into(source, self, target)
        return Postgres(replace(self.address, tract=name), self.folder)

    def __str__(self) -> str:
        return str(self.address)

    def put_aside(self, connection: Connection, name: str) -> None:
        """Give the schema another name, under which nobody looks for the tract."""
        tract = self.address.tract
        connection.exec_driver_sql(f'ALTER SCHEMA "{tract}" RENAME TO "{name}"')

    @contextmanager
    def _told(self, step: _Step) -> Iterator[None]:
        """Say in words what the server refused, and what has become of what was being written."""
        try:
            yield
        except DBAPIError as error:
            found = _told(error, step.now)
            if found is None:
                raise
            message, kind = found
            raise kind(
                message, address=self.address, folder=self.folder, why=_words(error)
            ) from error


class _Step:
    """How far a transaction has come."""

    now = "connecting"


def engine_of(address: Address) -> Engine:
    """An engine for an address; its transactions see the schema of the tract and no other.

    Raises:
        BadInput: what speaks to PostgreSQL is not installed.
    """
    query: dict[str, Any] = dict(address.more)
    if "PGCONNECT_TIMEOUT" not in os.environ:
        query.setdefault("connect_timeout", CONNECT_S)
    url = URL.create(
        "postgresql+psycopg", username=address.user or None, host=address.host or None,
        port=address.port, database=address.database, query=query,
    )  # fmt: skip
    try:
        engine = create_engine(
            url, pool_pre_ping=True, use_native_hstore=False, hide_parameters=True,
            connect_args={"client_encoding": "utf8", "application_name": "fencerow"},
        )  # fmt: skip
    except ImportError:
        raise BadInput("database-no-driver") from None
    if address.tract:

        @event.listens_for(engine, "connect", insert=True)
        def _connect(connection: Any, _: object) -> None:
            connection.execute(f'SET search_path TO "{address.tract}"')
            connection.commit()

    return engine


def aside_name(tract: str) -> str:
    """A name for a schema under which no tract is looked for."""
    return f"{tract}~{secrets.token_hex(4)}"


def schema_is_there(connection: Connection, name: str) -> bool:
    """Whether a database has a schema of that name."""
    query = text("SELECT count(*) FROM pg_catalog.pg_namespace WHERE nspname = :name")
    return bool(connection.execute(query, {"name": name}).scalar_one())


_INVALID = """
SELECT c.relname FROM pg_catalog.pg_index i JOIN pg_catalog.pg_class c ON c.oid = i.indexrelid
WHERE c.relnamespace = current_schema()::regnamespace AND NOT i.indisvalid ORDER BY 1
"""
_UNGUARDED = """
SELECT c.relname FROM pg_catalog.pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relname IN ('entry', 'clash')
AND NOT EXISTS (SELECT 1 FROM pg_catalog.pg_trigger t
                WHERE t.tgrelid = c.oid AND t.tgname = 'only_grows' AND t.tgenabled <> 'D')
ORDER BY 1
"""


def _lost(connection: Connection, table: str, key: Mapping[str, Any]) -> bool:
    """Whether a row of a table names a parent that is not there."""
    child, parent = key["constrained_columns"][0], key["referred_columns"][0]
    query = (
        f'SELECT count(*) FROM "{table}" a LEFT JOIN "{key["referred_table"]}" b '
        f'ON a."{child}" = b."{parent}" WHERE a."{child}" IS NOT NULL AND b."{parent}" IS NULL'
    )
    return bool(connection.exec_driver_sql(query).scalar_one())


def _told(error: DBAPIError, step: str) -> tuple[str, type[BadInput]] | None:
    """The message for what went wrong; None where it is no matter of the server's."""
    code = getattr(error.orig, "sqlstate", None) or ""
    if step == "connecting" and not code:
        said = str(error.orig)
        return next((m for words, m in _DOORS if words in said), "database-away"), BadInput
    if error.connection_invalidated or code.startswith("57P"):
        if step == "keeping":
            return "database-cut-unknown", dialect.Cut
        return (
            ("database-cut", dialect.Cut) if step == "writing" else ("database-stopped", BadInput)
        )
    message = dict(_STATES).get(code) or next((m for c, m in _CLASSES if code.startswith(c)), None)
    return (message, BadInput) if message else None


def _words(error: DBAPIError) -> str:
    """The server's own words on one line, without the content of rows."""
    said = getattr(getattr(error.orig, "diag", None), "message_primary", None) or str(error.orig)
    return " ".join(str(said).split())

"""The tracts of a PostgreSQL database: which there are; moved in, moved back, given a folder."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import Connection, text

from fencerow.store import carry, files, migrate, moved
from fencerow.store.address import ADDRESS, Address
from fencerow.store.dialect import RECORD, Cut
from fencerow.store.postgres import Postgres, aside_name
from fencerow.store.record import BACKUPS, Store
from fencerow.tract.model import slug_of
from fencerow.words import BadInput


@dataclass(frozen=True)
class Held:
    """A tract that a database holds; one of a newer version has no title."""

    address: Address
    title: str
    entries: int
    newer: bool

    @property
    def name(self) -> str:
        return self.address.tract


def tracts_in(address: Address) -> list[Held]:
    """The tracts of a database, by name: those that whoever asks may read.

    Raises:
        BadInput: the server is away, does not let one in, or has no such database.
    """
    base = Postgres(replace(address, tract=""), Path())
    with base.reading() as connection:
        names = connection.scalars(text(_NAMES)).all()
        return [_held(connection, address.named(name)) for name in names]


def waits_for_its_disk(address: Address) -> bool:
    """Whether the server of a database is set to wait for its disk (fsync), as it is by itself.

    Raises:
        BadInput: as for `tracts_in`.
    """
    with Postgres(replace(address, tract=""), Path()).reading() as connection:
        return str(connection.execute(text("SHOW fsync")).scalar_one()) == "on"


def into_database(folder: Path, address: Address) -> Store:
    """Move the record of a tract from its folder into a database; its files stay in the folder.

    Raises:
        BadInput: it is in a database already, a tract of that name is there, or one of the two
            cannot be written; the record is where it was.
    """
    store = Store.open(folder)
    if (store.folder / ADDRESS).is_file():
        raise BadInput("database-moved", folder=store.folder, address=Address.of_folder(folder))
    address = address.or_named(slug_of(store.folder.stem))
    store.backup()
    there = Postgres(address, store.folder)
    with there.writing(bare=True) as target, store.base.reading() as source:
        carry.into(source, there, target)
    try:
        address.keep(store.folder)
    except BadInput:
        with there.writing() as target:  # nobody was told of it
            there.put_aside(target, aside_name(address.tract))
        raise
    moved.finish(there)
    return Store.open(store.folder)


def into_folder(folder: Path) -> Store:
    """Move the record of a tract from its database into its folder.

    What the database holds stays there under a name that nobody uses, and takes nothing more.

    Raises:
        BadInput: the record is in the folder already, or one of the two cannot be written.
    """
    store = Store.open(folder)
    there, folder = store.base, store.folder
    if not isinstance(there, Postgres):
        raise BadInput("database-not-moved", folder=folder)
    store.backup()
    try:
        with there.writing() as connection, files.refused(folder):  # nobody else adds to it now
            with files.part_of(folder) as part:
                there.copy(part)
                files.sync_file(part)
                part.replace(folder / RECORD)
            (folder / ADDRESS).unlink()
            files.sync_folder(folder)
            there.put_aside(connection, aside_name(there.address.tract))
    except Cut:
        raise  # the folder holds all of it, and is what counts
    except BaseException:
        there.address.keep(folder)
        (folder / RECORD).unlink(missing_ok=True)
        raise
    return Store.open(folder)


def folder_for(address: Address, folder: Path) -> Store:
    """Make a folder for a tract that a database holds; the files that belong to it are not there.

    Raises:
        BadInput: the folder is there already, or the database holds no such tract.
    """
    folder = folder.absolute()
    folder = (
        folder if folder.suffix.lower() == ".tract" else folder.with_name(f"{folder.name}.tract")
    )
    if folder.exists():
        raise BadInput("store-exists", folder=folder)
    if not Postgres(address, folder).there():
        raise Postgres(address, folder).absent()
    with files.refused(folder):
        folder.mkdir()
        for name in {*files.FOLDER_OF_ROLE.values(), BACKUPS}:
            (folder / name).mkdir()
    address.keep(folder)
    return Store.open(folder)


_NAMES = r"""
SELECT n.nspname FROM pg_catalog.pg_namespace n
WHERE n.nspname ~ '^[a-z0-9][a-z0-9-]{0,47}$' AND n.nspname <> 'public'
AND has_schema_privilege(n.oid, 'USAGE')
AND 3 = (SELECT count(*) FROM pg_catalog.pg_class c WHERE c.relnamespace = n.oid
         AND c.relname IN ('alembic_version', 'meta', 'entry')
         AND has_table_privilege(c.oid, 'SELECT'))
ORDER BY n.nspname COLLATE "C"
"""


def _held(connection: Connection, address: Address) -> Held:
    at = f'"{address.tract}"'
    run = connection.exec_driver_sql
    revision = str(run(f"SELECT version_num FROM {at}.alembic_version").scalar())
    newer = not migrate.knows(revision)
    entries = int(run(f"SELECT count(*) FROM {at}.entry").scalar_one())
    last = f"SELECT body FROM {at}.entry WHERE kind = 'about' ORDER BY position DESC LIMIT 1"
    title = "" if newer else _title(run(last).scalar())
    return Held(address, title, entries, newer)


def _title(body: object) -> str:
    try:
        found = json.loads(str(body))
        return str(found.get("name", "")) if isinstance(found, dict) else ""
    except ValueError:
        return ""

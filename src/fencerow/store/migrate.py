"""Migrations, behind one guard: a step that loses a row is undone, and the record is as it was."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, MetaData, column, func, inspect, select, table

from fencerow.store import tables as t
from fencerow.store.dialect import Database
from fencerow.words import BadInput, say

STEPS = Path(__file__).parent / "migrations"
"""The folder of the steps."""

_ONE = Lock()
"""Alembic keeps what a step works on in its module: two upgrades at once would lose it."""
_REVISION = table("alembic_version", column("version_num"))


def revision_of(connection: Connection) -> str | None:
    """The revision of a record; None where there is no record."""
    names = set(inspect(connection).get_table_names())
    if not {"alembic_version", "meta", "entry"} <= names:
        return None
    return connection.execute(select(_REVISION.c.version_num)).scalar()


def knows(revision: str) -> bool:
    """Whether a step of that revision is among ours."""
    from alembic.script import ScriptDirectory

    return revision in {s.revision for s in ScriptDirectory(str(STEPS)).walk_revisions()}


def begin(base: Database, connection: Connection) -> None:
    """Make the tables of a record where there are none."""
    run(connection)
    base.guard(connection, t.APPEND_ONLY)


def upgrade(base: Database, before: Callable[[], object] = lambda: None) -> None:
    """Bring a record to the newest revision: all of it or nothing.

    Where rebuilding a parent table would delete the children, foreign keys are off for this
    connection alone; so we look ourselves whether each row still has its parent.

    Args:
        before: what is to be done first, while no other can write; a backup.

    Raises:
        BadInput: a step would have lost rows or the strictness of a table; nothing was changed.
    """
    with base.writing(bare=True) as connection:
        if revision_of(connection) == t.HEAD:
            return  # another did it while we waited
        before()
        held = counts(connection)
        run(connection)
        _refuse_loss(base, connection, held)
        base.guard(connection, t.APPEND_ONLY)


def run(connection: Connection, revision: str = "head") -> None:
    """Run the steps up to a revision, in the transaction of whoever asks."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    config.attributes["connection"] = connection
    with _ONE:
        command.upgrade(config, revision)


def counts(connection: Connection) -> dict[str, int]:
    """Rows of each table of the truth, parents first; projections come and go."""
    found = MetaData()
    found.reflect(connection)
    skip = {p.name for p in t.PROJECTIONS} | {_REVISION.name}
    return {
        each.name: connection.execute(select(func.count()).select_from(each)).scalar_one()
        for each in found.sorted_tables
        if each.name not in skip
    }


def _refuse_loss(base: Database, connection: Connection, before: dict[str, int]) -> None:
    after = counts(connection)
    lost = [
        say("store-lost-rows", table=name, before=count, after=after.get(name, 0))
        for name, count in before.items()
        if after.get(name) != count
    ]
    lost += [say("store-lost-parents", table=name) for name in base.orphans(connection)]
    loose = set(base.loose(connection)) - {_REVISION.name}
    lost += [say("store-lost-types", table=name) for name in sorted(loose)]
    if lost:
        raise BadInput("store-migration", folder=base.folder, what="; ".join(lost))

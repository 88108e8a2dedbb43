"""Migrations, behind one guard: a step that loses a row is undone, and the record is as it was."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from sqlalchemy import Connection, MetaData, column, func, inspect, select, table

from fencerow.store import dialect
from fencerow.store import tables as t
from fencerow.words import BadInput, say

STEPS = Path(__file__).parent / "migrations"
"""The folder of the steps."""

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


def upgrade(record: Path, before: Callable[[], object] = lambda: None) -> None:
    """Bring a record, or an empty file, to the newest revision: all of it or nothing.

    Foreign keys are off for its connection alone: with them on, rebuilding a parent table deletes
    the children. So we look ourselves whether each row still has its parent.

    Args:
        before: what is to be done first, while no other can write; a backup.

    Raises:
        BadInput: a step would have lost rows or the strictness of a table; nothing was changed.
    """
    dialect.set_up(record)
    with dialect.writing(dialect.engine_of(record, foreign_keys=False)) as connection:
        if revision_of(connection) == t.HEAD:
            return  # another did it while we waited
        before()
        counts = _counts(connection)
        _run(connection)
        _refuse_loss(record.parent, connection, counts)
        dialect.guard(connection, t.APPEND_ONLY)


def _run(connection: Connection) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _counts(connection: Connection) -> dict[str, int]:
    """Rows of each table of the truth; projections come and go."""
    found = MetaData()
    found.reflect(connection)
    skip = {p.name for p in t.PROJECTIONS} | {_REVISION.name}
    return {
        name: connection.execute(select(func.count()).select_from(each)).scalar_one()
        for name, each in found.tables.items()
        if name not in skip
    }


def _refuse_loss(folder: Path, connection: Connection, before: dict[str, int]) -> None:
    after = _counts(connection)
    lost = [
        say("store-lost-rows", table=name, before=count, after=after.get(name, 0))
        for name, count in before.items()
        if after.get(name) != count
    ]
    lost += [say("store-lost-parents", table=name) for name in dialect.orphans(connection)]
    loose = set(dialect.loose(connection)) - {_REVISION.name}
    lost += [say("store-lost-types", table=name) for name in sorted(loose)]
    if lost:
        raise BadInput("store-migration", folder=folder, what="; ".join(lost))

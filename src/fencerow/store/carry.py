"""A record carried from one database to another: the same rows at the same places, each proven."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, column, delete, insert, inspect, select, table

from fencerow.store import dialect, log, migrate
from fencerow.store import tables as t
from fencerow.store.sqlite import Sqlite
from fencerow.words import BadInput

_ROWS = 500


def into(source: Connection, base: dialect.Database, target: Connection) -> None:
    """Make a record of the same version in a new place, and put all that is said into it.

    What is folded from the log stays behind: it is folded again.

    Raises:
        BadInput: something stands there already, or what arrived is not what was sent.
    """
    base.begin(target)
    migrate.run(target, migrate.revision_of(source) or t.HEAD)
    names = list(migrate.counts(source))
    for name in reversed(names):  # what a step put there of itself comes with the rest
        target.execute(delete(table(name)))
    for name in names:
        _rows(source, target, name)
    base.guard(target, t.APPEND_ONLY)
    why = next((str(m) for m in log.spoiled(target)), None)
    if why is not None or migrate.counts(source) != migrate.counts(target):
        raise BadInput("carry-not-same", folder=base.folder, why=why or "-")


def as_file(source: Connection, target: Path, folder: Path) -> None:
    """The same, into one SQLite file.

    Raises:
        BadInput: the disk refused, or the copy does not pass its integrity check.
    """
    made = Sqlite(target)
    with made.writing(bare=True) as connection:
        into(source, made, connection)
    made.hold_sound(folder)


def _rows(source: Connection, target: Connection, name: str) -> None:
    names = [str(c["name"]) for c in inspect(source).get_columns(name)]
    held = table(name, *map(column, names))
    place = held.c.position if "position" in names else held.c[names[0]]
    found = source.execute(select(held).order_by(place)).mappings()
    while rows := found.fetchmany(_ROWS):
        target.execute(insert(held), [dict(row) for row in rows])

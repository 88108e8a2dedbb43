"""A record leaves its folder for a database: what has to hold however such a move was cut short.

The address in the folder decides. From the moment that it stands there the record is the
database's, and a file that still lies beside it is an old one: what it holds is taken in, once, and
it is put aside.
"""

from __future__ import annotations

from fencerow.store import log
from fencerow.store.address import ADDRESS
from fencerow.store.dialect import RECORD, Database
from fencerow.store.sqlite import Sqlite
from fencerow.words import BadInput


def finish(base: Database) -> None:
    """End a move into a database, where one was begun.

    Raises:
        BadInput: the file is of another tract, or one of the two cannot be written.
    """
    folder = base.folder
    if not (folder / ADDRESS).is_file() or not (folder / RECORD).is_file():
        return
    old = Sqlite(folder / RECORD)
    with old.writing() as source:
        old.shut(source)
        entries = log.read(source) + log.variants(source)
        with base.writing() as target:
            if entries and log.missing(target, [entries[0].id]):
                raise BadInput("store-not-one-tract", folder=folder, other=folder / RECORD)
            log.take(target, entries)
    old.put_aside()

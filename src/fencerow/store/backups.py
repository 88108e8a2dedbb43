"""Copies of a record: made by the day, thinned with age, and put back where a record is damaged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, text
from sqlalchemy.exc import DBAPIError

from fencerow.store import files, log
from fencerow.store.address import ADDRESS
from fencerow.store.dialect import RECORD, Database, database_of
from fencerow.store.record import BACKUPS, Store
from fencerow.store.sqlite import Sqlite
from fencerow.tract.entry import Entry
from fencerow.words import BadInput

EVERY_DAY, EVERY_WEEK = timedelta(days=14), timedelta(days=98)
"""How far back a copy of each day is kept, and of each week; of each month, for good."""

LAST, GROWN = 15, 200
"""So many copies have to bear out a day; so many new entries are copied on a day that has a copy.

Both are for a clock that is wrong: one that jumps would age every copy at once, and one that begins
on the same day at each start would find its copy made already.
"""


@dataclass(frozen=True)
class Copy:
    """One file of `backups`: how many entries it holds, and why it is not sound where it is not."""

    file: Path
    entries: int
    why: str | None = None


@dataclass(frozen=True)
class Lost:
    """What an older copy does not hold and the damaged record no longer gives."""

    entries: int | None
    things: tuple[str, ...]


@dataclass(frozen=True)
class Restored:
    """What was put back, where the damaged record now lies, what was saved out of it, and lost."""

    copy: Copy
    aside: str
    saved: int
    lost: Lost


def copies(folder: Path) -> list[Copy]:
    """The copies of a record, newest first, each examined."""
    found = (f for f in (folder / BACKUPS).glob("[!.]*.db") if f.is_file())
    newest = sorted(found, key=lambda f: (f.stat().st_mtime_ns, f.name), reverse=True)
    return [examined(file) for file in newest]


def examined(file: Path) -> Copy:
    """A copy, and whether it and each of its entries is as it was written."""
    if not file.is_file():
        return Copy(file, 0, "not there")
    base = Sqlite(file)
    try:
        with base.reading() as connection:
            return Copy(file, log.size(connection)[0], _fault(base, connection))
    except BadInput as error:
        return Copy(file, 0, str(dict(error.message.params).get("why", error)))
    except DBAPIError as error:
        return Copy(file, 0, str(error.orig))


def keep_up(store: Store) -> Path | None:
    """The day's copy, where there is none yet or it lacks much; the older ones thinned, half files
    swept away.

    Raises:
        BadInput: the copy is not sound or the disk refused; the older ones stay.
    """
    if (made := day_file(store.folder, store.today())).exists() and not _outgrown(store, made):
        return None
    made = store.backup()
    thin(store.folder, store.today())
    files.sweep(store.folder)
    return made


def day_file(folder: Path, day: date) -> Path:
    """The file of a day's copy."""
    return folder / BACKUPS / f"record-{day:%Y-%m-%d}.db"


def thin(folder: Path, today: date) -> list[Path]:
    """Delete the copies that a newer one of the same week, or of the same month, makes needless.

    Those made before an upgrade, the copies of the last days, and the last copies stay.
    """
    seen: set[tuple[int, ...]] = set()
    gone: list[Path] = []
    found = sorted(_days(folder), reverse=True)
    if len(found) >= LAST:  # no clock ages the last copies beyond what is kept of each day
        today = min(today, found[LAST - 1][0] + EVERY_DAY)
    for day, file in found[LAST:]:
        age = today - day
        if age <= EVERY_DAY:
            continue
        span = (*day.isocalendar()[:2], 0) if age <= EVERY_WEEK else (day.year, day.month)
        if span in seen:
            file.unlink()
            gone.append(file)
        seen.add(span)
    return gone


def restore(folder: Path, copy: Path | None = None) -> Restored:
    """Put the fullest sound copy, or the one that is named, in the place of the record.

    As a record only grows, the fullest is the newest, whatever the clock said on its day.

    The record that stands there is set aside, never deleted; each entry of it that can still be
    read, and is as it was written, is added to what was put back.

    Raises:
        BadInput: the record is sound, or cannot be looked at now; there is no sound copy, or the
            disk refused; nothing was changed.
    """
    base = database_of(folder) if (folder / ADDRESS).is_file() else Sqlite(folder / RECORD)
    if isinstance(base, Sqlite) and base.record.is_file():
        _refuse_shut(base)
    if _sound(base):
        raise BadInput("store-sound", folder=folder)
    chosen = _chosen(folder, copy)
    old = base.replace(chosen.file)
    store = Store.open(folder)
    readable, missing = _salvage(old)
    earlier = (folder / BACKUPS).glob(f"set-aside-*/{RECORD}")
    again = (_salvage(Sqlite(each))[0] for each in earlier)
    receipt = store.take(chain(readable, *again))
    ids = {entry.id for entry in store.entries()}
    named = tuple(_named(old, ids))
    lost = None if missing is None else max(0, missing - _already(store, readable))
    return Restored(chosen, str(old), len(receipt.stored), Lost(lost, named))


def _sound(base: Database) -> bool:
    """Whether a record is as it was written; a server that is away says nothing about that.

    Raises:
        BadInput: the server could not be asked.
    """
    if isinstance(base, Sqlite):
        return examined(base.record).why is None
    if not base.there():
        return False
    try:
        with base.reading() as connection:
            return _fault(base, connection) is None
    except BadInput as error:
        if error.message.id in ("database-damaged", "database-no-tract"):
            return False
        raise


def _fault(base: Database, connection: Connection) -> str | None:
    why = base.damage(connection, thorough=True)
    return why or next((str(m) for m in log.spoiled(connection)), None)


def _refuse_shut(base: Sqlite) -> None:
    """Refuse a record that is only shut or held: it may be sound."""
    try:
        with base.reading() as connection:
            log.size(connection)
    except BadInput as error:
        if error.message.id in ("store-read-only", "store-busy"):
            raise
    except DBAPIError:  # a database of something else
        pass


def _outgrown(store: Store, copy: Path) -> bool:
    """Whether the record holds much that the day's copy does not."""
    return store.size()[0] - _size(copy) >= GROWN


def _size(copy: Path) -> int:
    """How many entries a copy holds; none where it cannot be read."""
    try:
        with Sqlite(copy).reading() as connection:
            return log.size(connection)[0]
    except (BadInput, DBAPIError):
        return 0


def _entries_of(copy: Copy) -> int:
    return copy.entries


def _days(folder: Path) -> Iterator[tuple[date, Path]]:
    for file in (folder / BACKUPS).glob("record-????-??-??.db"):
        try:
            yield date.fromisoformat(file.stem.removeprefix("record-")), file
        except ValueError:
            continue


def _chosen(folder: Path, copy: Path | None) -> Copy:
    found = copies(folder) if copy is None else [examined(copy)]
    sound = max((c for c in found if c.why is None and c.entries), key=_entries_of, default=None)
    if sound is None:
        told = "; ".join(f"{each.file.name}: {each.why or 'empty'}" for each in found) or "-"
        raise BadInput("store-no-copy", folder=folder, what=told)
    return sound


def _salvage(old: Database) -> tuple[list[Entry], int | None]:
    """The entries of a damaged record that are as they were written, and how many are not."""
    if not old.there():
        return [], None
    last, found = None, []
    # a damaged file may fail even as it is let go of, when all that can be read was read
    with suppress(BadInput, DBAPIError), old.reading() as connection:
        last = _last(connection)
        found = [] if last is None else [_entry(row) for row in _rows(connection, last)]
    if last is None:
        return [], None
    good = [entry for entry in found if entry is not None]
    return good, last - len(good)


def _last(connection: Connection) -> int | None:
    """The last position of the log, from the log or from what was folded of it."""
    asked = ("SELECT max(position) FROM entry", "SELECT max(entries) FROM projection_state")
    found = (_asked(connection, query) for query in asked)
    return max((r[0][0] for r in found if r and isinstance(r[0][0], int)), default=None)


def _rows(connection: Connection, last: int) -> Iterator[Row[Any] | None]:
    """The rows of a log; one by one where they can't be read at one go."""
    whole = _asked(connection, "SELECT * FROM entry ORDER BY position")
    if whole is not None:
        yield from whole
        return
    for position in range(1, last + 1):
        one = _asked(connection, f"SELECT * FROM entry WHERE position = {position}")
        yield one[0] if one else None


def _asked(connection: Connection, query: str) -> Sequence[Row[Any]] | None:
    """The rows that a query gives; None where it can't be answered."""
    try:
        with connection.begin_nested():
            return connection.execute(text(query)).all()
    except (DBAPIError, OverflowError, UnicodeDecodeError):
        return None


def _entry(row: Row[Any] | None) -> Entry | None:
    try:
        return None if row is None else log.entry_of(dict(row._mapping))
    except (BadInput, KeyError, OverflowError):
        return None


def _already(store: Store, readable: list[Entry]) -> int:
    """How many entries the copy held that could not be read in the damaged record."""
    return len({e.id for e in store.entries()} - {e.id for e in readable})


def _named(old: Database, held: set[str]) -> Iterator[str]:
    """The things of the damaged record whose last word is gone, from what was folded of them."""
    if not old.there():
        return
    rows: Sequence[Row[Any]] = ()
    with suppress(BadInput, DBAPIError), old.reading() as connection:
        rows = _asked(connection, "SELECT kind, subject, slug, entry FROM current") or ()
    for row in rows:
        if row.entry not in held:
            yield f"{row.kind} {row.slug or row.subject}"

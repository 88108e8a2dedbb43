"""Copies of a record: made by the day, thinned with age, and put back where a record is damaged."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from fencerow.store import dialect, files, log
from fencerow.store.record import BACKUPS, RECORD, Store
from fencerow.tract.entry import Entry
from fencerow.words import BadInput

EVERY_DAY, EVERY_WEEK = timedelta(days=14), timedelta(days=98)
"""How far back a copy of each day is kept, and of each week; of each month, for good."""

LAST, GROWN = 15, 200
"""So many copies have to bear out a day; so many new entries are copied on a day that has a copy.

Both are for a clock that is wrong: one that jumps would age every copy at once, and one that begins
on the same day at each start would find its copy made already.
"""

BESIDE = ("", "-wal", "-shm")
"""What belongs to a database file, by the end of its name."""


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
    aside: Path
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
    engine = dialect.engine_of(file)
    try:
        with dialect.reading(engine) as connection:
            why = dialect.damage(connection, thorough=True)
            why = why or next((str(m) for m in log.spoiled(connection)), None)
            return Copy(file, log.size(connection)[0], why)
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
    if (folder / RECORD).is_file():
        _refuse_unless_damaged(folder)
    chosen = _chosen(folder, copy)
    aside = folder / BACKUPS / f"set-aside-{secrets.token_hex(4)}"
    with files.refused(folder), files.part_of(folder) as part:
        dialect.copy_record(chosen.file, part)
        files.sync_file(part)
        aside.mkdir()
        for end in BESIDE:
            if (held := folder / f"{RECORD}{end}").exists():
                held.rename(aside / held.name)
        part.replace(folder / RECORD)
        files.sync_folder(folder)
    store = Store.open(folder)
    readable, missing = _salvage(aside / RECORD)
    earlier = (_salvage(each / RECORD)[0] for each in aside.parent.glob("set-aside-*"))
    receipt = store.take(chain(readable, *earlier))
    ids = {entry.id for entry in store.entries()}
    named = tuple(_named(aside / RECORD, ids))
    lost = None if missing is None else max(0, missing - _already(store, readable))
    return Restored(chosen, aside, len(receipt.stored), Lost(lost, named))


def _refuse_unless_damaged(folder: Path) -> None:
    """Refuse a record that is sound, and one that is only shut or held: it may be sound as well."""
    try:
        with dialect.reading(dialect.engine_of(folder / RECORD)) as connection:
            log.size(connection)
    except BadInput as error:
        if error.message.id in ("store-read-only", "store-busy"):
            raise
    except DBAPIError:  # a database of something else
        pass
    if examined(folder / RECORD).why is None:
        raise BadInput("store-sound", folder=folder)


def _outgrown(store: Store, copy: Path) -> bool:
    """Whether the record holds much that the day's copy does not."""
    return store.size()[0] - _size(copy) >= GROWN


def _size(copy: Path) -> int:
    """How many entries a copy holds; none where it cannot be read."""
    try:
        with dialect.reading(dialect.engine_of(copy)) as connection:
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


def _salvage(record: Path) -> tuple[list[Entry], int | None]:
    """The entries of a damaged record that are as they were written, and how many are not."""
    if not record.is_file():
        return [], None
    good: list[Entry] = []
    bad = 0
    with closing(_raw(record)) as connection:
        last = _last(connection)
        if last is None:
            return [], None
        for position in range(1, last + 1):
            entry = _entry(connection, position)
            if entry is None:
                bad += 1
            else:
                good.append(entry)
    return good, bad


def _raw(record: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(record, timeout=dialect.WAIT_S)
    connection.row_factory = sqlite3.Row
    return connection


def _last(connection: sqlite3.Connection) -> int | None:
    """The last position of the log, from the log or from what was folded of it."""
    found = []
    for query in ("SELECT max(position) FROM entry", "SELECT max(entries) FROM projection_state"):
        try:
            found.append(connection.execute(query).fetchone()[0])
        except sqlite3.Error:
            continue
    return max((n for n in found if isinstance(n, int)), default=None)


def _entry(connection: sqlite3.Connection, position: int) -> Entry | None:
    try:
        row = connection.execute("SELECT * FROM entry WHERE position = ?", (position,)).fetchone()
        return None if row is None else log.entry_of(dict(row))
    except (sqlite3.Error, BadInput, KeyError, OverflowError):
        return None


def _already(store: Store, readable: list[Entry]) -> int:
    """How many entries the copy held that could not be read in the damaged record."""
    return len({e.id for e in store.entries()} - {e.id for e in readable})


def _named(record: Path, held: set[str]) -> Iterator[str]:
    """The things of the damaged record whose last word is gone, from what was folded of them."""
    if not record.is_file():
        return
    with closing(_raw(record)) as connection:
        try:
            rows = connection.execute("SELECT kind, subject, slug, entry FROM current").fetchall()
        except sqlite3.Error:
            return
        for kind, subject, slug, entry in rows:
            if entry not in held:
                yield f"{kind} {slug or subject}"

"""The log: read it, add to it, and take in what another copy of it holds."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Table, func, insert, or_, select
from sqlalchemy.engine import RowMapping

from fencerow.store import tables as t
from fencerow.tract.entry import Entry, canonical
from fencerow.tract.fold import live_heads
from fencerow.words import BadInput, Message

_PART = 500
Row = RowMapping | dict[str, Any]
"""A row of the log, by the names of its columns."""
_SHORT, MOST = ("id", "kind", "subject"), 500
"""What is looked up, and how long it may be: no database keeps an index of longer words."""
_TEXTS = ("id", "kind", "subject", "author", "device", "batch", "visibility")


@dataclass(frozen=True)
class Receipt:
    """What became of entries from another copy, by id. All of them are now kept here."""

    stored: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    clashed: tuple[str, ...] = ()


def size(connection: Connection) -> tuple[int, int]:
    """How many entries and clashes there are; as both only grow, this names a state of the log."""
    return _count(connection, t.entry), _count(connection, t.clash)


def read(connection: Connection, where: ColumnElement[bool] | None = None) -> list[Entry]:
    """The entries in the order in which they came, without their clashes.

    Raises:
        BadInput: an entry is not as it was written.
    """
    query = select(t.entry).order_by(t.entry.c.position)
    rows = connection.execute(query if where is None else query.where(where)).mappings()
    return [entry_of(row) for row in rows]


class Mark(NamedTuple):
    """How far a log has been read: the last entry, the last clash, and the digest of the entry."""

    entry: int = 0
    clash: int = 0
    digest: str = ""


def mark(connection: Connection) -> Mark:
    """How far the log reaches now."""
    last = select(t.entry.c.position, t.entry.c.digest).order_by(t.entry.c.position.desc()).limit(1)
    entry = connection.execute(last).first()
    clash = _last(connection, t.clash)
    return Mark(entry.position if entry else 0, clash, entry.digest if entry else "")


def follows(connection: Connection, seen: Mark) -> bool:
    """Whether the log still holds what it held; not so where an older copy was put in its place."""
    query = select(t.entry.c.digest).where(t.entry.c.position == seen.entry)
    same = connection.execute(query).scalar_one_or_none() == seen.digest
    return same and mark(connection).clash >= seen.clash


def since(connection: Connection, seen: Mark) -> list[Entry]:
    """What came after a mark: entries, then clashes.

    Raises:
        BadInput: an entry is not as it was written.
    """
    clashes = select(t.clash).where(t.clash.c.position > seen.clash).order_by(t.clash.c.position)
    return [
        *read(connection, t.entry.c.position > seen.entry),
        *(variant_of(row) for row in connection.execute(clashes).mappings()),
    ]


def newest(connection: Connection, limit: int, subject: str | None) -> list[Entry]:
    """The last entries to come, newest first."""
    query = select(t.entry).order_by(t.entry.c.position.desc()).limit(limit)
    if subject is not None:
        query = query.where(t.entry.c.subject == subject)
    return [entry_of(row) for row in connection.execute(query).mappings()]


def variants(connection: Connection) -> list[Entry]:
    """The entries that carry the id of another, in the order in which they came."""
    rows = connection.execute(select(t.clash).order_by(t.clash.c.position)).mappings()
    return [variant_of(row) for row in rows]


def related(connection: Connection, subjects: Iterable[str]) -> list[Entry]:
    """All that decides which entries stand on these subjects: theirs, each undo, each clash."""
    clashing = t.entry.c.id.in_(select(t.clash.c.id))
    found = read(connection, or_(t.entry.c.kind == "undo", clashing)) + variants(connection)
    for part in _parts(sorted(set(subjects))):
        found += read(connection, t.entry.c.subject.in_(part))
    return found


def heads(entries: Iterable[Entry]) -> dict[str, tuple[str, ...]]:
    """Subject -> the ids of the entries that a new word on it replaces, as the fold sees it."""
    return {s: tuple(e.id for e in h) for s, h in live_heads(entries).items()}


def append(connection: Connection, entries: Sequence[Entry]) -> None:
    """Add entries to the log, in their order."""
    _add(connection, t.entry, [_row(e) for e in entries])


def take(connection: Connection, entries: Iterable[Entry]) -> Receipt:
    """Add what is not yet here; the same id with other content goes beside it, never over it."""
    given = [(e, e.digest()) for e in entries]
    held = _digests(connection, {e.id for e, _ in given})
    beside = set(connection.scalars(select(t.clash.c.digest)))
    stored: list[Entry] = []
    known: list[str] = []
    clashed: list[Entry] = []
    for entry, digest in given:
        first = held.setdefault(entry.id, "")
        if not first:
            held[entry.id] = digest
            stored.append(entry)
        elif digest == first or digest in beside:
            known.append(entry.id)
        else:
            beside.add(digest)
            clashed.append(entry)
    append(connection, stored)
    _add(connection, t.clash, [_clash_row(e) for e in clashed])
    return Receipt(tuple(e.id for e in stored), tuple(known), tuple(e.id for e in clashed))


def missing(connection: Connection, ids: Iterable[str]) -> list[str]:
    """Which of these ids no entry carries."""
    wanted = set(ids)
    return sorted(wanted - _digests(connection, wanted).keys())


def spoiled(connection: Connection) -> Iterator[Message]:
    """A word on each entry that is not as it was written, and on those that are gone."""
    for table in (t.entry, t.clash):
        gone = _last(connection, table) - _count(connection, table)
        if gone:
            yield Message.of("store-entries-gone", table=table.name, count=gone)
    for table, read_row in ((t.entry, entry_of), (t.clash, variant_of)):
        for row in connection.execute(select(table)).mappings():
            try:
                read_row(row)
            except BadInput as error:
                yield error.message


def sound(entry: Entry) -> None:
    """Hold the envelope of an entry to its form; its body may be of any version.

    Raises:
        BadInput: a field has another type than it should, or cannot be written as JSON.
    """
    has: dict[str, Any] = {name: getattr(entry, name) for name in Entry.__dataclass_fields__}
    wrong = [n for n in _TEXTS if not _storable(has[n])]
    wrong += [n for n in ("id", "subject") if not has[n]]
    wrong += [n for n in _SHORT if isinstance(has[n], str) and len(has[n]) > MOST]
    if type(has["schema"]) is not int or not 1 <= has["schema"] < 2**31:
        wrong.append("schema")
    if not isinstance(has["parents"], tuple) or not all(map(_storable, has["parents"])):
        wrong.append("parents")
    if not isinstance(has["said_at"], datetime):
        wrong.append("said_at")
    if type(has["happened_on"]) not in (date, type(None)):
        wrong.append("happened_on")
    if not wrong and not _comes_back(entry):
        wrong.append("body")
    if wrong:
        raise BadInput("store-entry-wrong", entry=entry.id, what=", ".join(dict.fromkeys(wrong)))


def _add(connection: Connection, table: Table, rows: Sequence[dict[str, Any]]) -> None:
    """Put rows at the next places, without a gap in any database, so that a lost one is seen."""
    if rows:
        first = _last(connection, table) + 1
        placed = [{"position": first + n, **row} for n, row in enumerate(rows)]
        connection.execute(insert(table), placed)


def _last(connection: Connection, table: Table) -> int:
    return connection.execute(select(func.max(table.c.position))).scalar() or 0


def _count(connection: Connection, table: Table) -> int:
    return connection.execute(select(func.count()).select_from(table)).scalar_one()


def _storable(value: object) -> bool:
    if not isinstance(value, str) or "\0" in value:
        return False
    return value.encode("utf-8", "ignore").decode() == value


def _comes_back(entry: Entry) -> bool:
    """Whether it is the same after a journey through JSON, and its body an object there."""
    try:
        again = Entry.from_json(json.loads(canonical(entry.as_json())))
        return isinstance(again.body, dict) and again.digest() == entry.digest()
    except (TypeError, ValueError, RecursionError):
        return False


def entry_of(row: Row) -> Entry:
    """The entry of a row of the log.

    Raises:
        BadInput: it is not as it was written.
    """
    try:
        fields = {n: row[n] for n in Entry.__dataclass_fields__}
        plain = {**fields, "parents": json.loads(row["parents"]), "body": json.loads(row["body"])}
        return _as_written(Entry.from_json(plain), row)
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise BadInput("store-entry-damaged", entry=row["id"]) from None


def variant_of(row: Row) -> Entry:
    """The entry of a row of the clashes.

    Raises:
        BadInput: it is not as it was written.
    """
    try:
        return _as_written(Entry.from_json(json.loads(row["entry"])), row)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise BadInput("store-entry-damaged", entry=row["id"]) from None


def _as_written(entry: Entry, row: Row) -> Entry:
    if entry.digest() != row["digest"]:
        raise ValueError("the content is not what its digest says")
    return entry


def _row(entry: Entry) -> dict[str, Any]:
    plain = entry.as_json()
    texts = {n: canonical(plain[n]) for n in ("parents", "body")}
    return {**plain, **texts, "digest": entry.digest()}


def _clash_row(entry: Entry) -> dict[str, Any]:
    return {"id": entry.id, "digest": entry.digest(), "entry": canonical(entry.as_json())}


def _digests(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for part in _parts(sorted(ids)):
        query = select(t.entry.c.id, t.entry.c.digest).where(t.entry.c.id.in_(part))
        found |= {row.id: row.digest for row in connection.execute(query)}
    return found


def _parts(values: Sequence[str]) -> Iterator[Sequence[str]]:
    # a statement takes a limited number of values
    for start in range(0, len(values), _PART):
        yield values[start : start + _PART]

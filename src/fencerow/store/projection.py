"""Projections: the folded tract kept as tables, good for one state of the log and one fold."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from shapely import to_wkb
from sqlalchemy import Connection, delete, insert, select

from fencerow import __version__
from fencerow.store import log
from fencerow.store import tables as t
from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import canonical
from fencerow.tract.model import FIELD_OF_KIND, Conflict, Kept, Tract, empty_body
from fencerow.tract.read import check, dump
from fencerow.words import Message

FOLD = 1
"""Raise it when the same log folds to another tract, or stands in these tables otherwise."""

Rows = list[dict[str, Any]]


def fold_version() -> str:
    """The fold that is made today: its number, the package's, and that of each body's form."""
    forms = {kind: version for kind, (version, _) in KINDS.items()}
    return canonical([FOLD, __version__, forms])


def write(connection: Connection, tract: Tract, size: tuple[int, int]) -> None:
    """Put a tract, folded from a log of this size, in place of what is projected now."""
    clear(connection)
    things, conflicts = _thing_rows(tract), _conflict_rows(tract)
    for table, rows in ((t.current, things), (t.place_shape, _shape_rows(tract))):
        if rows:
            connection.execute(insert(table), rows)
    if conflicts:
        connection.execute(insert(t.conflict), conflicts)
    state = {"id": 1, "entries": size[0], "clashes": size[1], "fold": fold_version()}
    connection.execute(insert(t.projection_state), {**state, "digest": _digest(things, conflicts)})


def clear(connection: Connection) -> None:
    """Delete every projection."""
    for table in t.PROJECTIONS:
        connection.execute(delete(table))


def read(connection: Connection) -> Tract | None:
    """The projected tract; None when it is not of this log and this fold, or was tampered with."""
    state = connection.execute(select(t.projection_state)).mappings().first()
    at = (*log.size(connection), fold_version())
    if state is None or (state["entries"], state["clashes"], state["fold"]) != at:
        return None
    things = [dict(r) for r in connection.execute(select(t.current)).mappings()]
    things.sort(key=lambda r: r["subject"])  # here, for databases differ in how they sort text
    query = select(t.conflict).order_by(t.conflict.c.number)
    conflicts = [dict(r) for r in connection.execute(query).mappings()]
    return _tract(things, conflicts) if _digest(things, conflicts) == state["digest"] else None


def _digest(things: Rows, conflicts: Rows) -> str:
    return hashlib.sha256(canonical([things, conflicts]).encode()).hexdigest()


def _thing_rows(tract: Tract) -> Rows:
    slug_of = {subject: slug for slug, subject in tract.slugs().items()}
    rows = [
        {
            "subject": subject,
            "kind": kind,
            "entry": kept.entry,
            "happened_on": kept.on.isoformat() if kept.on else None,
            "visibility": kept.visibility,
            "slug": slug_of.get(subject) if kind == "place" else None,
            "body": canonical(dump(kind, kept.body)),
        }
        for kind, field in FIELD_OF_KIND.items()
        for subject, kept in _things(tract, field).items()
    ]
    return sorted(rows, key=lambda r: r["subject"])


def _things(tract: Tract, field: str) -> Mapping[str, Kept[Any]]:
    if field != "about":
        things: Mapping[str, Kept[Any]] = getattr(tract, field)
        return things
    return {tract.about.id: tract.about} if tract.about.entry else {}


def _shape_rows(tract: Tract) -> Rows:
    return [
        {
            "subject": subject,
            "kind": dump("place", kept.body)["kind"],
            "wkb": to_wkb(kept.body.shape.geometry()),
        }
        for subject, kept in tract.places.items()
        if kept.body.shape is not None
    ]


def _conflict_rows(tract: Tract) -> Rows:
    return [
        {
            "number": number,
            "subject": c.subject,
            "entries": canonical(c.entries),
            "message": c.message.id,
            "params": canonical(c.message.params),
        }
        for number, c in enumerate(tract.conflicts, start=1)
    ]


def _tract(things: Rows, conflicts: Rows) -> Tract:
    parts: dict[str, dict[str, Kept[Any]]] = {}
    for row in things:
        kept = _kept(row)
        parts.setdefault(FIELD_OF_KIND[row["kind"]], {})[kept.id] = kept
    about = next(iter(parts.pop("about", {}).values()), Kept("tract", "", empty_body()))
    return Tract(about=about, conflicts=tuple(_conflict(r) for r in conflicts), **parts)


def _kept(row: Mapping[str, Any]) -> Kept[Any]:
    body = check(row["kind"], json.loads(row["body"]), row["subject"])
    on = date.fromisoformat(row["happened_on"]) if row["happened_on"] else None
    return Kept(row["subject"], row["entry"], body, on, row["visibility"])


def _conflict(row: Mapping[str, Any]) -> Conflict:
    params = tuple((name, value) for name, value in json.loads(row["params"]))
    return Conflict(
        row["subject"], tuple(json.loads(row["entries"])), Message(row["message"], params)
    )

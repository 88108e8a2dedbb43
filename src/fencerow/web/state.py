"""What is told of a record, as JSON: its places and things, and what may be done with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Set
from typing import Any

from fencerow.manner import manner
from fencerow.plan.begin import Beginning, begin
from fencerow.tract.model import FIELD_OF_KIND, Kept, Tract
from fencerow.tract.read import dump
from fencerow.web import form
from fencerow.web.piece import Piece, to_json
from fencerow.web.record import Record
from fencerow.web.told import Rows
from fencerow.web.twice import twice_json
from fencerow.web.who import Person
from fencerow.words import language

FORM = 5
NOBODY = "\0"
"""A name that nobody can have, and that no word is signed with."""
Shut = Callable[[str], list[str]]
Things = Mapping[str, Kept[Any]]
AllRows = Mapping[str, Rows]
"""Places ('') and the things of each kind."""


def whole_of(record: Record, person: Person) -> dict[str, Piece]:
    """What is told of a record as a whole."""
    tract, about = record.tract, record.tract.about.body
    writer = record.writer(person) if person.account else None
    told = {
        "form": FORM,
        "units": manner().value,
        "language": language().value,
        "tract": {
            "id": record.tract_id, "name": about.name, "story": about.story,
            "state": about.state, "zone": about.zone,
        },
        "log": {"count": record.count, "digest": record.digest},
        "begin": [_begun(b) for b in begin(tract)],
        "conflicts": twice_json(tract, record.log, writer),
    }  # fmt: skip
    return {name: Piece.of(value) for name, value in told.items()}


def rows_of(record: Record, role: str, before: tuple[Record, AllRows] | None) -> AllRows:
    """The places and things of a record, as they are told to whom has a role and said none of them.

    Args:
        role: a role; none for whoever may do everything with everything.
        before: a record that was told, and how; what is still so is lent from it.
    """
    shut = _shut_of(record, Person(NOBODY, role, account=True)) if role else _nothing
    since = None if before is None else record.said_since(before[0])
    found = {}
    for kind, field in FIELD_OF_KIND.items():
        held, name = _held(record.tract, field), "" if kind == "place" else kind
        if before is None or since is None:
            found[name] = Rows({i: _row(kind, k, shut) for i, k in held.items()})
        else:
            was, lent = _held(before[0].tract, field), before[1][name]
            found[name] = _laid_on(lent, kind, held, was, since, shut)
    return found


def _laid_on(lent: Rows, kind: str, held: Things, was: Things, since: Set[str], shut: Shut) -> Rows:
    """Rows with those made anew that are others, or were spoken of since."""
    if held is was and since.isdisjoint(held):
        return lent
    left = {i: row for i, row in lent.items() if i in held}
    anew = [k for i, k in held.items() if was.get(i) is not k or i in since]
    return Rows(left | {k.id: _row(kind, k, shut) for k in anew})


def own_rows(record: Record, person: Person, rows: AllRows) -> AllRows:
    """The rows for somebody who has a role: what they said themselves they may take back."""
    shut, own, found = _shut_of(record, person), record.all.by_author(person.name), {}
    for kind, field in FIELD_OF_KIND.items():
        held, name = _held(record.tract, field), "" if kind == "place" else kind
        theirs = {i: _row(kind, held[i], shut) for i in own if i in held}
        others = {i: row for i, row in theirs.items() if rows[name][i] != row}
        found[name] = Rows(rows[name] | others) if others else rows[name]
    return found


def _shut_of(record: Record, person: Person) -> Shut:
    return record.writer(person).shut_off


def _held(tract: Tract, field: str) -> Things:
    held: Kept[Any] | Things = getattr(tract, field)
    return {held.id: held} if isinstance(held, Kept) else held


def _row(kind: str, kept: Kept[Any], shut: Shut) -> bytes:
    """A place or a thing as it is told, once for all to whom the same of it is shut."""
    closed = shut(kept.id)
    told: bytes | None = kept.told.get(key := f"row {closed}")
    if told is None:
        found = _place(kept) if kind == "place" else _thing(kind, kept)
        told = kept.told[key] = to_json({**found, "shut": closed} if closed else found)
    return told


def _nothing(_: str) -> list[str]:
    """An owner may do everything with everything."""
    return []


def _place(kept: Kept[Any]) -> form.Place:
    body = dump("place", kept.body)
    made: form.Place = {
        "id": kept.id,
        "kind": body["kind"],
        "name": body["name"],
        "shape": body.pop("shape", None),
        "entry": kept.entry,
        "visibility": kept.visibility,
        "body": body,
    }
    return made


def _thing(kind: str, kept: Kept[Any]) -> form.Kept:
    made: form.Kept = {
        "id": kept.id,
        "entry": kept.entry,
        "on": kept.on.isoformat() if kept.on else None,
        "body": dump(kind, kept.body),
    }
    if kept.visibility != "all":
        made["visibility"] = kept.visibility
    return made


def _begun(step: Beginning) -> form.Beginning:
    places, kinds = list(step.places), list(step.kinds)
    return {
        "id": step.id, "title": step.title, "count": step.count, "text": step.text,
        "places": places, "kinds": kinds,
    }  # fmt: skip

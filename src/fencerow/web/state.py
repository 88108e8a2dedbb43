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
from fencerow.web.told import NONE, Listing, Rows
from fencerow.web.twice import twice_json
from fencerow.web.who import Person, sees
from fencerow.words import language

FORM = 5
Shut = Callable[[str], list[str]]
Things = Mapping[str, Kept[Any]]


def listing(record: Record, person: Person, before: tuple[Record, Listing] | None) -> Listing:
    """What is told of a record, as far as a person may see it.

    Args:
        before: a record that they were told of, and how; what is still so is lent from it.
    """
    tract, about = record.tract, record.tract.about.body
    writer = record.writer(person) if person.account else None
    shut = writer.shut_off if writer is not None and person.role != "owner" else _nothing
    whole = {
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
    since = None if before is None else record.said_since(before[0])
    rows = {}
    for kind, field in FIELD_OF_KIND.items():
        held, name = _held(tract, field), "" if kind == "place" else kind
        if before is None or since is None:
            rows[name] = _rows(kind, held, {}, set(), NONE, person, shut)
        else:
            was, lent = _held(before[0].tract, field), before[1].rows[name]
            rows[name] = _rows(kind, held, was, since, lent, person, shut)
    return Listing({name: Piece.of(value) for name, value in whole.items()}, rows)


def _rows(
    kind: str, held: Things, was: Things, since: Set[str], lent: Rows, person: Person, shut: Shut
) -> Rows:
    """The things of a kind; those that are as they were, and were not spoken of since, are lent."""
    if held is was and since.isdisjoint(held):
        return lent
    others = [k for i, k in held.items() if was.get(i) is not k or i in since]
    rows = Rows(lent)
    for gone in [i for i in was if i not in held]:
        rows.pop(gone, None)
    for kept in others:
        if sees(person, kept.visibility):
            rows[kept.id] = _row(kind, kept, shut)
        else:
            rows.pop(kept.id, None)
    return rows


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

"""What was said twice and not the same: the words side by side, field by field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fencerow.manner import Amount
from fencerow.science.ground.measure import area_ac
from fencerow.tract.entry import Entry
from fencerow.tract.fold import live_heads
from fencerow.tract.model import Conflict, Tract
from fencerow.tract.read import dump, read_body
from fencerow.units import unit_of
from fencerow.web import form
from fencerow.web.history import dated, has_unit, is_number, joined, label_of, level_name, names_of
from fencerow.web.writer import Writer
from fencerow.words import BadInput, has_name, name_of, say

Names = Mapping[str, str]


def twice_json(tract: Tract, log: Sequence[Entry], writer: Writer | None) -> list[form.Conflict]:
    """The conflicts of a tract.

    Args:
        log: the entries that the tract was folded from, with those that clash.
        writer: who signed in, and may not write everything; None for who may.
    """
    if not tract.conflicts:
        return []
    names = names_of(log) | {k.id: k.body.name for k in tract.places.values()}
    return [_conflict(c, log, names, writer) for c in tract.conflicts]


def _conflict(
    conflict: Conflict, log: Sequence[Entry], names: Names, writer: Writer | None
) -> form.Conflict:
    found = {e.digest(): e for e in log if e.id in conflict.entries}
    heads = sorted(found.values(), key=lambda e: (e.id, e.digest()))
    clash = len(conflict.entries) == 1 and len(heads) > 1
    parents = list(conflict.entries)
    if clash:  # a word that was said on one of them since is settled with them
        since = [e for e in live_heads(log).get(conflict.subject, []) if e.id not in parents]
        parents += [*sorted(found), *(e.id for e in since)]
        heads += since
    return {
        "subject": conflict.subject,
        "entries": list(conflict.entries),
        "text": str(conflict.message),
        "title": _title(heads, names),
        "clash": clash,
        "parents": parents if len(heads) > 1 else [],
        "heads": [_head(e, writer) for e in heads] if len(heads) > 1 else [],
        "rows": _rows(heads, names) if len(heads) > 1 else [],
    }


def _title(heads: Sequence[Entry], names: Names) -> str:
    entry = next((e for e in heads if e.kind != "remove"), heads[0])
    kind = str(entry.body.get("kind", entry.kind)) if entry.kind == "place" else entry.kind
    called = entry.body.get("name") or names.get(entry.subject)
    places = [entry.body.get("place"), *(entry.body.get("places") or ())]
    about = joined(*(names.get(str(place), "") for place in places))
    return joined(name_of(kind) if has_name(kind) else kind, called or about)


def _head(entry: Entry, writer: Writer | None) -> form.Head:
    return {
        "kind": entry.kind,
        "subject": entry.subject,
        "body": _body(entry),
        "happened_on": entry.happened_on.isoformat() if entry.happened_on else None,
        "visibility": entry.visibility,
        "author": entry.author,
        "device": entry.device,
        "said_at": entry.said_at.isoformat(),
        "removes": entry.kind == "remove",
        "may": writer is None or writer.may(entry),
    }


def _body(entry: Entry) -> dict[str, Any]:
    """The body in today's form; as it stands where it can't be read."""
    try:
        return dict(dump(entry.kind, read_body(entry)))
    except (BadInput, KeyError):
        return dict(entry.body)


def _rows(heads: Sequence[Entry], names: Names) -> list[form.TwiceRow]:
    """Each field that one of them has. What was removed has none, and differs from none."""
    bodies = [{} if e.kind == "remove" else _body(e) for e in heads]
    fields = list(dict.fromkeys(name for body in bodies for name in body))
    rows = [_row(label_of(f), [b.get(f) for b in bodies], heads, f, names) for f in fields]
    days = [e.happened_on.isoformat() if e.happened_on else None for e in heads]
    rows.append(_row(say("twice-on"), days, heads, "", names))
    if len({e.visibility for e in heads}) > 1:
        levels = [level_name(e.visibility) for e in heads]
        rows.append({"label": say("twice-seen-by"), "values": levels, "differs": True})
    return [row for row in rows if any(row["values"])]


def _row(
    label: str, values: Sequence[Any], heads: Sequence[Entry], name: str, names: Names
) -> form.TwiceRow:
    said = [v for v, e in zip(values, heads, strict=True) if e.kind != "remove"]
    return {
        "label": label,
        "values": [_words(name, v, names) for v in values],
        "differs": any(v != said[0] for v in said),
    }


def _words(name: str, value: Any, names: Names) -> str:
    """A value in words, without the name of its field."""
    if value in ("", None, [], {}, ()):
        return ""
    if isinstance(value, Mapping):
        if {"type", "coordinates"} <= value.keys():
            return _outline(value)
        return joined(*(_named(n, v, names) for n, v in value.items()))
    if isinstance(value, list | tuple):
        return "; ".join(_words(name, v, names) for v in value)
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if is_number(value):
        unit = unit_of(name) if has_unit(name) else ""
        return str(Amount(value, unit, printed=True)) if unit else f"{value:g}"
    return names.get(value, dated(str(value)))


def _named(name: str, value: Any, names: Names) -> str:
    words = _words(name, value, names)
    return f"{label_of(name)} {words}" if words else ""


def _outline(shape: Mapping[str, Any]) -> str:
    count = _corners(shape["coordinates"])
    if "Polygon" not in str(shape["type"]):
        return say("twice-line", count=count)
    acres = Amount(round(area_ac(shape), 2), "ac", printed=True)
    return say("twice-outline", count=count, acres=acres)


def _corners(coordinates: Any) -> int:
    """How many corners there are; where a ring closes, its first one is not counted again."""
    if coordinates and is_number(coordinates[0]):
        return 1
    closed = len(coordinates) > 1 and coordinates[0] == coordinates[-1]
    return sum(map(_corners, coordinates)) - closed

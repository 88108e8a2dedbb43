"""History: what has been said about a place, entry by entry, in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.manner import Amount
from fencerow.tract.entry import Entry
from fencerow.tract.fold import live
from fencerow.tract.veil import ALL, LEVELS
from fencerow.units import unit_of
from fencerow.web import form
from fencerow.words import compact_day, day_text, has_name, name_of, say

Body = Mapping[str, Any]
_EACH_YEAR = re.compile(r"\d\d-\d\d")
LINKS = ("place", "places", "kind", "shape", "photo", "task", "entries")
"""Fields of a body that lead elsewhere, and say nothing in words."""
FIRST = {name: i for i, name in enumerate(("name", "blend", "form", "terms", "text"))}
"""Fields that are said first, in this order, and without their own names."""


def history(
    entries: Sequence[Entry], place: str, zone: str, tasks: Mapping[str, str]
) -> list[form.HistoryRow]:
    """All entries about a place, by the day on which they happened, then as they came.

    Args:
        entries: the log as it came.
        place: the id of the place.
        zone: the tract's time zone, for the day of what names none.
        tasks: what the tasks of the year are called, by id.
    """
    standing, names = live(entries), names_of(entries)
    rows: list[form.HistoryRow] = [
        {
            "on": _day(entry, zone).isoformat(),
            "said_at": entry.said_at.isoformat(),
            "author": entry.author,
            "kind": entry.kind,
            "what": _kind(entry),
            "text": joined(_text(entry, before, {**names, **tasks}), _seen_by(entry, before)),
            "counts": "count" in (entry.kind.split("-")[-1], entry.body.get("about")),
            "taken_back": entry.id not in standing,
        }
        for entry, before in _about(entries, place)
    ]
    return sorted(rows, key=lambda row: str(row["on"]))


def _about(entries: Iterable[Entry], place: str) -> Iterator[tuple[Entry, Entry | None]]:
    """The entries about a place, each with the one before it on the same thing."""
    last: dict[str, Entry] = {}
    told = set[str]()
    for entry in entries:
        before = last.get(entry.subject)
        if entry.kind == "undo":
            ours = not told.isdisjoint(entry.body.get("entries", ()))
        else:
            # a thing that was moved to another place belongs to the history of both
            ours = _names_place(entry, place, last) or (before is not None and before.id in told)
        if ours:
            told.add(entry.id)
            yield entry, before
        last[entry.subject] = entry


def _names_place(entry: Entry, place: str, last: Mapping[str, Entry]) -> bool:
    body = entry.body
    if place in (entry.subject, body.get("place")) or place in (body.get("places") or ()):
        return True
    # a task's id holds what it is about: a place, or a planting on it
    for part in str(body.get("task", "")).split("."):
        if part == place or (part in last and last[part].body.get("place") == place):
            return True
    return False


def _day(entry: Entry, zone: str) -> date:
    return entry.happened_on or entry.said_at.astimezone(ZoneInfo(zone)).date()


def _kind(entry: Entry) -> str:
    """What an entry is; a kind of place is a word of the trade as it stands."""
    if entry.kind != "place":
        return name_of(entry.kind)
    kind = str(entry.body.get("kind", entry.kind))
    return name_of(kind) if has_name(kind) else kind


def names_of(entries: Iterable[Entry]) -> dict[str, str]:
    """What things are called, by their ids."""
    return {e.subject: str(e.body["name"]) for e in entries if e.body.get("name")}


def _text(entry: Entry, before: Entry | None, names: Mapping[str, str]) -> str:
    body = entry.body
    match entry.kind:
        case "place":
            return _place(body, before.body if before is not None else None)
        case "note":
            amount = (
                f"{body['amount']:g} {body.get('unit', '')}"
                if is_number(body.get("amount"))
                else ""
            )
            return joined(body.get("about", ""), amount.strip(), body.get("text", ""))
        case "done":
            task = str(body["task"])
            called = names.get(task, name_of(task.split(".")[0]))
            return joined(called, body.get("part", "done"), body.get("note", ""))
        case "soil-test":
            return say("history-test", day=dated(str(body["sampled_on"])), ph=body["ph"])
        case "remove":
            return joined(say("history-removed"), body.get("why", ""))
        case "undo":
            return say("history-undo")
        case _:
            fields = sorted(body.items(), key=lambda f: FIRST.get(f[0], len(FIRST)))
            return joined(*(_field(n, v, names) for n, v in fields if n not in LINKS))


def _seen_by(entry: Entry, before: Entry | None) -> str:
    """Who sees it, where that was changed, or is not everybody from the first word."""
    was = ALL if before is None else before.visibility
    if entry.visibility == was or entry.kind in ("remove", "undo"):
        return ""
    return say("history-seen-by", who=level_name(entry.visibility))


def level_name(level: str) -> str:
    """Who sees what is marked so; a word that is no level of ours hides from all but the owner."""
    return name_of(f"level {level if level in LEVELS else 'owner'}")


def _place(body: Body, before: Body | None) -> str:
    if before is None:
        drawn = "history-drawn" if body.get("shape") else "history-not-drawn"
        return joined(body.get("name", ""), say(drawn))
    changed = [n for n in {**before, **body} if (body.get(n) or "") != (before.get(n) or "")]
    others = ", ".join(label_of(n) for n in changed if n != "shape")
    return joined(
        say("history-redrawn") if "shape" in changed else "",
        say("history-changed", fields=others) if others else "",
    )


def _field(name: str, value: Any, names: Mapping[str, str]) -> str:
    """A field in words: 'pH 5.8', 'sampled on Apr 3, 2026', 'height 15 ft'."""
    if value in ("", None) or isinstance(value, Mapping):
        return ""
    if isinstance(value, list | tuple):
        words = [names.get(v, v) for v in value if isinstance(v, str)]
        return f"{label_of(name)} {', '.join(words)}" if words else ""
    if isinstance(value, bool):
        return f"{label_of(name)} {say('yes') if value else say('no')}"
    if is_number(value):
        said = Amount(value, unit_of(name), printed=True) if has_unit(name) else f"{value:g}"
        return f"{label_of(name)} {said}"
    if name in FIRST or name == "note":
        return names.get(value, str(value))
    return f"{label_of(name)} {dated(str(value))}"


def label_of(name: str) -> str:
    """What a field is called; its unit is said beside the value."""
    whole = has_name(name) or not has_unit(name)
    return name_of(name if whole else name.removesuffix(f"_{unit_of(name)}"))


def has_unit(name: str) -> bool:
    """Whether a field's name ends in the unit that it is in."""
    return bool(unit_of(name)) and name.endswith(f"_{unit_of(name)}")


def dated(text: str) -> str:
    """A day as it is said, one of every year too; anything else as it stands."""
    try:
        if _EACH_YEAR.fullmatch(text):
            return compact_day(date.fromisoformat(f"2000-{text}"))
        return day_text(date.fromisoformat(text))
    except ValueError:
        return text


def is_number(value: object) -> bool:
    """Whether a value of a body is a number; yes and no are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def joined(*parts: object) -> str:
    """What there is of the parts, with commas between."""
    return ", ".join(str(p) for p in parts if p)

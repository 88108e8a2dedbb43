"""Typed entry: FIELD=VALUE words become the body of an entry, held to the form of its kind."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, fields, replace
from datetime import date, datetime
from typing import Any

from fencerow.exchange.soil_tests import template
from fencerow.store import Store
from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.model import FIELD_OF_KIND, Kept, Tract, slug_of
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import check, dump
from fencerow.tract.veil import LEVELS
from fencerow.words import BadInput, say

ONE_OF_A_KIND = {"about": "tract", "deer": "deer", "hours": "hours"}


def enter(
    store: Store,
    what: str,
    words: Sequence[str],
    on: date,
    about: str,
    author: str,
    now: Callable[[], datetime],
    seen_by: str = "",
) -> list[str]:
    """Write one entry; says what was written.

    Raises:
        BadInput: a word is no FIELD=VALUE, or a field is wrong for the kind.
    """
    if what == "undo":
        ids = [i for word in words for i in word.split(",")]
        entry = store.undo(ids, author=author, now=now)
        return [say("log-undone", entries=", ".join(ids), entry=entry.id)]
    if seen_by not in ("", *LEVELS):
        raise BadInput("log-seen-by", level=seen_by, want=", ".join(LEVELS))
    draft = as_draft(store.tract(), what, read_fields(words), on, about)
    draft = replace(draft, visibility=seen_by or None)
    (entry,) = store.write([draft], author=author, now=now)
    return [say("log-written", kind=entry.kind, subject=entry.subject, entry=entry.id)]


def as_draft(tract: Tract, what: str, given: dict[str, Any], on: date, about: str = "") -> Draft:
    """The draft that some fields come to: a note for a sentence, else a thing, changed or new."""
    if what not in KINDS:
        given = {"text": what, "about": about or "other", **given}
        what = "note"
    subject = str(given.pop("id", "") or ONE_OF_A_KIND.get(what) or new_id())
    things: Any = getattr(tract, FIELD_OF_KIND.get(what, ""), {})
    old = things if what == "about" else things.get(subject)
    before = dump(what, old.body) if isinstance(old, Kept) and old.entry else {}
    body = with_ids(tract, {**before, **given})
    typed = check(what, body, say("log-where", kind=what))
    return Draft(what, subject, dump(what, typed), on)


def read_fields(words: Sequence[str]) -> dict[str, Any]:
    """FIELD=VALUE words; a list or an object is JSON, all else is text that its field reads.

    Raises:
        BadInput: a word has no '='.
    """
    found: dict[str, Any] = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals or not name:
            raise BadInput("log-no-field", word=word)
        try:
            found[name.strip()] = json.loads(text) if text[:1] in ("[", "{") else text
        except (ValueError, RecursionError):
            raise BadInput("log-not-json", word=word) from None
    return found


NAMES_A = {
    "blend": "blends", "label": "labels", "material": "materials", "equipment": "equipment",
    "by": "people", "person": "people",
}  # fmt: skip
"""Fields that name another thing, and where the tract keeps such things."""


def with_ids(tract: Tract, body: Mapping[str, Any]) -> dict[str, Any]:
    """A body with the names of places and things, as a person types them, turned into ids.

    Raises:
        BadInput: no place or no such thing has the name.
    """
    found = dict(body)
    for name in ("place", "route", "camera"):
        if isinstance(found.get(name), str) and found[name]:
            found[name] = _id(found[name], tract.slugs(), tract.places, "place")
    if isinstance(found.get("lot"), str):
        lots = {slug_of(k.body.name): k.id for k in tract.seed_lots.values()}
        found["lot"] = _id(found["lot"], lots, tract.seed_lots, "seed-lot")
    for name in ("places", "routes"):
        if isinstance(found.get(name), list | tuple):
            found[name] = [_id(p, tract.slugs(), tract.places, "place") for p in found[name]]
    if isinstance(found.get("people"), list | tuple):
        slugs = {slug_of(k.body.name): k.id for k in tract.people.values()}
        found["people"] = [_id(p, slugs, tract.people, "person") for p in found["people"]]
    if isinstance(found.get("planting"), str) and found["planting"]:
        found["planting"] = _planting(tract, found["planting"])
    if isinstance(found.get("changes"), list | tuple):
        found["changes"] = [with_ids(tract, change) for change in found["changes"]]
    for name, part in NAMES_A.items():
        if isinstance(found.get(name), str) and found[name]:
            things: Mapping[str, Kept[Any]] = getattr(tract, part)
            slugs = {slug_of(k.body.name): k.id for k in things.values()}
            kind = "person" if part == "people" else name
            found[name] = _id(found[name], slugs, things, kind)
    return found


def _id(name: Any, slugs: Mapping[str, str], known: Mapping[str, object], kind: str) -> str:
    if name in known:
        return str(name)
    found = slugs.get(slug_of(str(name)))
    if found is None:
        raise BadInput(
            "log-no-such", kind=kind, name=name, known=", ".join(sorted(slugs)) or "none"
        )
    return found


def _planting(tract: Tract, typed: str) -> str:
    """A planting by its id, or by its place where that has one planting alone.

    Raises:
        BadInput: there is none, or there are several.
    """
    if typed in tract.plantings:
        return typed
    found = tract.plantings_of(tract.slugs().get(slug_of(typed), ""))
    if len(found) != 1:
        known = ", ".join(f"{p.id} ({p.body.sow_on})" for p in found)
        raise BadInput("log-no-such", kind="planting", name=typed, known=known or "none")
    return found[0].id


def template_text(what: str) -> str:
    """The form of something that can be entered.

    Raises:
        BadInput: there is no such kind.
    """
    if what == "soil-tests":
        return template()
    if what == "kinds":
        return "".join(f"{kind}\n" for kind in KINDS)
    if what in PLACE_KINDS:
        return _form("place", PLACE_KINDS[what])
    if what == "place":
        return say("template-place", kinds=", ".join(PLACE_KINDS)) + "\n"
    if what not in KINDS:
        raise BadInput("template-unknown", what=what, kinds=", ".join(["soil-tests", *KINDS]))
    return _form(what, KINDS[what][1]._type)


def _form(kind: str, cls: Any) -> str:
    lines = [say("template-head", kind=kind)]
    for field in fields(cls):
        default = field.default
        needed = default is MISSING
        if (
            isinstance(default, str | int | float)
            and not isinstance(default, bool)
            and default != ""
        ):
            note = say("template-default", value=default)
        else:
            note = say("template-needed") if needed else say("template-optional")
        lines.append(f"  {field.name:<20} {note:<22} {_type_text(field.type)}")
    return "\n".join(lines) + "\n"


def _type_text(annotation: Any) -> str:
    text = annotation if isinstance(annotation, str) else getattr(annotation, "__name__", "")
    return " ".join(text.replace(" | None", "").replace("Annotated", "").split())

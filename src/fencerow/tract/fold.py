"""Fold a log into a Tract: pure, and the same whatever order the entries come in.

The heads of a subject are the entries that no other live entry names as parent. One head is the
state; two are a conflict that a person settles, shown with both, never decided by a clock.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from fencerow.tract.entry import Entry
from fencerow.tract.model import FIELD_OF_KIND, Conflict, Kept, Tract, empty_body
from fencerow.tract.read import read_body
from fencerow.words import BadInput, Message


def fold(entries: Iterable[Entry]) -> Tract:
    """The tract that a log comes to, with its conflicts; it never raises on what a log holds."""
    known, conflicts = _by_id(entries)
    live = _live(known)
    parts: dict[str, dict[str, Kept[Any]]] = defaultdict(dict)
    for subject, heads in sorted(heads_of(live.values()).items()):
        kept, found = _settle(subject, heads)
        conflicts += found
        if kept is not None:
            kind, thing = kept
            parts[FIELD_OF_KIND[kind]][subject] = thing
    about = next(iter(parts.pop("about", {}).values()), Kept("tract", "", empty_body()))
    return Tract(about=about, conflicts=tuple(conflicts), **parts)


def heads_of(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Subject -> the entries that no other replaces, by id; an undo has no subject of note."""
    groups: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        if entry.kind != "undo":
            groups[entry.subject].append(entry)
    heads = {}
    for subject, group in groups.items():
        replaced = {p for e in group for p in e.parents if p != e.id}
        # a ring of parents (never made by us) would leave no head: then all stand
        left = [e for e in group if e.id not in replaced] or group
        heads[subject] = sorted(left, key=lambda e: e.id)
    return heads


def live(entries: Iterable[Entry]) -> dict[str, Entry]:
    """The entries that have not been taken back, by id."""
    known, _ = _by_id(entries)
    return _live(known)


def live_heads(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Subject -> its heads, with what has been taken back left out."""
    return heads_of(live(entries).values())


def _by_id(entries: Iterable[Entry]) -> tuple[dict[str, Entry], list[Conflict]]:
    known: dict[str, Entry] = {}
    subjects: dict[str, set[str]] = defaultdict(set)
    for entry in entries:
        other = known.setdefault(entry.id, entry)
        if other is not entry and other.digest() != entry.digest():
            subjects[entry.id] |= {entry.subject, other.subject}
            known[entry.id] = min(entry, other, key=Entry.digest)
    clashes = [
        Conflict(min(subjects[i]), (i,), Message.of("conflict-clash", entry=i, kind=known[i].kind))
        for i in sorted(subjects)
    ]
    return known, clashes


def _live(known: Mapping[str, Entry]) -> dict[str, Entry]:
    """What has not been taken back; an undo can itself be taken back."""
    undone_by: dict[str, list[str]] = defaultdict(list)
    for entry in (known[i] for i in sorted(known)):
        if entry.kind == "undo":
            for target in _targets(entry):
                undone_by[target].append(entry.id)
    state: dict[str, bool] = {}

    def is_live(entry_id: str) -> bool:
        # depth first without recursion: a chain of undos may be long, a ring of them is ignored
        stack = [entry_id]
        while stack:
            current = stack[-1]
            waits = [u for u in undone_by[current] if u not in state and u not in stack]
            if waits:
                stack += waits[:1]
                continue
            state[current] = not any(state.get(u, False) for u in undone_by[current])
            stack.pop()
        return state[entry_id]

    return {i: known[i] for i in sorted(known) if is_live(i)}


def _targets(entry: Entry) -> list[str]:
    named = entry.body.get("entries", ())
    return [t for t in named if isinstance(t, str)] if isinstance(named, list | tuple) else []


def _settle(
    subject: str, heads: list[Entry]
) -> tuple[tuple[str, Kept[Any]] | None, list[Conflict]]:
    conflicts: list[Conflict] = []
    if len(heads) > 1:
        ids = tuple(e.id for e in heads)
        message = Message.of(
            "conflict-heads", subject=subject, kind=heads[0].kind, count=len(heads)
        )
        conflicts.append(Conflict(subject, ids, message))
    for head in heads:
        if head.kind == "remove":
            continue
        try:
            body = read_body(head)
        except BadInput as error:
            conflicts.append(Conflict(subject, (head.id,), error.message))
            continue
        kept = Kept(subject, head.id, body, head.happened_on, head.visibility)
        return (head.kind, kept), conflicts
    return None, conflicts

"""Fold a log into a Tract: pure, and the same whatever order the entries come in.

The heads of a subject are the entries that no other live entry names as parent. One head is the
state; two are a conflict that a person settles, shown with both, never decided by a clock. A word
that names all the heads as its parents settles them. Of a clash, where one id carries two contents,
the heads are told apart by their digests: a word that names the id and both digests settles it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from fencerow.tract.entry import Entry
from fencerow.tract.model import FIELD_OF_KIND, Conflict, Kept, Part, Tract, empty_body
from fencerow.tract.read import read_body
from fencerow.words import BadInput, Message


def fold(entries: Iterable[Entry]) -> Tract:
    """The tract that a log comes to, with its conflicts; it never raises on what a log holds."""
    return Folded.of(entries).tract


@dataclass(frozen=True)
class Folded:
    """A log, the tract that it comes to, and what it takes to fold more entries onto it."""

    entries: tuple[Entry, ...]
    known: Mapping[str, Entry]
    taken_back: frozenset[str]
    groups: Mapping[str, tuple[Entry, ...]]
    settled: Mapping[str, Settled]
    clashes: tuple[Conflict, ...]
    variants: Mapping[str, frozenset[str]]
    tract: Tract

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Folded:
        """A whole log, folded."""
        log = tuple(entries)
        known, variants = _by_id(log)
        taken_back = frozenset(t for e in known.values() if e.kind == "undo" for t in _targets(e))
        standing = _live(known)
        clashes = _clashes(log, known, variants, standing)
        groups = {s: tuple(g) for s, g in _groups(standing.values()).items()}
        settled = {s: _settle(s, heads_of(group)) for s, group in sorted(groups.items())}
        nothing = Tract(Kept("tract", "", empty_body()))
        tract = _tract(nothing, settled, clashes, set(FIELD_OF_KIND.values()))
        return cls(log, known, taken_back, groups, settled, clashes, variants, tract)

    def extend(self, more: Iterable[Entry]) -> Folded:
        """The same as the whole log folded anew; only the subjects spoken of are settled again.

        What no new entry speaks of is handed on as it is, part by part. An undo, or an entry that
        one speaks of or whose id is known, may turn anything: then all is folded anew.
        """
        said = tuple(more)
        new = {e.id: e for e in said}
        if len(new) < len(said) or any(self._turned_by(e) for e in said):
            return Folded.of((*self.entries, *said))
        groups, settled = dict(self.groups), dict(self.settled)
        touched = set[str]()
        for subject, group in _groups(said).items():
            groups[subject] = (*groups.get(subject, ()), *group)
            before, now = settled.get(subject), _settle(subject, heads_of(groups[subject]))
            settled[subject] = now
            touched |= {FIELD_OF_KIND[s.kind] for s in (before, now) if s and s.kind}
        settled = {subject: settled[subject] for subject in sorted(settled)}
        tract = _tract(self.tract, settled, self.clashes, touched)
        log, known = (*self.entries, *said), {**self.known, **new}
        return Folded(
            log, known, self.taken_back, groups, settled, self.clashes, self.variants, tract
        )

    def _turned_by(self, entry: Entry) -> bool:
        known = entry.id in self.known or entry.id in self.taken_back
        return known or entry.kind == "undo" or any(p in self.variants for p in entry.parents)


@dataclass(frozen=True)
class Settled:
    """What stands of one subject, of which kind ('' for nothing), and its conflicts."""

    kind: str
    kept: Kept[Any] | None
    conflicts: tuple[Conflict, ...]


def _tract(
    before: Tract, settled: Mapping[str, Settled], clashes: Iterable[Conflict], touched: set[str]
) -> Tract:
    """The tract with the parts that were touched made anew, out of subjects in their order."""
    parts: dict[str, Any] = {field: Part() for field in touched}
    conflicts = list(clashes)
    for subject, found in settled.items():
        conflicts += found.conflicts
        if found.kept is not None and (field := FIELD_OF_KIND[found.kind]) in touched:
            parts[field][subject] = found.kept
    if "about" in parts:
        nothing = Kept("tract", "", empty_body())
        parts["about"] = next(iter(parts["about"].values()), nothing)
    return replace(before, conflicts=tuple(conflicts), **parts)


def _groups(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Subject -> what was said of it; an undo has no subject of note."""
    groups: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        if entry.kind != "undo":
            groups[entry.subject].append(entry)
    return groups


def heads_of(group: Sequence[Entry]) -> list[Entry]:
    """The entries of a subject that no other replaces, by id."""
    replaced = {p for e in group for p in e.parents if p != e.id}
    # a ring of parents (never made by us) would leave no head: then all stand
    left = [e for e in group if e.id not in replaced] or group
    return sorted(left, key=lambda e: e.id)


def live(entries: Iterable[Entry]) -> dict[str, Entry]:
    """The entries that have not been taken back, by id."""
    known, _ = _by_id(entries)
    return _live(known)


def live_heads(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Subject -> its heads, with what has been taken back left out."""
    return {s: heads_of(group) for s, group in live_groups(entries).items()}


def live_groups(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Subject -> what was said of it, with what has been taken back left out."""
    return _groups(live(entries).values())


def _by_id(
    entries: Iterable[Entry],
) -> tuple[dict[str, Entry], dict[str, frozenset[str]]]:
    """The entries by id, of a clash the first by content; and by that id the digests of all."""
    known: dict[str, Entry] = {}
    variants: dict[str, frozenset[str]] = {}
    for entry in entries:
        other = known.setdefault(entry.id, entry)
        if other is not entry and other.digest() != entry.digest():
            both = {entry.digest(), other.digest()}
            variants[entry.id] = variants.get(entry.id, frozenset()) | both
            known[entry.id] = min(entry, other, key=Entry.digest)
    return known, variants


def _clashes(
    log: Iterable[Entry],
    known: Mapping[str, Entry],
    variants: Mapping[str, frozenset[str]],
    standing: Mapping[str, Entry],
) -> tuple[Conflict, ...]:
    """The clashes that no standing word has settled."""
    if not variants:
        return ()
    named = {parent for e in standing.values() for parent in e.parents}
    subjects: dict[str, set[str]] = defaultdict(set)
    for entry in log:
        if entry.id in variants and not variants[entry.id] <= named:
            subjects[entry.id].add(entry.subject)
    return tuple(
        Conflict(min(subjects[i]), (i,), Message.of("conflict-clash", entry=i, kind=known[i].kind))
        for i in sorted(subjects)
    )


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

    return {i: known[i] for i in sorted(known) if i not in undone_by or is_live(i)}


def _targets(entry: Entry) -> list[str]:
    named = entry.body.get("entries", ())
    return [t for t in named if isinstance(t, str)] if isinstance(named, list | tuple) else []


def _settle(subject: str, heads: list[Entry]) -> Settled:
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
        return Settled(head.kind, kept, tuple(conflicts))
    return Settled("", None, tuple(conflicts))

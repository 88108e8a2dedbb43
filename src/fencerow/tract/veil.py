"""Veil: a log without what a person may not see, and without all that speaks of it.

The log is filtered before it is folded, so that nothing that is worked out of it, whichever way it
leaves, can hold what was left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace

from fencerow.tract.entry import Entry, texts_of
from fencerow.tract.fold import heads_of, live_groups

ALL, HUNTERS = "all", "hunters"
LEVELS = (ALL, HUNTERS, "crew", "manager", "owner")
"""What `visibility` says: who sees a thing, beside the owner, who sees all."""


def veiled(entries: Sequence[Entry], levels: Set[str]) -> list[Entry]:
    """The entries that somebody may see, in their order.

    A thing is hidden as a whole, its older words too, where one of its latest words is marked for
    others or speaks of a hidden thing; and so is what was removed while it was hidden. A thing that
    was hidden once and is not now loses only those words. Out of a list of places a hidden one is
    left out, and the rest stays.

    Args:
        entries: the log, with the entries that clash.
        levels: what the person may see, as `visibility` names it; `all` is always seen.
    """
    dark = {e.id for e in entries if e.visibility != ALL and e.visibility not in levels}
    if not dark:
        return list(entries)
    standing, by_subject = live_groups(entries), _by_subject(entries)
    hidden = set[str]()
    while True:
        of = {e.subject for e in entries if e.id in dark}  # of no other is anything dark
        found = {s for s in of if _is_hidden(standing.get(s, ()), by_subject[s], dark)}
        if found <= hidden:
            break
        hidden |= found
        dark |= {e.id for e in entries if e.subject in hidden or _speaks_of(e, hidden)}
    return [_without(e, hidden) for e in entries if e.id not in dark and not _undoes(e, dark)]


def _by_subject(entries: Sequence[Entry]) -> Mapping[str, list[Entry]]:
    found: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        found[entry.subject].append(entry)
    return found


def _is_hidden(standing: Sequence[Entry], said: Sequence[Entry], dark: Set[str]) -> bool:
    """Whether a thing is hidden; to remove it does not bring it to light."""
    heads = heads_of(standing)
    gone = not heads or any(e.kind == "remove" for e in heads)
    # where nothing of a thing stands any more, one dark word hides it
    return any(e.id in dark for e in (said if gone else heads))


def _speaks_of(entry: Entry, hidden: Set[str]) -> bool:
    """Whether an entry says anything of a hidden thing, but as one of a list of several."""
    if hidden.isdisjoint(entry.words):
        return False
    if hidden & set(entry.subject.split(".")):
        return True
    if any(_is_list(v) and set(v) <= hidden for v in entry.body.values() if v):
        return True
    return any(hidden & set(t.split(".")) for t in texts_of(_without(entry, hidden).body))


def _without(entry: Entry, hidden: Set[str]) -> Entry:
    """The entry with hidden things left out of its lists."""
    lists = {n: v for n, v in entry.body.items() if _is_list(v) and hidden & set(v)}
    if not lists:
        return entry
    left = {name: [v for v in value if v not in hidden] for name, value in lists.items()}
    return replace(entry, body={**entry.body, **left})


def _undoes(entry: Entry, dark: Set[str]) -> bool:
    """Whether an entry takes back nothing but what is hidden."""
    named = entry.body.get("entries", ()) if entry.kind == "undo" else ()
    return _is_list(named) and bool(named) and all(e in dark for e in named)


def _is_list(value: object) -> bool:
    return isinstance(value, list | tuple) and all(isinstance(v, str) for v in value)

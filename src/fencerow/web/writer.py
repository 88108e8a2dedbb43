"""Writer: what a person who signed in may write, entry by entry."""

from __future__ import annotations

from collections import ChainMap, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from fencerow.tract.entry import Entry
from fencerow.web.roles import role_of
from fencerow.web.who import Person, sees
from fencerow.words import BadInput, name_of

TURNS = ("remove", "undo")
"""Kinds of entry that turn others, and are allowed by what they turn."""


class Index:
    """A log by id and by what it speaks of; not changed once it is made."""

    def __init__(self, log: tuple[Entry, ...], before: Index | None = None) -> None:
        """Look through a log; only through what is new where it is one from before that grew."""
        self.log = log
        if before is not None and log[: len(before.log)] != before.log:
            before = None
        known = len(before.log) if before else 0
        self._subjects: dict[str, frozenset[str]]
        self.by_id: dict[str, Entry] = dict(before.by_id) if before else {}
        self.said: dict[str, Sequence[Entry]] = dict(before.said) if before else {}
        more: dict[str, list[Entry]] = defaultdict(list)
        for entry in log[known:]:
            self.by_id[entry.id] = entry
            more[entry.subject].append(entry)
        self.said |= {s: [*self.said.get(s, ()), *new] for s, new in more.items()}
        self._subjects = dict(before._subjects) if before else {}
        for author, subjects in _by_author(log[known:]).items():
            self._subjects[author] = self._subjects.get(author, frozenset()) | subjects

    def by_author(self, name: str) -> frozenset[str]:
        """The subjects that somebody said anything of."""
        return self._subjects.get(name, frozenset())


def _by_author(log: Iterable[Entry]) -> Mapping[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for entry in log:
        found[entry.author].add(entry.subject)
    return found


class Writer:
    """A person, the whole log, and what of it they see."""

    def __init__(self, person: Person, log: Index, seen: Index) -> None:
        self.name, self._person, self._role = person.name, person, role_of(person.role)
        self._by_id = ChainMap[str, Entry]({}, log.by_id)
        self._seen = ChainMap[str, Entry]({}, seen.by_id)
        self._log, self._new = log, defaultdict[str, list[Entry]](list)

    def check(self, entry: Entry) -> None:
        """Whether they may write this.

        Raises:
            BadInput: they may not; what is hidden from them is refused in the same words.
        """
        held = self._by_id.get(entry.id)
        if held is not None and held.digest() == entry.digest():
            return  # asked again; nothing is written
        if not (self.may(entry) and (held is None or self._turns(held))):
            raise BadInput("web-may-not-write", name=self.name, kind=name_of(entry.kind))
        self._by_id[entry.id] = self._seen[entry.id] = entry
        self._new[entry.subject].append(entry)

    def shut_off(self, subject: str) -> list[str]:
        """What of change and remove they may not do with a thing, though they write its kind."""
        said = self._said(subject)
        changes = all(self._of_theirs(e) for e in said)
        removes = changes and all(self._turns(e) for e in said if e.kind not in TURNS)
        return [*([] if changes else ["change"]), *([] if removes else ["remove"])]

    def may(self, entry: Entry) -> bool:
        """Whether they may write this, anew, in the place of what is held."""
        if not sees(self._person, entry.visibility):
            return False
        if entry.kind == "undo":
            named = entry.body.get("entries") or ()
            return all(i in self._by_id and self._turns(self._by_id[i]) for i in named)
        said = self._said(entry.subject)
        if not all(self._of_theirs(e) for e in said):
            return False
        if entry.kind == "remove":
            return bool(said) and all(self._turns(e) for e in said if e.kind not in TURNS)
        return entry.kind in self._role.writes

    def _said(self, subject: str) -> list[Entry]:
        return [*self._log.said.get(subject, ()), *self._new[subject]]

    def _turns(self, entry: Entry) -> bool:
        """Whether they may take back or replace what was said so."""
        own = self._role.takes_back or entry.author == self.name
        return own and self._of_theirs(entry)

    def _of_theirs(self, entry: Entry) -> bool:
        """Whether an entry is one that they see, of a kind that they write."""
        return entry.id in self._seen and (entry.kind in self._role.writes or entry.kind in TURNS)

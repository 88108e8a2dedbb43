"""Record: what stands of a tract's log now, as far as it may be seen, whatever plan there is."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.tract.entry import Entry
from fencerow.tract.model import Tract
from fencerow.web.who import Person
from fencerow.web.writer import Index, Writer

Log = tuple[Entry, ...]


@dataclass(frozen=True, eq=False)
class Record:
    """A log and what it comes to."""

    tract_id: str
    tract: Tract
    count: int
    digest: str
    seen: Index
    """The log as it may be seen."""
    all: Index
    """All of the log: by it, what may be written is judged."""

    @property
    def log(self) -> Log:
        """The log as it may be seen."""
        return self.seen.log

    @property
    def whole(self) -> Log:
        """All of the log."""
        return self.all.log

    def writer(self, person: Person) -> Writer:
        """What somebody who sees this much may write."""
        return Writer(person, self.all, self.seen)

    def said_since(self, before: Record) -> frozenset[str] | None:
        """The subjects that were spoken of since; None where more than that may have changed."""
        seen, all_ = len(before.log), len(before.whole)
        if self.log[:seen] != before.log or self.whole[:all_] != before.whole:
            return None
        new = self.whole[all_:]
        return None if any(e.kind == "undo" for e in new) else frozenset(e.subject for e in new)

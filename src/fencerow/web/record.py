"""Record: what stands of a tract's log now, as far as it may be seen, whatever plan there is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

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
    log: Log
    """The log as it may be seen."""
    whole: Log
    """All of the log: by it, what may be written is judged."""

    def writer(self, person: Person) -> Writer:
        """What somebody who sees this much may write."""
        return Writer(person, self._whole, self._log)

    def said_since(self, before: Record) -> frozenset[str] | None:
        """The subjects that were spoken of since; None where more than that may have changed."""
        seen, all_ = len(before.log), len(before.whole)
        if self.log[:seen] != before.log or self.whole[:all_] != before.whole:
            return None
        new = self.whole[all_:]
        return None if any(e.kind == "undo" for e in new) else frozenset(e.subject for e in new)

    @cached_property
    def _whole(self) -> Index:
        return Index(self.whole)

    @cached_property
    def _log(self) -> Index:
        return self._whole if self.log is self.whole else Index(self.log)

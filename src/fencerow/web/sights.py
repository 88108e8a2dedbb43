"""Sights: a tract's record as each may see it, folded onto what was folded before."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from itertools import takewhile

from fencerow.plan.glance import Glance, glances
from fencerow.plan.graph import Given, Recent
from fencerow.plan.plan import Plan
from fencerow.store import Store
from fencerow.store.shelf import mark_of
from fencerow.tract.fold import Folded
from fencerow.tract.veil import ALL, veiled
from fencerow.web.record import Log, Record
from fencerow.web.relief import Relief
from fencerow.web.writer import Index

KEPT_SECTIONS = 60
Levels = frozenset[str]
Key = tuple[str, tuple[tuple[str, int], ...]]
At = tuple[Key, date, date]
"""A state of the record and of the files beside it, the day planned for, the day that it is."""


@dataclass(frozen=True, eq=False)
class Standing:
    """A plan, and the state of the record that it was made from."""

    plan: Plan
    at: At
    record: Record

    @property
    def today(self) -> date:
        """The day that it is at the tract."""
        return self.at[2]


@dataclass(frozen=True)
class Glanced:
    """A plan at a glance, for the list of tracts, and what it was made of."""

    levels: Levels | None
    digest: str
    count: int
    day: date
    today: date
    told: dict[str, Glance]

    @classmethod
    def of(cls, standing: Standing, levels: Levels | None) -> Glanced:
        """What the list tells of a plan."""
        record, day = standing.record, standing.at[1]
        told = glances(standing.plan)
        return cls(levels, record.digest, record.count, day, standing.today, told)


@dataclass(eq=False)
class Sight:
    """The tract as some may see it: the log that is left to them, and all that is kept of it.

    What is kept for one sight is never looked up for another.
    """

    levels: Levels | None
    """None for all of it."""
    whole: Folded | None = None
    """All of the log, as it was last looked at."""
    folded: Folded | None = None
    """What is left of it; None where it is as for another."""
    record: Record | None = None
    like: Sight | None = None
    """The sight of others to whom, of this `whole`, exactly the same is left."""
    cache: Recent = field(default_factory=lambda: Recent(KEPT_SECTIONS))
    given: tuple[Key, Given] | None = None
    standings: dict[At, Standing] = field(default_factory=dict)
    last: dict[date | None, Standing] = field(default_factory=dict)
    """The last plan for a day as it was asked for."""
    relief: Relief | None = None
    ground: tuple[object, object] | None = None
    """The places and files that it was drawn of."""


class Sights:
    """All that see a tract alike, and what they see; ask from one thread at a time."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.tract_id = store.entries()[0].id
        self._all = Sight(None)
        self._some: dict[Levels, Sight] = {}

    def mark(self) -> tuple[int, str]:
        """How many entries there are, and a digest that is another as soon as one is new."""
        return mark_of(self._store, self.tract_id)

    def now(self, levels: Levels | None) -> tuple[Sight, Record]:
        """The sight of those who may see so much, and what they see now."""
        mark, whole = self.mark(), self._store.folded()
        sight = self._all
        if levels is not None:
            sight = self._some.setdefault(levels, Sight(levels))
            self._look(sight, whole)
            sight = sight.like or sight
        folded, held = sight.folded or whole, sight.record
        if held is None or (held.digest, held.whole) != (mark[1], whole.entries):
            all_ = Index(whole.entries, held.all if held else None)
            seen = all_
            if folded is not whole:
                seen = Index(folded.entries, held.seen if held else None)
            held = sight.record = Record(self.tract_id, folded.tract, *mark, seen, all_)
        return sight, held

    def keeps_from(self, levels: Levels | None) -> bool:
        """Whether anything of the log is kept back from who may see no more than this."""
        return self.now(levels)[0] is not self._all

    def _look(self, sight: Sight, whole: Folded) -> None:
        """See what is left; who came before, and is left the same, lends what they have."""
        if sight.whole is whole:
            return
        if sight.like is self._all and _grew_openly(sight, whole):
            sight.whole = whole
            return
        left = tuple(veiled(whole.entries, sight.levels or frozenset()))
        sight.whole, sight.like = whole, self._all if left == whole.entries else None
        for other in takewhile(lambda s: s is not sight, self._some.values()):
            self._look(other, whole)
            if sight.like is None and other.folded and other.folded.entries == left:
                sight.like = other
        sight.folded = None if sight.like else _folded(sight.folded, left)


def _grew_openly(sight: Sight, whole: Folded) -> bool:
    """Whether nothing but what they may see was added to a log of which they saw all."""
    before = () if sight.whole is None else sight.whole.entries
    levels = {ALL, *(sight.levels or ())}
    new = whole.entries[len(before) :]
    return whole.entries[: len(before)] == before and all(e.visibility in levels for e in new)


def _folded(before: Folded | None, left: Log) -> Folded:
    """What is left of a log, folded; where it only grew, onto what was folded before."""
    if before is None or left[: len(before.entries)] != before.entries:
        return Folded.of(left)
    return before.extend(left[len(before.entries) :])

"""What a task of the year is, and what every family of tasks is derived from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from fencerow.data import Row, Tables
from fencerow.figure import Figure, assume, work
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.labels import Sprayed
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.span import year_of
from fencerow.science.soil import timing
from fencerow.tract.bodies import Closing
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message


@dataclass(frozen=True)
class Work:
    """One task of the year: what, where, how many hours, with what, from when, by when, and why.

    `counted` says that it has to be done on fit ground before the closing; `listed` that the year
    shows it, which leaves out what another line of the year already says. `label_days` keeps it
    off a plot after a spraying, by the label.
    """

    kind: str
    place: str
    name: str
    hours: Figure
    go: Figure
    machine: str
    after: tuple[str, ...]
    what: Message
    why: Message
    until: Figure | None = None
    equipment: str = ""
    label_days: Figure | None = None
    counted: bool = True
    listed: bool = True

    @property
    def by(self) -> Figure:
        """The day by which it is done; where it has none, the day from which it may be."""
        return self.go if self.until is None else self.until


Task = tuple[str, Work]


@dataclass(frozen=True)
class Yard:
    """All that the tasks of a year are derived from."""

    tract: Tract
    tables: Tables
    as_of: date
    orders: Mapping[str, PlotOrder]
    buying: Buying
    sprayed: Mapping[str, Sprayed] = field(default_factory=dict)

    @cached_property
    def today(self) -> Figure:
        """The day that the plan is made for."""
        return assume(self.as_of, "date", "as-of-day")

    @cached_property
    def year(self) -> tuple[Figure, Figure]:
        """The first and the last day of the tract's year."""
        origin = self.tract.about.figure("year_starts", "decided").origin
        start, end = year_of(self.tract, self.as_of)
        return Figure(start, "date", origin), Figure(end, "date", origin)

    @cached_property
    def closes(self) -> Figure | None:
        """The day on which all of the ground closes next; None where none is entered."""
        found = closing_ahead(self.tract, self.as_of)
        return None if found is None else found.figure("closes", "decided", unit="date")

    def season(self, task: str) -> tuple[Figure, Figure] | None:
        """From when and by when a yearly task is done in this year of the tract's; None where it
        is over and waits for the next."""
        row = self.tables["upkeep"].row(task)
        until = work(
            timing.next_day_of_year, from_date=self.year[0], month_day=row.figure("until_day")
        )
        if until.value < self.as_of and row.text("lapses") == "yes":
            return None
        opens = row.figure("from_day")
        go = work(timing.season_opens, until_date=until, month_day=opens, from_date=self.year[0])
        return go, until

    def before_closing(self, task: str) -> Figure | None:
        """The last day of what has to be done some days before the ground closes."""
        if self.closes is None:
            return None
        lead = self.tables["upkeep"].row(task).figure("lead_days")
        return work(timing.days_before, wanted_date=self.closes, lead_days=lead)

    def upkeep(self, task: str) -> Row:
        """The row of a yearly task."""
        return self.tables["upkeep"].row(task)


def closing_ahead(tract: Tract, as_of: date) -> Kept[Closing] | None:
    """The closing of all the ground that comes next; else the last of those of a part of it."""
    ahead = [c for c in tract.closings.values() if c.body.closes > as_of]
    whole = [c for c in ahead if not c.body.places]
    if whole:
        return min(whole, key=lambda c: (c.body.closes, c.id))
    return max(ahead, key=lambda c: (c.body.closes, c.id), default=None)

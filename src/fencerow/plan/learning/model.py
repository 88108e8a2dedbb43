"""What the model says of a plot between two days, to be held against what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property

from fencerow.figure import Figure, assume, work_parts
from fencerow.plan.forage.body import ForagePlot
from fencerow.plan.forage.ledger import Ledger
from fencerow.plan.forage.planner import asked_of, ledger_of, opens_of
from fencerow.plan.forage.plots import forage_plot
from fencerow.plan.forage.series import Weekly
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.science.forage import caged


@dataclass(frozen=True)
class Model:
    """The model of one tract-year, run without anything that was learned; a plot is looked at where
    somebody was there."""

    given: Given
    ledger: Ledger
    start: date
    end: date
    plots: dict[str, ForagePlot | None] = field(default_factory=dict)

    @classmethod
    def of(cls, given: Given, ground: Section, day: date) -> Model:
        """The model of the year that holds a day."""
        start, end = year_of(given.tract, day)
        year = replace(given, as_of=min(given.as_of, end))
        return cls(year, ledger_of(year, {"ground": ground}), start, end)

    def plot(self, place: str) -> ForagePlot | None:
        """A plot of that year; None where nothing is counted on it."""
        if place not in self.plots:
            self.plots[place] = self._plot(place)
        return self.plots[place]

    @cached_property
    def asked(self) -> Weekly:
        """What the deer look for in the plots, week by week."""
        return asked_of(self.ledger)

    def grown(self, place: str, since: Figure, on: Figure, case: str = "likely") -> Figure:
        """What grows on a plot from a day to another [lb/ac]."""
        return self._over(place, "growth", since, on, case, per_week=False)

    def eaten(self, place: str, since: Figure, on: Figure, case: str = "likely") -> Figure:
        """What deer eat of it from a day to another [lb/ac]."""
        return self._over(place, "eaten", since, on, case, per_week=True)

    def standing(self, place: str, on: Figure, case: str = "likely") -> Figure:
        """What stands on it at the end of the week before a day, which is nearest [lb/ac]."""
        daily = [self._week(place, "standing", on.value, case)]
        return self._parts(place, case, daily, {"until": on})

    def per_deer(self, since: Figure, on: Figure) -> float | None:
        """What one deer looks for in the plots in a day, over a period [lb/day]."""
        days = self._days(since.value, on.value)
        asked = [self._at(self.asked, d, "likely") for d in days]
        known = [a / 7 for a in asked if a is not None]
        return sum(known) / len(known) if known else None

    # ---- within

    def _plot(self, place: str) -> ForagePlot | None:
        if all(crop.plot != place for crop in self.ledger.shown):
            return None
        found = next(p for p in self.given.tract.plots() if p.id == place)
        return forage_plot(self.ledger, found, opens_of(self.given, self.ledger))

    def _over(
        self, place: str, name: str, since: Figure, on: Figure, case: str, per_week: bool
    ) -> Figure:
        acres = self._acres(place)
        share = 1 / (7 * acres) if per_week and acres else 1.0
        days = self._days(since.value, on.value)
        daily = [a if (a := self._week(place, name, d, case)) is None else a * share for d in days]
        return self._parts(place, case, daily or [None], {"since": since, "until": on})

    def _parts(
        self, place: str, case: str, daily: list[float | None], more: Mapping[str, Figure]
    ) -> Figure:
        plot = self.plot(place)
        rows = {} if plot is None else {
            p.blend: p.year_growth.of(case) for p in plot.plantings.values() if p.year_growth
        }  # fmt: skip
        known = [a for a in daily if a is not None]
        parts = work_parts(caged.over_period, {**rows, **more}, daily_lb_ac=known)
        if len(known) == len(daily):
            return parts.figure(lambda lb: lb, "lb_ac")
        return replace(assume(0.0, "lb_ac", "learn-not-modelled"), value=None)

    def _acres(self, place: str) -> float:
        plot = self.plot(place)
        return plot.acres.number() if plot else 0.0

    def _days(self, since: date, on: date) -> list[date]:
        return [since + timedelta(days=n) for n in range((on - since).days)]

    def _week(self, place: str, name: str, day: date, case: str) -> float | None:
        """A series of a plot on a day, over all its plantings; None where it is not known."""
        plot = self.plot(place)
        if plot is None:
            return None
        amounts = [self._at(getattr(p, name), day, case) for p in plot.plantings.values()]
        known = [a for a in amounts if a is not None]
        return sum(known) if known else None

    def _at(self, weekly: Weekly, day: date, case: str) -> float | None:
        week = weekly.week_of(day)
        found: float | None = None if week is None else getattr(weekly, case)[week]
        return found


class Models:
    """The model of every year that is asked for, each run once."""

    def __init__(self, given: Given, ground: Section) -> None:
        self._given, self._ground = given, ground
        self._by_year: dict[date, Model] = {}

    def of(self, day: date) -> Model:
        """The model of the year that holds a day."""
        start = year_of(self._given.tract, day)[0]
        if start not in self._by_year:
            self._by_year[start] = Model.of(self._given, self._ground, day)
        return self._by_year[start]

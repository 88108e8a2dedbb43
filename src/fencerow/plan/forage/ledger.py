"""The ledger of a tract: its crops, what they grow, and every run against the deer."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from fencerow.data import Tables
from fencerow.figure import Figure, Parts
from fencerow.plan.forage.crops import Crop, Frosts, crops_of
from fencerow.plan.forage.herd import HerdNeed, herd_need
from fencerow.plan.forage.learned import Learned
from fencerow.plan.forage.runs import Span, crop_inputs, grow, of_year, run_ledger
from fencerow.plan.forage.series import YEARS, Range, Weekly, of_months, ranged
from fencerow.plan.forage.stands import Place
from fencerow.plan.forage.years import Weather, crop_figures, run_years, weather_of
from fencerow.plan.graph import Given
from fencerow.plan.span import year_of
from fencerow.science.forage.days import WEEKS
from fencerow.science.weather.series import Floats
from fencerow.tract.bodies import Deer
from fencerow.tract.model import Kept
from fencerow.words import Message

R = TypeVar("R")
NO_DEER = Message.of("forage-no-deer-why")


@dataclass(frozen=True)
class Ledger:
    """All that is worked once; without deer there is growth, and no run.

    `known` are the crops that are counted, in the order of the arrays' rows. By `weather` there is
    one run, of every year and draw (`years.Drawn`); without it five (`ledger.Balance`), whose
    arrays have one axis less.
    """

    tables: Tables
    span: Span
    crops: Sequence[Crop]
    known: Sequence[Crop]
    deer: Kept[Deer] | None
    grown: Mapping[str, Parts[Floats]]
    need: HerdNeed | None
    herd: Mapping[str, Parts[Floats]]
    runs: Mapping[str, Parts[Any]]
    weather: Weather | None = None

    @classmethod
    def of(cls, given: Given, acres: Mapping[str, Figure], learned: Learned) -> Ledger:
        """The ledger of the plots that have acres, with what was learned of them."""
        start, end = year_of(given.tract, given.as_of)
        span = Span(year_of(given.tract, start - timedelta(days=1))[0], start, end)
        plots = [p for p in given.tract.plots() if p.id in acres]
        days, frosts = (span.before, span.end), Frosts()
        weather = weather_of(given, span)
        crops: list[Crop] = []
        for p in plots:
            place = None
            if weather is not None:
                place = Place(p, weather.layer_of[p.id], span.before, span.days)
            crops += crops_of(given, p, acres[p.id], *days, frosts, place)
        known = [s for s in crops if s.known]
        deer = next(iter(given.tract.deer.values()), None)
        need = herd_need(given.tables, deer, span.before, span.weeks) if deer else None
        tables = given.tables
        if weather is not None and known:
            drawn = run_years(given, weather, known, span, deer, need, learned)
            area = np.array([s.acres.number() for s in known])[:, None]
            grown = {YEARS: Parts(drawn.result.growth / area, drawn.formula, drawn.inputs)}
            herd = {YEARS: Parts(drawn.result.herd, drawn.formula, drawn.inputs)} if need else {}
            by_year = {YEARS: drawn} if need else {}
            return cls(tables, span, crops, known, deer, grown, need, herd, by_year, weather)
        by_month = grow(known, span, learned)
        if need is None:
            return cls(tables, span, crops, known, None, by_month, None, {}, {})
        runs = run_ledger(given.tract, tables, known, span, need, by_month, learned)
        return cls(tables, span, crops, known, deer, by_month, need, need.herd, runs)

    @property
    def shown(self) -> list[Crop]:
        """The crops that are there in the year itself."""
        return [c for c in self.crops if c.gone > self.span.start]

    def weekly(
        self, unit: str, runs: Mapping[str, Parts[R]], pick: Callable[[R], Floats]
    ) -> Weekly:
        """A series of the year's weeks; not known where there is no run."""
        if not runs:
            return Weekly.unknown(self.span.start, unit, NO_DEER)
        return Weekly.of(self.span.start, unit, runs, pick)

    def rows(self, of: str) -> list[int]:
        """The rows of the arrays that the crops of a plot, or of a planting, have."""
        return self._rows.get(of, [])

    @cached_property
    def _rows(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for at, crop in enumerate(self.known):
            for of in (crop.plot, crop.planting):
                found.setdefault(of, []).append(at)
        return found

    def grown_of(self, case: str, names: Iterable[str]) -> Parts[Floats]:
        """The growth in a case, with only the inputs of these crops."""
        parts, of = self.grown[case], self._inputs[case]
        shown = {n: f for name in names for n, f in of.get(name, {}).items()}
        return Parts(parts.result, parts.formula, shown)

    @cached_property
    def _inputs(self) -> dict[str, dict[str, dict[str, Figure]]]:
        """The inputs of each crop's growth, by case and the crop's name."""
        return {c: {s.name: _inputs_of(s, c) for s in self.known} for c in self.grown}

    def inputs_of(self, rows: Sequence[int]) -> dict[str, Figure]:
        """The inputs of the runs by weather that speak of these crops, or of all."""
        inputs, owned = self.runs[YEARS].inputs, self._owned
        names = ["", *dict.fromkeys(self.known[i].name for i in rows)]
        return {n: inputs[n] for _, n in sorted(each for name in names for each in owned[name])}

    @cached_property
    def _owned(self) -> dict[str, list[tuple[int, str]]]:
        """The place and name of each input of the runs by weather, by the crop that it speaks of;
        by '' those of no crop alone."""
        owned: dict[str, list[tuple[int, str]]] = {"": [], **{c.name: [] for c in self.known}}
        for at, name in enumerate(self.runs[YEARS].inputs):
            owner = name
            while owner and owner not in owned:
                owner = owner.rpartition("-")[0]
            owned[owner].append((at, name))
        return owned

    def grown_lb(
        self, rows: Sequence[int], weeks: Sequence[int], months: Collection[int] = range(1, 13)
    ) -> Range:
        """What some crops grow in some weeks, over all their acres [lb]."""
        acres = np.array([self.known[i].acres.number() for i in rows], dtype=float)[:, None]
        names = [self.known[i].name for i in rows]
        runs = {c: in_months(self.grown_of(c, names), months) for c in self.grown}

        first, last = min(weeks), max(weeks) + 1

        def pick(grown: Floats) -> Any:
            # no more weeks are multiplied than are asked for: all of many crops' is hundreds of MB
            part = of_year(grown)[..., first:last][..., list(rows), :] * acres
            return part[..., [w - first for w in weeks]].sum(axis=(-2, -1))

        return ranged(runs, pick, "lb")


def _inputs_of(crop: Crop, case: str) -> dict[str, Figure]:
    return crop_figures(crop) if case == YEARS else crop_inputs(crop, case)


def in_months(parts: Parts[R], months: Collection[int]) -> Parts[R]:
    """The same answer, with only the inputs that speak of these months, or of none."""
    if len(months) == 12:
        return parts
    shown = of_months(parts.inputs, months)
    return Parts(parts.result, parts.formula, {n: parts.inputs[n] for n in shown})


def of_weeks(by_week: Floats, weeks: Sequence[int]) -> Any:
    """A sum over some weeks of the year, for every run where there are many."""
    return of_year(by_week)[..., list(weeks)].sum(axis=-1)


def of_crops(by_week: Floats, weeks: Sequence[int]) -> Any:
    """A sum over some weeks of the year and over all crops, for every run where there are many."""
    return of_year(by_week)[..., list(weeks)].sum(axis=(-2, -1))


EVERY_WEEK = range(WEEKS)

"""A year of weeks with one recipe, and a low, a likely and a high figure.

The ledger is run several times, with little and much forage, with few and many deer. A range is
the least and the most of those runs, week by week, and remembers which run gave it, so that one
week opens to the working of the run that it came from.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, TypeVar

import numpy as np

from fencerow.figure import Assumed, Figure, Formula, Parts
from fencerow.science.forage.days import WEEKS
from fencerow.science.forage.draws import bands
from fencerow.science.weather.series import Floats
from fencerow.words import Message

R = TypeVar("R")
CASES = ("low", "likely", "high")
YEARS = "years"
"""The one run that holds many: every year of weather, with every draw. Its answers have a first
axis more than those of a single run, and low, likely and high are its bands."""
_OF_MONTH = re.compile(r"_(\d\d)$")


@dataclass(frozen=True)
class Range:
    """A figure with what it may be at the least and at the most."""

    low: Figure
    likely: Figure
    high: Figure

    def of(self, case: str) -> Figure:
        """The figure of a case: 'low', 'likely' or 'high'."""
        found: Figure = getattr(self, case)
        return found


class Recipe:
    """How a series was worked: the formula, and the figures that went into each run of it."""

    def __init__(self, formula: Formula, inputs: Mapping[str, Mapping[str, Figure]]) -> None:
        self.formula, self.inputs = formula, inputs

    def __str__(self) -> str:
        return self.formula.function.removeprefix("fencerow.")


@dataclass(frozen=True)
class Weekly:
    """52 weeks from a day; the last takes the year's odd days. None where it is not known."""

    start: date
    unit: str
    low: tuple[float | None, ...]
    likely: tuple[float | None, ...]
    high: tuple[float | None, ...]
    low_run: tuple[str, ...] = ()
    high_run: tuple[str, ...] = ()
    recipe: Recipe | None = None
    reason: Message | None = None

    @classmethod
    def unknown(cls, start: date, unit: str, reason: Message) -> Weekly:
        """A series of which nothing is known, and why."""
        nothing = (None,) * WEEKS
        return cls(start, unit, nothing, nothing, nothing, reason=reason)

    @classmethod
    def of(
        cls, start: date, unit: str, runs: Mapping[str, Parts[R]], pick: Callable[[R], Floats]
    ) -> Weekly:
        """The series that `pick` takes from every run's answer; one run is named 'likely'."""
        if YEARS in runs:
            return cls._of_years(start, unit, runs[YEARS], pick)
        names = list(runs)
        values = np.vstack([pick(parts.result) for parts in runs.values()])
        first = runs[names[0]]
        return cls(
            start,
            unit,
            tuple(values.min(axis=0).tolist()),
            tuple(values[names.index("likely")].tolist()),
            tuple(values.max(axis=0).tolist()),
            tuple(names[i] for i in values.argmin(axis=0)),
            tuple(names[i] for i in values.argmax(axis=0)),
            Recipe(first.formula, {name: parts.inputs for name, parts in runs.items()}),
        )

    @classmethod
    def _of_years(
        cls, start: date, unit: str, parts: Parts[R], pick: Callable[[R], Floats]
    ) -> Weekly:
        low, likely, high = bands(pick(parts.result))
        recipe = Recipe(parts.formula, dict.fromkeys(CASES, parts.inputs))
        return cls(
            start, unit, tuple(low.tolist()), tuple(likely.tolist()), tuple(high.tolist()),
            ("low",) * WEEKS, ("high",) * WEEKS, recipe,
        )  # fmt: skip

    def figure(self, week: int, case: str = "likely") -> Figure:
        """One week as a figure with its working; weeks count from 0.

        Raises:
            IndexError: a year has 52 weeks.
        """
        value = getattr(self, case)[week]
        if self.recipe is None:
            assert self.reason is not None
            return Figure(None, self.unit, Assumed(self.reason), self.reason)
        run = "likely" if case == "likely" else getattr(self, f"{case}_run")[week]
        inputs = self.recipe.inputs[run]
        parts = Parts(self, self.recipe.formula, inputs)
        return parts.figure(lambda _: value, self.unit, *of_months(inputs, self.months(week)))

    def months(self, week: int) -> set[int]:
        """The months that a week lies in."""
        first = self.day(week)
        return {first.month, (first + timedelta(days=6)).month}

    def day(self, week: int) -> date:
        """The first day of a week."""
        return self.start + timedelta(weeks=week)

    def week_of(self, day: date) -> int | None:
        """The week that holds a day; None where the day lies outside the year."""
        days = (day - self.start).days
        return min(days // 7, WEEKS - 1) if 0 <= days <= 7 * WEEKS + 1 else None


def of_months(inputs: Iterable[str], months: Iterable[int]) -> tuple[str, ...]:
    """The names of inputs that speak of these months, or of no month ('loss_07' is of July)."""
    wanted = {f"{m:02d}" for m in months}

    def fits(name: str) -> bool:
        found = _OF_MONTH.search(name)
        return found is None or found[1] in wanted

    return tuple(name for name in inputs if fits(name))


def by_month(name: str, figures: Iterable[Figure]) -> dict[str, Figure]:
    """Twelve figures as inputs of a recipe, each by its month."""
    return {f"{name}_{month:02d}": figure for month, figure in enumerate(figures, 1)}


def ranged(runs: Mapping[str, Parts[R]], pick: Callable[[R], Any], unit: str, *only: str) -> Range:
    """The least, the likely and the most of what `pick` takes from every run's answer.

    Args:
        runs: the runs; one is named 'likely'.
        pick: one number of a run's answer.
        unit: its unit.
        only: the inputs to show, all where none is named.
    """
    if YEARS in runs:
        parts = runs[YEARS]

        def of(found: float) -> Figure:
            return parts.figure(lambda _: found, unit, *only)

        return Range(*(of(v) for v in bands(pick(parts.result)).tolist()))
    values = {name: float(pick(parts.result)) for name, parts in runs.items()}

    def figure(name: str) -> Figure:
        return runs[name].figure(lambda _: values[name], unit, *only)

    return Range(
        figure(min(values, key=values.__getitem__)),
        figure("likely"),
        figure(max(values, key=values.__getitem__)),
    )

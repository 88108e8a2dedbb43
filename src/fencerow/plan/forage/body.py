"""What the forage section holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.forage.series import Range, Weekly


@dataclass(frozen=True)
class ForageSpecies:
    """One plant of a planting: a year's growth an acre of plot, when it starts, how it bears it."""

    common: str
    growth: Range
    first: Range
    killed: Range | None
    curve: Mapping[str, Figure]
    protein_low: Figure | None
    protein_high: Figure | None
    tolerance: Figure | None
    critical: Figure | None
    least_to_open: Figure | None


@dataclass(frozen=True)
class ForagePlanting:
    """One planting: daily growth an acre, what stands at a week's end, what is eaten in it.

    `made_it` is the share of runs by weather in which a planting of the year stands high enough.
    """

    blend: str
    species: Mapping[str, ForageSpecies]
    growth: Weekly
    standing: Weekly
    eaten: Weekly
    year_growth: Range | None
    year_eaten: Range | None
    made_it: Figure | None = None


@dataclass(frozen=True)
class Bare:
    """How often a plot stands below an amount on a day, as a share of runs by weather."""

    on: Figure
    least: Figure
    chance: Figure


@dataclass(frozen=True)
class ForagePlot:
    """One plot; `opening` is what stands there an acre on the day that the first season opens."""

    name: str
    acres: Figure
    opening: Range | None
    plantings: Mapping[str, ForagePlanting]
    bare: Bare | None = None


@dataclass(frozen=True)
class Month:
    """The weeks that begin in a month; `standing` is what all plots hold at the end of the last."""

    need: Range
    asked: Range
    growth: Range
    eaten: Range
    short: Range
    standing: Range


@dataclass(frozen=True)
class Year:
    """The year in all; `runs` is what is eaten in each run [lb], `short` counts the likely run's
    short weeks from 0."""

    need: Range
    asked: Range
    growth: Range
    eaten: Range
    weeks_short: Range
    first_short: Figure
    runs: tuple[float, ...]
    short: tuple[int, ...]


@dataclass(frozen=True)
class Forage:
    """Forage against need; all that rests on the number of deer is absent where none is entered.

    By the weather of `years`, low, likely and high are what one run in ten, in two and nine in ten
    stay at or below, and `short_chance` is the share of runs in which each week is short. Without
    a record of weather `years` is empty, and low and high are the least and most of five runs.
    `runs` holds the figures that went into each run of the ledger, at one place in the plan.
    """

    need: Weekly
    asked: Weekly
    eaten: Weekly
    short: Weekly
    standing: Weekly
    acres_per_deer: Figure
    opens: Figure | None
    protein: Mapping[str, Figure]
    year: Year | None
    months: Mapping[str, Month]
    runs: Mapping[str, Mapping[str, Figure]]
    plots: Mapping[str, ForagePlot]
    short_chance: Weekly | None = None
    years: tuple[int, ...] = ()

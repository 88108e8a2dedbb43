"""What the section `compare` holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure
from fencerow.plan.forage.series import Range, Weekly
from fencerow.words import Message


@dataclass(frozen=True)
class Bare:
    """The first week in which a plot falls below the stated amount: likely, and with little forage.

    `why` stands where nothing is said of it.
    """

    name: str
    likely: Figure
    little: Figure
    why: Message | None = None


@dataclass(frozen=True)
class Against:
    """A plan against the one in the record, run against run."""

    eaten: Range
    cost: Figure
    told: Figure


@dataclass(frozen=True)
class Costs:
    """What a plan costs by the pound, with no bag rounded up.

    `missing` says what has no price; the sums are then of the rest, and the cost is more.
    """

    seed: Figure
    fertilizer: Figure
    lime: Figure
    protection: Figure
    total: Figure
    missing: tuple[Message, ...] = ()


@dataclass(frozen=True)
class Side:
    """One of the plans: the changes that make it, its year, its weeks, its plots, its cost."""

    name: str
    changes: tuple[Message, ...]
    eaten: Range
    runs: tuple[float, ...]
    weeks_short: Range
    weekly: Weekly
    short: Weekly
    standing: Weekly
    months: Mapping[str, Range]
    bare: Mapping[str, Bare]
    costs: Costs
    per_ton: Range | None
    against: Against | None


@dataclass(frozen=True)
class Point:
    """A point of the grid: the seeding factor, acres by plot, cost, and eaten by a plain ledger.

    `hard` is what is eaten with little forage and many deer.
    """

    factor: Figure
    acres: Mapping[str, Figure]
    cost: Figure
    eaten: Figure
    hard: Figure


@dataclass(frozen=True)
class Suggestion:
    """How a budget goes furthest: the point picked, the next one, what other budgets would buy."""

    budget: Figure
    points: Figure
    picked: Point | None
    runner_up: Point | None
    money: Mapping[str, Point] = field(default_factory=dict)
    budgets: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True)
class Comparison:
    """The plans side by side, the one in the record first; empty where there is none beside it."""

    least: Figure
    sides: Mapping[str, Side]
    suggestion: Suggestion | None
    unable: Mapping[str, Message] = field(default_factory=dict)

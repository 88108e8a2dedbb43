"""Plans held side by side: what differs, whether the model can tell, what a ton comes to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.forage.draws import bands
from fencerow.science.weather.series import Floats

MOST_RUNS = 0.9


class Gap(NamedTuple):
    """By how much more one plan has than another, run against run [lb]."""

    low: float
    likely: float
    high: float


@formula(
    "other_lb - base_lb of each run: what one in ten, one in two and nine in ten stay at or below",
    unit="lb",
    source="definition",
    basis="definition",
    lookup=True,
)
def gap(others_lb: Sequence[float], bases_lb: Sequence[float]) -> Gap:
    """By how much more one plan has than another, run against run [lb].

    Args:
        others_lb, bases_lb: the amount in each run of the one and of the other [lb].
    """
    apart = np.subtract(others_lb, bases_lb)
    return Gap(*bands(apart).tolist())


@formula(
    "more or less where nine runs in ten agree, each by the least share; else the same",
    unit="text",
    source="judgement",
    basis="from memory",
    valid={"least_share": (0, 1)},
    lookup=True,
)
def told_apart(others_lb: Sequence[float], bases_lb: Sequence[float], least_share: float) -> str:
    """Whether this model can tell two plans apart: 'more', 'less' or 'same'.

    Both plans were run on the same years, deer and growth. The ranges of two plans may lie over one
    another and the plans still differ in nearly every run.

    Args:
        others_lb, bases_lb: the amount in each run of the one and of the other [lb].
        least_share: a difference below this share does not count.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    others, bases = np.asarray(others_lb, dtype=float), np.asarray(bases_lb, dtype=float)
    if np.mean(others - bases > least_share * bases) >= MOST_RUNS:
        return "more"
    return "less" if np.mean(bases - others > least_share * bases) >= MOST_RUNS else "same"


@formula(
    "2000 * cost_usd / eaten_lb",
    unit="usd_ton",
    source="definition",
    basis="definition",
    valid={"cost_usd": (0, 10_000_000), "eaten_lb": (1, 100_000_000)},
)
def cost_per_ton(cost_usd: float, eaten_lb: float) -> float:
    """What a ton that is eaten costs [$/ton].

    Args:
        cost_usd: seed, fertilizer, lime, fence and repellent [$].
        eaten_lb: what deer eat of the plots in the year [lb].

    Raises:
        OutsideRange: nothing is eaten.
    """
    return 2000 * cost_usd / eaten_lb


@formula(
    "the first week in which less stands, after it has stood at that",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def first_below(standing_lb_ac: Sequence[float], stated_lb_ac: float) -> int | None:
    """The first week in which a plot falls below an amount, counted from 0.

    None where it never stands at it, or never falls below it again.

    Args:
        standing_lb_ac: what stands at each week's end [lb/ac].
        stated_lb_ac: the amount [lb/ac].
    """
    reached = False
    for week, stands in enumerate(standing_lb_ac):
        if reached and stands < stated_lb_ac:
            return week
        reached = reached or stands >= stated_lb_ac
    return None


@formula(
    "the least cost of the needs out of what is on offer, by the pound",
    unit="usd",
    source="definition",
    basis="derived",
    lookup=True,
)
def cost_by_the_pound(
    needs_lb: Sequence[float], contents_share: Sequence[Sequence[float]], prices: Sequence[float]
) -> float | None:
    """What nutrients cost at the least, with bags left unrounded [$]; None: nothing brings one.

    A linear program: as many pounds of each material as meet every need for the least money.

    Args:
        needs_lb: pounds of each nutrient.
        contents_share: for each material, its share of each nutrient.
        prices: what a pound of each material costs [$/lb].
    """
    if not any(need > 0 for need in needs_lb):
        return 0.0
    if not prices:
        return None
    from scipy.optimize import linprog

    found = linprog(
        prices,
        A_ub=-np.asarray(contents_share, dtype=float).T,
        b_ub=-np.asarray(needs_lb, dtype=float),
        method="highs",
    )
    return float(found.fun) if found.success and found.fun is not None else None


@formula(
    "week by week: what is carried over and grows, up to what is looked for",
    unit="lb",
    source="judgement",
    basis="from memory",
    valid={"usable_share": (0, 1)},
    lookup=True,
)
def eaten_by_grid(
    growth_lb: ArrayLike, asked_lb: Sequence[float], keep_share: float, usable_share: float
) -> Floats:
    """What deer eat in a year at each point of a grid [lb]: a plain ledger to choose by.

    It stands in for the model at hundreds of points; the points that it picks are run in full.

    Args:
        growth_lb: a row for each point, a column for each week [lb].
        asked_lb: what is looked for in each week [lb].
        keep_share: what a week leaves of what was not eaten.
        usable_share: the share of growth that deer can use.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    usable = np.asarray(growth_lb, dtype=float) * usable_share
    carried, total = np.zeros(len(usable)), np.zeros(len(usable))
    for week, asked in enumerate(asked_lb):
        there = carried + usable[:, week]
        eaten = np.minimum(there, asked)
        carried = (there - eaten) * keep_share
        total += eaten
    out: Floats = total
    return out


@formula(
    "area_ac + more_ac",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 100_000), "more_ac": (-100_000, 100_000)},
)
def acres_with(area_ac: float, more_ac: float) -> float:
    """A plot's acres with some more, or fewer [ac].

    Args:
        area_ac: as it is [ac].
        more_ac: more; below 0 for fewer [ac].

    Raises:
        OutsideRange: no plot is that large.
    """
    return area_ac + more_ac


@formula("other_usd - base_usd", unit="usd", source="definition", basis="definition")
def costs_more(other_usd: float, base_usd: float) -> float:
    """By how much one plan costs more than another [$].

    Args:
        other_usd, base_usd: what the one and the other cost [$].
    """
    return other_usd - base_usd


@formula(
    "of the points within the budget the cheapest that eats as much as the best, within a share,"
    " in a likely and in a hard year",
    unit="",
    source="judgement",
    basis="from memory",
    valid={"budget_usd": (0, 10_000_000), "least_share": (0, 1)},
    lookup=True,
)
def pick(
    costs_usd: Sequence[float],
    eaten_lb: Sequence[float],
    hard_lb: Sequence[float],
    budget_usd: float,
    least_share: float,
) -> int | None:
    """The point of a grid to choose, counted from 0; None where none is within the budget.

    A point is as good as the worse of its two years, each against the best of that year. What is
    within `least_share` of the best point cannot be told from it; the cheapest of those is chosen.

    Args:
        costs_usd: what each point costs [$].
        eaten_lb: what deer eat at each in a likely year [lb].
        hard_lb: what they eat with little forage and many deer [lb].
        budget_usd: what may be spent [$].
        least_share: a difference below this share is not one.

    Raises:
        OutsideRange: a budget or a share that is none.
    """
    within = [i for i, cost in enumerate(costs_usd) if cost <= budget_usd]
    if not within:
        return None
    best = [max(max(of[i] for i in within), 1e-9) for of in (eaten_lb, hard_lb)]
    worth = {i: min(eaten_lb[i] / best[0], hard_lb[i] / best[1]) for i in within}
    most = max(worth.values())
    alike = [i for i in within if worth[i] >= (1 - least_share) * most]
    return min(alike, key=lambda i: (costs_usd[i], -worth[i], i))


@formula(
    "budget_usd * budget_share",
    unit="usd",
    source="definition",
    basis="definition",
    valid={"budget_usd": (0, 10_000_000), "budget_share": (0, 10)},
)
def part_of_budget(budget_usd: float, budget_share: float) -> float:
    """A part of a budget, or more than all of it [$].

    Args:
        budget_usd: what may be spent [$].
        budget_share: how much of it.

    Raises:
        OutsideRange: no such budget or share.
    """
    return budget_usd * budget_share


@formula(
    "acres of each plot times what an acre of it costs at the seeding factor",
    unit="usd",
    source="definition",
    basis="definition",
    lookup=True,
)
def sum_of_costs(acres_ac: Sequence[float], each_usd_ac: Sequence[float]) -> float:
    """What a split of acres costs [$].

    Args:
        acres_ac: acres of each plot [ac].
        each_usd_ac: what an acre of each costs [$/ac].
    """
    return sum(a * c for a, c in zip(acres_ac, each_usd_ac, strict=True))

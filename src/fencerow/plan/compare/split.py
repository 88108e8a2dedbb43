"""A seeding factor and an acreage split for a budget, looked for on a stated grid.

The grid: every seeding factor of the table, and each plot left out, one step of acres fewer, as it
is, and one step more. Growth an acre comes from the model, once for each factor; a plain weekly
ledger of the whole tract then tells the points apart. What is picked is run in full beside the
other plans.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from fencerow.figure import Figure, Parts, assume, work, work_parts
from fencerow.plan.compare.body import Point, Suggestion
from fencerow.plan.compare.costs import fertilizer_cost, lime_cost, seed_costs
from fencerow.plan.compare.laid import laid_over
from fencerow.plan.forage.body import Forage
from fencerow.plan.forage.planner import forage
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder, order
from fencerow.plan.section import Section
from fencerow.science.forage import choice
from fencerow.science.forage.days import WEEKS
from fencerow.science.weather.series import Floats
from fencerow.tract.model import Kept
from fencerow.tract.tried import Alternative, Change, Spending
from fencerow.words import say

MOST_PLOTS = 4
"""Four ways on each of four plots, and three factors, are 768 points."""
NAMES = {"suggested": "compare-suggested", "runner-up": "compare-runner-up-name"}
BUDGETS = {"half": 0.5, "three-quarters": 0.75, "given": 1.0, "quarter-more": 1.25,
           "half-more": 1.5}  # fmt: skip
Ways = dict[str, Kept[Alternative]]


@dataclass(frozen=True)
class _Sown:
    """What one seeding factor comes to: an acre's growth by week, likely and at the least; cost."""

    factor: Figure
    growth: Mapping[str, Floats]
    little: Mapping[str, Floats]
    cost_ac: Mapping[str, float]


def suggest(
    given: Given, earlier: Mapping[str, Section], kept: Kept[Spending]
) -> tuple[Suggestion, Ways]:
    """The point picked for the budget and the next one, and both as alternatives to be run."""
    grid = _Grid(given, earlier, kept)
    budget = kept.figure("most_usd")
    points = assume(float(len(grid.points)), "count", "compare-grid")
    found = {name: grid.at(budget, share) for name, share in BUDGETS.items()}
    picked = found["given"][1]
    runner = grid.next_best(budget, picked) if picked is not None else None
    ways = {
        name: grid.way(point, name)
        for name, point in (("suggested", picked), ("runner-up", runner))
        if point is not None
    }
    suggestion = Suggestion(
        budget=budget,
        points=points,
        picked=grid.point(picked) if picked is not None else None,
        runner_up=grid.point(runner) if runner is not None else None,
        money={n: grid.point(i) for n, (_, i) in found.items() if i is not None},
        budgets={n: of for n, (of, i) in found.items() if i is not None},
    )
    return suggestion, ways


class _Grid:
    """The points, what each costs, what is eaten at each."""

    def __init__(self, given: Given, earlier: Mapping[str, Section], kept: Kept[Spending]) -> None:
        self.given, self.earlier, self.kept = given, earlier, kept
        self.orders: Mapping[str, PlotOrder] = earlier["order"].body
        self.base: Forage = earlier["forage"].body
        self.places = self._places()
        others = [p for p in self.orders if p not in self.places]
        self.fixed: float = sum(
            self._cost_ac(self.orders, p) * self.orders[p].acres.number() for p in others
        )
        self.sown = [self._sown(row.figure("factor")) for row in given.tables["seeding_factors"]]
        step = kept.body.step_ac
        acres = [self._levels(place, step) for place in self.places]
        self.points = [(s, split) for s in self.sown for split in product(*acres)]
        self.costs = [self._cost(s, split) for s, split in self.points]
        self.parts = self._eaten("growth", "likely", "likely")
        self.hard = self._eaten("little", "low", "high")

    def at(self, budget: Figure, share: float) -> tuple[Figure, int | None]:
        """A share of the budget, and the point that is picked for it."""
        times = assume(share, "share", "compare-part")
        of = work(choice.part_of_budget, budget_usd=budget, budget_share=times)
        return of, self._pick(of.number(), range(len(self.points)))

    def next_best(self, budget: Figure, picked: int) -> int | None:
        """The point to pick if the first could not be: with another split of acres."""
        split = self.points[picked][1]
        others = [i for i, (_, acres) in enumerate(self.points) if acres != split]
        return self._pick(budget.number(), others)

    def _pick(self, budget: float, of: Sequence[int]) -> int | None:
        least = self._setting("least difference").number()
        likely, hard = self.parts.result, self.hard.result
        found = choice.pick(
            costs_usd=[self.costs[i] for i in of],
            eaten_lb=[likely[i] for i in of],
            hard_lb=[hard[i] for i in of],
            budget_usd=budget,
            least_share=least,
        )
        return None if found is None else of[found]

    def point(self, number: int) -> Point:
        """A point as figures."""
        sown, split = self.points[number]
        step = self.kept.figure("step_ac")
        acres = {
            p: work(choice.acres_with, area_ac=self.orders[p].acres,
                    more_ac=Figure(a - self.orders[p].acres.number(), "ac", step.origin))
            for p, a in zip(self.places, split, strict=True)
        }  # fmt: skip
        cost = work_parts(
            choice.sum_of_costs,
            {"factor": sown.factor, **{self.orders[p].name: a for p, a in acres.items()}},
            acres_ac=[*split, 1.0],
            each_usd_ac=[*(sown.cost_ac[p] for p in self.places), self.fixed],
        )
        return Point(
            factor=sown.factor,
            acres=acres,
            cost=cost.figure(lambda usd: usd, "usd"),
            eaten=self.parts.figure(lambda all_: float(all_[number]), "lb"),
            hard=self.hard.figure(lambda all_: float(all_[number]), "lb"),
        )

    def way(self, number: int, name: str) -> Kept[Alternative]:
        """A point as an alternative, so that it can be run in full."""
        sown, split = self.points[number]
        changes = [Change(what="seeding factor", factor=sown.factor.number())]
        for place, acres in zip(self.places, split, strict=True):
            more = acres - self.orders[place].acres.number()
            if acres <= 0:
                changes += [
                    Change(what="leave out", planting=p)
                    for p, o in self.orders[place].plantings.items()
                    if o.stage == "establish"
                ]
            elif abs(more) > 1e-9:
                changes.append(Change(what="acres", place=place, more_ac=more))
        body = Alternative(name=say(NAMES[name]), changes=tuple(changes))
        return Kept(name, self.kept.entry, body, self.kept.on, self.kept.visibility)

    # ---- within

    def _places(self) -> list[str]:
        """The plots that are sown this year, the largest first, of those named."""
        wanted = self.kept.body.places
        found = [
            p
            for p, o in self.orders.items()
            if (not wanted or p in wanted)
            and p in self.base.plots
            and any(n.stage == "establish" for n in o.plantings.values())
        ]
        return sorted(found, key=lambda p: -self.orders[p].acres.number())[:MOST_PLOTS]

    def _levels(self, place: str, step: float) -> tuple[float, ...]:
        acres = self.orders[place].acres.number()
        return tuple(dict.fromkeys((0.0, max(0.0, acres - step), acres, acres + step)))

    def _sown(self, factor: Figure) -> _Sown:
        """Growth and cost an acre at a seeding factor."""
        body = Alternative(
            name="grid", changes=(Change(what="seeding factor", factor=factor.number()),)
        )
        kept = Kept("grid", self.kept.entry, body)
        laid = laid_over(self.given, self.earlier["ground"], kept)
        plots = order(laid.given, {"ground": laid.ground}).body
        made = forage(laid.given, {"ground": laid.ground, "learned": self.earlier["learned"]}).body
        return _Sown(
            factor,
            {p: _weekly(made, p, "likely") for p in made.plots},
            {p: _weekly(made, p, "low") for p in made.plots},
            {p: self._cost_ac(plots, p) for p in self.places},
        )

    def _cost_ac(self, plots: Mapping[str, PlotOrder], place: str) -> float:
        """What an acre of a plot costs; what is not known counts for nothing, and is said."""
        costs = [c for _, c in seed_costs(self.given, plots, place)]
        costs += [fertilizer_cost(self.given, plots[place]), lime_cost(self.given, plots[place])]
        return sum(c.number() for c in costs if c.known) / plots[place].acres.number()

    def _cost(self, sown: _Sown, split: Sequence[float]) -> float:
        """What the whole plan costs: the plots of the grid, and the others as they are."""
        return self.fixed + choice.sum_of_costs(split, [sown.cost_ac[p] for p in self.places])

    def _eaten(self, grows: str, forage_case: str, deer_case: str) -> Parts[Any]:
        """What deer eat at each point by the plain ledger."""
        others = [p for p in self.base.plots if p not in self.places]
        growth = np.zeros((len(self.points), WEEKS))
        for row, (sown, split) in enumerate(self.points):
            for place in others:
                growth[row] += getattr(sown, grows)[place] * self.base.plots[place].acres.number()
            for place, acres in zip(self.places, split, strict=True):
                growth[row] += getattr(sown, grows)[place] * acres
        usable = self.given.tables["forage_shares"].row("usable").figure(f"{forage_case}_share")
        keep = self._setting("a week leaves")
        return work_parts(
            choice.eaten_by_grid,
            {"usable_share": usable, "keep_share": keep},
            growth_lb=growth,
            asked_lb=[a or 0.0 for a in getattr(self.base.asked, deer_case)],
            keep_share=keep.number(),
            usable_share=usable.number(),
        )

    def _setting(self, what: str) -> Figure:
        return self.given.tables["compare_settings"].row(what).figure("value_share")


def _weekly(made: Forage, place: str, case: str) -> Floats:
    """What a plot grows an acre in each week."""
    rows = [
        [7 * (a or 0.0) for a in getattr(p.growth, case)]
        for p in made.plots[place].plantings.values()
    ]
    out: Floats = np.array(rows, dtype=float).reshape(-1, WEEKS).sum(axis=0)
    return out

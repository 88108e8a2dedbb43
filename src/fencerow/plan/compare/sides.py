"""One plan of several: its year, its plots and its cost, and what differs from the record's."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from fencerow.figure import Figure, not_known, work, work_parts
from fencerow.plan.compare.body import Against, Bare, Costs, Side
from fencerow.plan.compare.costs import costs_of_plan
from fencerow.plan.compare.laid import Laid
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.forage.planner import forage
from fencerow.plan.forage.series import CASES, Range, Weekly
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Learned
from fencerow.plan.order.planner import order
from fencerow.plan.section import Section
from fencerow.science.forage import choice
from fencerow.words import Message

BARE_LB_AC = 25.0
"""Below this much there is nothing to count."""


def side_of(
    name: str, laid: Laid, learned: Section, least: Figure, base: Side | None = None
) -> Side:
    """A plan as it would come out; run with the same years, deer and growth as every other."""
    plots = order(laid.given, {"ground": laid.ground}).body
    made = forage(laid.given, {"ground": laid.ground, "learned": learned}).body
    return side_from(name, laid, made, costs_of_plan(laid.given, plots), learned, least, base)


def side_from(
    name: str, laid: Laid, made: Forage, costs: Costs, learned: Section, least: Figure,
    base: Side | None = None,
) -> Side:  # fmt: skip
    """The side that sections which are there already come to."""
    assert made.year is not None
    eaten = made.year.eaten
    return Side(
        name=name,
        changes=laid.changes,
        eaten=eaten,
        runs=made.year.runs,
        weeks_short=made.year.weeks_short,
        weekly=made.eaten,
        short=made.short,
        standing=made.standing,
        months={month: found.eaten for month, found in made.months.items()},
        bare={p: _bare(laid.given, p, plot, learned.body, least) for p, plot in made.plots.items()},
        costs=costs,
        per_ton=_per_ton(costs.total, eaten),
        against=_against(laid.given, eaten, made.year.runs, costs, base) if base else None,
    )


def _per_ton(cost: Figure, eaten: Range) -> Range | None:
    if not cost.known or eaten.low.number() < 1:
        return None
    by = {"low": eaten.high, "likely": eaten.likely, "high": eaten.low}
    found = (work(choice.cost_per_ton, cost_usd=cost, eaten_lb=by[c]) for c in CASES)
    return Range(*found)


def _against(
    given: Given, eaten: Range, runs: tuple[float, ...], costs: Costs, base: Side
) -> Against:
    least = given.tables["compare_settings"].row("least difference").figure("value_share")
    inputs = {f"this {c}": eaten.of(c) for c in CASES}
    inputs |= {f"record {c}": base.eaten.of(c) for c in CASES}
    apart = work_parts(choice.gap, inputs, others_lb=runs, bases_lb=base.runs)
    told = work_parts(
        choice.told_apart,
        {**inputs, "least_share": least},
        others_lb=runs,
        bases_lb=base.runs,
        least_share=least.number(),
    )
    more = work(choice.costs_more, other_usd=costs.total, base_usd=base.costs.total)
    if costs.missing != base.costs.missing:
        more = not_known("usd", more.origin, "compare-prices-differ")
    differs = Range(
        apart.figure(lambda g: g.low, "lb"),
        apart.figure(lambda g: g.likely, "lb"),
        apart.figure(lambda g: g.high, "lb"),
    )
    return Against(differs, more, told.figure(str, "text"))


# ---- when a plot is eaten down


def _bare(given: Given, place: str, plot: ForagePlot, learned: Learned, least: Figure) -> Bare:
    found = {case: _below(plot, case, least) for case in ("likely", "low")}
    why = None
    if place in learned.unseen and _stands(given, plot):
        days = learned.unseen[place]
        why = Message.of("compare-not-counted", days=f"{days.number():.0f}")
    return Bare(plot.name, found["likely"], found["low"], why)


def _stands(given: Given, plot: ForagePlot) -> bool:
    """Whether there is anything to count on the day of the plan."""
    found = [p.standing for p in plot.plantings.values()]
    at = [w.likely[w.week_of(given.as_of) or 0] or 0.0 for w in found]
    return sum(at) > BARE_LB_AC


def _below(plot: ForagePlot, case: str, least: Figure) -> Figure:
    weeks = [p.standing for p in plot.plantings.values() if p.standing.reason is None]
    stands = [sum(each) for each in zip(*(_known(w, case) for w in weeks), strict=True)]
    inputs: Mapping[str, Figure] = {
        p.blend: p.year_growth.of(case) for p in plot.plantings.values() if p.year_growth
    }
    parts = work_parts(
        choice.first_below, {**inputs, "stated_lb_ac": least},
        standing_lb_ac=stands, stated_lb_ac=least.number(),
    )  # fmt: skip
    found = parts.figure(lambda week: None if week is None else _day(weeks[0], week), "date")
    if found.known:
        return found
    there = max(stands, default=0.0) >= least.number()
    why = Message.of("compare-never" if there else "compare-not-there")
    return Figure(None, "date", found.origin, why)


def _known(weekly: Weekly, case: str) -> list[float]:
    return [amount or 0.0 for amount in getattr(weekly, case)]


def _day(weekly: Weekly, week: int) -> date:
    return weekly.start + timedelta(weeks=week)

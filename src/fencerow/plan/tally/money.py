"""Money: what each plot costs as planned and as paid, by the acre and by the ton.

A bill that names no place is shared by all plots that are sown or kept this year, by their acres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from fencerow.figure import Figure, not_known, work, work_parts
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.forage.series import CASES, Range
from fencerow.plan.graph import Given
from fencerow.plan.ground import GroundPlace
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.costs import sum_lb, sum_usd
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.tally.hours import Worked, worked_hours
from fencerow.science.forage import choice
from fencerow.science.herd import tally
from fencerow.science.soil import materials, totals
from fencerow.tract.model import Kept
from fencerow.tract.paid import GROWING, Paid


@dataclass(frozen=True)
class PlotMoney:
    """One plot: what it costs as planned, by what was spread, and as paid; what a ton comes to.

    `spread` is what was put on it, by the pound at the price on hand. A ton is reckoned on what was
    paid where the record has a bill for it and all is sown, else on the plan; `by` says which.
    """

    name: str
    acres: Figure
    planned: Figure | None
    planned_ac: Figure | None
    spread: Figure | None
    paid: Figure | None
    paid_ac: Figure | None
    by: str
    per_ton_grown: Range | None
    per_ton_eaten: Range | None


@dataclass(frozen=True)
class Bought:
    """One kind of thing: what the plan would buy of it in whole packages, and what was paid."""

    planned: Figure | None
    paid: Figure | None


@dataclass(frozen=True)
class Money:
    """The tract's year in money and hours."""

    starts: date
    plots: Mapping[str, PlotMoney]
    bought: Mapping[str, Bought]
    planned: Figure
    paid: Figure | None
    budget_left: Figure | None
    hours: Worked = field(default_factory=Worked)


def money_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What the year costs, and what it took."""
    bills = bills_of(given, given.as_of)
    buying: Buying = earlier["buy"].body
    paid = sum_bills(bills) if bills else None
    body = Money(
        starts=year_of(given.tract, given.as_of)[0],
        plots=dict(_plots(given, earlier, bills)),
        bought=dict(_bought(buying, bills)),
        planned=buying.total,
        paid=paid,
        budget_left=_left(given, paid),
        hours=worked_hours(given, earlier),
    )
    return Section("money", body, tuple(_said(given, body)))


def bills_of(given: Given, day: date) -> list[Kept[Paid]]:
    """What was paid in the tract's year that holds a day, the first first."""
    start, end = year_of(given.tract, day)
    last = min(end, given.as_of)
    found = [p for p in given.tract.paid.values() if start <= p.body.on <= last]
    return sorted(found, key=lambda p: (p.body.on, p.id))


def sum_bills(bills: Iterable[Kept[Paid]]) -> Figure:
    """What some bills come to."""
    return sum_usd({f"{b.body.bought}, {b.body.on}, {b.id}": b.figure("paid_usd") for b in bills})


def _bought(buying: Buying, bills: list[Kept[Paid]]) -> Iterator[tuple[str, Bought]]:
    kinds = dict.fromkeys([*(p.kind for p in buying.purchases.values()),
                           *(b.body.bought for b in bills)])  # fmt: skip
    for kind in kinds:
        costs: dict[str, Figure] = {}
        for id_, p in buying.purchases.items():
            if p.kind == kind:
                costs[f"{p.name} {id_}"] = p.cost
                if p.delivery is not None:
                    costs[f"delivery of {p.name} {id_}"] = p.delivery
        own = [b for b in bills if b.body.bought == kind]
        yield kind, Bought(sum_usd(costs) if costs else None, sum_bills(own) if own else None)


def _left(given: Given, paid: Figure | None) -> Figure | None:
    about = given.tract.about
    if about.body.budget_usd is None or paid is None:
        return None
    return work(totals.budget_left, budget_usd=about.figure("budget_usd"), cost_usd=paid)


# ---- plot by plot


def _plots(
    given: Given, earlier: Mapping[str, Section], bills: list[Kept[Paid]]
) -> Iterator[tuple[str, PlotMoney]]:
    places: Mapping[str, GroundPlace] = earlier["ground"].body
    buying: Buying = earlier["buy"].body
    forage: Forage = earlier["forage"].body
    acres = {p.id: a for p in given.tract.plots() if (a := places[p.id].acres) is not None}
    used = {p: a for p, a in acres.items() if plantings_in(given.tract, p, given.as_of)}
    for plot in given.tract.plots():
        if plot.id not in acres:
            continue
        paid = _paid_on(plot.id, acres, used, bills)
        planned = buying.plot_cost.get(plot.id)
        cost = paid if paid is not None and _all_sown(given, plot.id) else planned
        yield plot.id, PlotMoney(
            name=plot.body.name,
            acres=acres[plot.id],
            planned=planned,
            planned_ac=buying.plot_cost_ac.get(plot.id),
            spread=_spread(given, plot.id),
            paid=paid,
            paid_ac=None if paid is None
            else work(totals.cost_per_acre, cost_usd=paid, area_ac=acres[plot.id]),
            by="" if cost is None else "paid" if cost is paid else "planned",
            per_ton_grown=_grown(cost, forage.plots.get(plot.id)),
            per_ton_eaten=_eaten(cost, forage.plots.get(plot.id)),
        )  # fmt: skip


def _all_sown(given: Given, place: str) -> bool:
    """Whether all that is sown on a plot this year is in the ground, so that no bill is to come."""
    sown = [p for p in plantings_in(given.tract, place, given.as_of) if p.body.stage == "establish"]
    return all(p.body.sow_on <= given.as_of for p in sown)


def _paid_on(
    place: str, acres: Mapping[str, Figure], used: Mapping[str, Figure], bills: list[Kept[Paid]]
) -> Figure | None:
    """A plot's part of the bills for what goes on it; None where there is none."""
    parts: dict[str, Figure] = {}
    for bill in bills:
        if bill.body.bought not in GROWING:
            continue
        named = {p: acres[p] for p in bill.body.places if p in acres} or dict(used)
        if place not in named:
            continue
        amount, name = bill.figure("paid_usd"), f"{bill.body.bought}, {bill.body.on}, {bill.id}"
        parts[name] = amount if len(named) == 1 else work(
            tally.part_by_area, paid_usd=amount, area_ac=named[place], all_ac=sum_acres(named)
        )  # fmt: skip
    return sum_usd(parts) if parts else None


def sum_acres(named: Mapping[str, Figure]) -> Figure:
    """The acres of some places together."""
    known = {name: f for name, f in named.items() if f.known}
    return work_parts(
        tally.total_acres, known, each_ac=[f.number() for f in known.values()]
    ).figure(lambda ac: ac, "ac")


def _spread(given: Given, place: str) -> Figure | None:
    """What the lime and fertilizer cost that the record says was spread here this year."""
    start, end = year_of(given.tract, given.as_of)
    costs: dict[str, Figure] = {}
    for kept in given.tract.applications.values():
        body = kept.body
        material = given.tract.materials.get(body.material)
        if body.place != place or not start <= body.on <= end or material is None:
            continue
        name = f"{material.body.name}, {body.on}, {kept.id}"
        if body.rate is None or body.area_ac is None or material.body.price_usd is None:
            costs[name] = not_known("usd", kept.figure("rate", unit="lb_ac").origin,
                                    "money-spread-unpriced")  # fmt: skip
            continue
        used = work(
            materials.total_for_area,
            rate_lb_ac=kept.figure("rate", unit=body.rate_unit),
            area_ac=kept.figure("area_ac"),
        )
        costs[name] = work(
            totals.cost_of_share,
            used_lb=used,
            package_lb=material.figure("package_lb"),
            price_usd=material.figure("price_usd"),
        )
    return sum_usd(costs) if costs else None


# ---- by the ton


def _grown(cost: Figure | None, plot: ForagePlot | None) -> Range | None:
    """What a ton costs that grows, over all plantings of a plot; the more grows, the less."""
    return _by_ton(cost, plot, "year_growth", tally.cost_per_ton_grown, "grown_lb")


def _eaten(cost: Figure | None, plot: ForagePlot | None) -> Range | None:
    """What a ton costs that deer eat; None where what they eat is not known."""
    return _by_ton(cost, plot, "year_eaten", choice.cost_per_ton, "eaten_lb")


def _by_ton(
    cost: Figure | None, plot: ForagePlot | None, name: str, per: Callable[..., float], by: str
) -> Range | None:
    if cost is None or plot is None:
        return None
    found = {}
    for case in CASES:
        ranges = {p.blend: getattr(p, name) for p in plot.plantings.values()}
        each = {b: r.of(case) for b, r in ranges.items() if r is not None}
        if not each or not all(f.known for f in each.values()):
            return None
        found[case] = work(per, cost_usd=cost, **{by: sum_lb(each)})
    return Range(found["high"], found["likely"], found["low"])


def _said(given: Given, body: Money) -> Iterator[Said]:
    if body.paid is None:
        yield Said.of(Weight.ASK, "money", "money-none-paid")
    elif any(not b.body.places for b in given.tract.paid.values()):
        yield Said.of(Weight.NOTE, "money", "money-shared")
    if not any(h.done is not None for h in body.hours.tasks.values()):
        yield Said.of(Weight.ASK, "money", "money-no-hours")
    if any(p.per_ton_grown is not None for p in body.plots.values()):
        yield Said.of(Weight.NOTE, "money", "money-ton-year")
    if not any(p.per_ton_eaten is not None for p in body.plots.values()):
        yield Said.of(Weight.DOUBT, "money", "money-no-eaten")

"""What a plan costs by the pound: seed, fertilizer, lime, fences and repellents.

No bag is rounded up, so that half an acre more is never free; the order says what is to be bought.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure, assume, not_known, work, work_parts
from fencerow.plan.compare.body import Costs
from fencerow.plan.graph import Given
from fencerow.plan.order.costs import sum_usd
from fencerow.plan.order.needs import needs_of
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.span import year_of
from fencerow.science.forage import choice
from fencerow.science.soil import totals
from fencerow.science.soil.offers import NUTRIENTS

Plots = Mapping[str, PlotOrder]


def costs_of_plan(given: Given, plots: Plots) -> Costs:
    """What the orders of the plots come to."""
    each = {
        "seed": {name: cost for p in plots for name, cost in seed_costs(given, plots, p)},
        "fertilizer": {o.name: fertilizer_cost(given, o) for o in plots.values()},
        "lime": {o.name: lime_cost(given, o) for o in plots.values()},
        "protection": dict(_protection(given)),
    }
    parts = {name: _known(costs) for name, costs in each.items()}
    missing = [c.reason for costs in each.values() for c in costs.values() if c.reason is not None]
    return Costs(**parts, total=sum_usd(parts), missing=tuple(dict.fromkeys(missing)))


def _known(costs: Mapping[str, Figure]) -> Figure:
    """The sum of the costs that are known."""
    return sum_usd({name: cost for name, cost in costs.items() if cost.known})


def seed_costs(given: Given, plots: Plots, place: str) -> Iterator[tuple[str, Figure]]:
    """The seed of a plot, line by line."""
    order = plots[place]
    for id_, planting in order.plantings.items():
        for species, line in planting.seed.species.items() if planting.seed else ():
            if line.need.known and not line.need.number():
                continue
            lot = given.tract.seed_lots.get(line.lot)
            name = f"{order.name} {planting.blend} {id_} {species}"
            if lot is None or lot.body.price_usd is None:
                yield name, not_known("usd", line.need.origin, "compare-no-price", name=line.common)
                continue
            yield (
                name,
                work(
                    totals.cost_of_share,
                    used_lb=line.need,
                    package_lb=lot.figure("bag_lb", "on the tag"),
                    price_usd=lot.figure("price_usd"),
                ),
            )


def lime_cost(given: Given, order: PlotOrder) -> Figure:
    """The lime of a plot, by the pound."""
    if order.lime is None or not order.lime.known or order.lime.number() <= 0:
        return assume(0.0, "usd", "compare-none-asked")
    material = given.tract.materials.get(order.liming.material) if order.liming else None
    if material is None or material.body.price_usd is None:
        return not_known("usd", order.lime.origin, "compare-no-lime")
    return work(
        totals.cost_of_share,
        used_lb=order.lime,
        package_lb=material.figure("package_lb"),
        price_usd=material.figure("price_usd"),
    )


def fertilizer_cost(given: Given, order: PlotOrder) -> Figure:
    """The fertilizer of a plot: the least cost of what it asks for, out of what is on offer."""
    needs = needs_of(order, given.tables)
    asks = needs.asks() if needs else {}
    if not asks:
        return assume(0.0, "usd", "compare-none-asked")
    sold = [
        k for k in given.tract.materials.values()
        if k.body.form == "fertilizer" and k.body.price_usd is not None
    ]  # fmt: skip
    named = {k.body.name: k.figure("price_usd") for k in sold}
    parts = work_parts(
        choice.cost_by_the_pound,
        {**asks, **named},
        needs_lb=[asks[n].number() if n in asks else 0.0 for n in NUTRIENTS],
        contents_share=[[getattr(k.body, f"{n}_pct") / 100 for n in NUTRIENTS] for k in sold],
        prices=[(k.body.price_usd or 0.0) / k.body.package_lb for k in sold],
    )
    cost = parts.figure(lambda usd: usd, "usd")
    return cost if cost.known else not_known("usd", cost.origin, "compare-no-fertilizer")


def _protection(given: Given) -> Iterator[tuple[str, Figure]]:
    start, end = year_of(given.tract, given.as_of)
    for kept in given.tract.plantings.values():
        if kept.body.protection != "none" and start <= kept.body.sow_on <= end:
            yield kept.id, kept.figure("protection_usd")

"""What is to be done on each place: what, why, how much, when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.packet.written.blocks import Part, marked
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.plan.plan import Plan
from fencerow.plan.section import Weight
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.tally.plots import WorkedOut
from fencerow.plan.work.planner import WorkPlan
from fencerow.words import name_of, say

Row = tuple[str, ...]


def prescriptions(plan: Plan, hidden: frozenset[str], money: bool) -> Part:
    """Each plot, then each native-grass field, firebreak and route that is worked on."""
    part = Part("prescriptions", say("written-prescriptions"))
    part.p("written-daggers")
    orders: Mapping[str, PlotOrder] = plan.sections["order"].body
    for place, order in orders.items():
        if place not in hidden:
            _plot(plan, part, place, order, money)
    _others(plan, part, hidden, set(orders))
    return part


def _plot(plan: Plan, part: Part, place: str, order: PlotOrder, money: bool) -> None:
    part.head(order.name)
    buying: Buying = plan.sections["buy"].body
    for planting in order.plantings.values():
        kept = planting.seed is None
        message = "written-kept" if kept else "written-sown"
        part.also(message, blend=planting.blend, day=planting.sow_on, acres=order.acres)
    if not order.plantings:
        part.also("written-nothing-sown", acres=order.acres)
    _why(plan, part, place, order)
    if money and place in buying.plot_cost:
        part.also("written-cost", cost=buying.plot_cost[place], by_area=buying.plot_cost_ac[place])
    part.table(_rates(plan, place, order))
    for said in plan.sections["order"].said:
        if said.about == place and said.weight in (Weight.STOPPED, Weight.ASK):
            part.caution(f"{name_of(said.weight.value)}: {said.message}")


def _why(plan: Plan, part: Part, place: str, order: PlotOrder) -> None:
    """Why lime is asked for, and what the plot came to last year."""
    if order.liming is not None and order.target_ph is not None:
        test = plan.given.tract.soil_test_of(place, plan.given.as_of)
        if test is not None and order.liming.need.known and order.liming.need.number() > 0:
            part.also("written-why-lime", ph=f"{test.body.ph:g}", target=order.target_ph)
        elif test is not None:
            part.also("written-no-lime", ph=f"{test.body.ph:g}", target=order.target_ph)
    body: WorkedOut = plan.sections["worked"].body
    for found in body.plots.values():
        if found.place == place and found.verdict.known:
            part.also("written-worked", year=found.year, verdict=name_of(str(found.verdict.value)),
                   why="; ".join(str(m) for m in found.why))  # fmt: skip
            part.figures.append(found.verdict)


def _rates(plan: Plan, place: str, order: PlotOrder) -> Ruled:
    rows = [*_spread(plan, place), *(r for p in order.plantings.values() for r in _seed(p))]
    heads = columns("material+", "rate#", "in-all#", "how", "by#", of="written-")
    return Ruled(heads, tuple(rows))


def _spread(plan: Plan, place: str) -> Iterator[Row]:
    buying: Buying = plan.sections["buy"].body
    orders: Mapping[str, PlotOrder] = plan.sections["order"].body
    liming, first = orders[place].liming, None
    for planting in orders[place].plantings.values():
        first = first or (planting.sow_on if planting.seed is not None else None)
    for line in buying.spread.get(place, {}).values():
        by = liming.spread_by if line.kind == "lime" and liming is not None else first
        how = (
            say("written-worked-in") if line.kind == "lime" and liming and liming.worked_in else ""
        )
        yield (line.name, marked(line.rate), marked(line.lb), how, marked(by))


def _seed(planting: PlantingOrder) -> Iterator[Row]:
    for line in planting.seed.species.values() if planting.seed else ():
        yield (
            say("written-seed", species=line.common),
            marked(line.rate),
            marked(line.need),
            name_of(planting.method),
            marked(planting.sow_on),
        )


def _others(plan: Plan, part: Part, hidden: frozenset[str], plots: set[str]) -> None:
    """Places that are no plots, and what the year asks for on them."""
    body: WorkPlan = plan.sections["work"].body
    by_place: dict[str, list[Row]] = {}
    for job in body.jobs.values():
        if job.place in plots or job.place in hidden or job.place not in plan.given.tract.places:
            continue
        row = (job.name, str(job.what), marked(job.hours), marked(job.by))
        by_place.setdefault(job.place, []).append(row)
    rows = tuple(r for found in by_place.values() for r in found)
    if rows:
        part.head(say("written-others"))
        part.table(Ruled(columns("place", "work+", "hours#", "by#", of="written-"), rows))

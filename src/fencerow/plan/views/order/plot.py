"""One sheet for each plot: what goes on it, what is sown, when, and what it asks for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief
from fencerow.plan.views.order.asks import asks_table
from fencerow.plan.views.order.seed import seed_table
from fencerow.plan.views.order.spread import spread_table
from fencerow.plan.views.seed_lots import waits_table
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.words import name_of, say, value_of
from fencerow.words.days import month_text


def plot_sheets(plan: Plan) -> Iterator[Sheet]:
    orders: dict[str, PlotOrder] = plan.sections["order"].body
    buying: Buying = plan.sections["buy"].body
    said_of = defaultdict[str, list[Said]](list)
    for each in plan.said():
        said_of[each.about].append(each)
    for plot in plan.given.tract.plots():
        order = orders.get(plot.id)
        if order is None:
            continue
        test = plan.given.tract.soil_test_of(plot.id, plan.given.as_of)
        tables = [
            spread_table(buying.spread.get(plot.id, {}).values()),
            *(seed_table(p) for p in order.plantings.values() if p.seed),
            waits_table(plan, plot.id),
            _dates(order, buying.plot_cost.get(plot.id)),
            asks_table(order),
        ]
        under = _plot_under(plot, order, test)
        said = by_weight(said_of[plot.id])
        yield Sheet(f"plot.{plot.id}", order.name, under, tuple(tables), said)


def _plot_under(plot: Kept[Plot], order: PlotOrder, test: Kept[SoilTest] | None) -> str:
    parts = [
        brief(order.acres),
        *map(value_of, (plot.body.texture or "", plot.body.drainage or "")),
    ]
    if test is None:
        parts.append(say("view-no-test"))
        return ", ".join(p for p in parts if p)
    body = test.body
    read = [f"pH {body.ph:g}"]
    if body.buffer_ph is not None:
        read.append(say("view-buffer", ph=f"{body.buffer_ph:g}"))
    if body.p is not None:
        read.append(f"P {body.p:g} {name_of(body.p_unit)}")
    if body.k is not None:
        read.append(f"K {body.k:g} {name_of(body.k_unit)}")
    tested = say("view-test", day=month_text(body.sampled_on), read=", ".join(read))
    return ", ".join(p for p in parts if p) + ". " + tested


def _dates(order: PlotOrder, cost: Figure | None) -> Ruled:
    rows: list[tuple[str, ...]] = []
    if order.liming is not None and order.liming.spread_by is not None:
        rows.append((say("view-lime-on"), brief(order.liming.spread_by), _lime_note(order.liming)))
    first = order.liming.schedule.get("1") if order.liming is not None else None
    if first is not None:
        last = say("view-lime-acts-by", by=brief(first.acts_by))
        rows.append((say("view-lime-acts"), brief(first.acts_from), last))
    for planting in order.plantings.values():
        if planting.seed is not None:
            rows.append((say("view-sow"), brief(planting.sow_on), planting.blend))
    if cost is not None:
        rows.append((say("view-cost"), brief(cost), ""))
    return Ruled(columns("what", "when#", "note+"), tuple(rows), say("view-dates"))


def _lime_note(lime: LimeOrder) -> str:
    if lime.later.known and lime.later.number() > 0:
        return say("view-lime-later", later=brief(lime.later))
    return lime.material_name

"""The order as sheets: one for each plot, one of what to buy."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount, in_both
from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.plan.order.seed import SeedLine
from fencerow.plan.order.spreading import Spread
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark, value_text
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.units import convert
from fencerow.words import name_of, say


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
            _spread(buying.spread.get(plot.id, {}).values()),
            *(_seed(p) for p in order.plantings.values() if p.seed),
            _dates(order, buying.plot_cost.get(plot.id)),
            _asks(order),
        ]
        under = _plot_under(plot, order, test)
        said = by_weight(said_of[plot.id])
        yield Sheet(f"plot.{plot.id}", order.name, under, tuple(tables), said)


def _plot_under(plot: Kept[Plot], order: PlotOrder, test: Kept[SoilTest] | None) -> str:
    parts = [brief(order.acres), plot.body.texture or "", plot.body.drainage or ""]
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
    tested = say("view-test", day=f"{body.sampled_on:%b %Y}", read=", ".join(read))
    return ", ".join(p for p in parts if p) + ". " + tested


def _asks(order: PlotOrder) -> Ruled:
    rows: list[tuple[str, ...]] = []
    if order.target_ph is not None:
        decided = say("view-decided", species=order.decided_by) if order.decided_by else ""
        rows.append(_ask_row("target_ph", order.target_ph, decided))
    if order.liming is not None:
        rows.append(_ask_row("lime", order.liming.need, str(order.liming.method)))
    for planting in order.plantings.values():
        if planting.nutrients is not None:
            for nutrient, figure in planting.nutrients.each().items():
                rows.append(_ask_row(nutrient, figure, str(planting.nutrients.method)))
    return Ruled(columns("what", "need#", "by-whom+"), tuple(rows), say("view-asks"))


def _ask_row(name: str, figure: Figure, by: str) -> tuple[str, ...]:
    return (name_of(name), brief(figure) + unchecked_mark(figure), by)


def _spread(lines: Iterable[Spread]) -> Ruled:
    rows = tuple(
        (
            line.name,
            brief(line.lb) + unchecked_mark(line.lb),
            brief(line.rate),
            brief(line.patch),
            _loads(line),
        )
        for line in lines
    )
    heads = columns("material+", "in-all#", "rate#", "patch#", "loads")
    return Ruled(heads, rows, say("view-spread"))


def _loads(line: Spread) -> str:
    if not line.spreader or line.loads is None:
        return line.spreader
    count = f"{line.loads.number():.0f}" if line.loads.known else ""
    message = "view-load" if count == "1" else "view-loads"
    return Told(say(message, loads=count, spreader=line.spreader), line.loads)


def _seed(planting: PlantingOrder) -> Ruled:
    assert planting.seed is not None
    rows = tuple(_seed_row(line) for line in planting.seed.species.values())
    title = say("view-seed", blend=planting.blend, method=planting.method)
    return Ruled(columns("species+", "live#", "from-bag#", "depth", "inoculant"), rows, title)


def _seed_row(line: SeedLine) -> tuple[str, ...]:
    depth = ""
    if line.depth_low and line.depth_high:
        low, high = line.depth_low.number(), line.depth_high.number()
        words = str(Amount(low, "in", high, printed=True))
        depth = Told(words, line.depth_low) + unchecked_mark(line.depth_low)
    return (
        line.common,
        brief(line.rate) + unchecked_mark(line.rate),
        brief(line.need),
        depth,
        brief(line.inoculant) + (unchecked_mark(line.inoculant) if line.inoculant else ""),
    )


def _dates(order: PlotOrder, cost: Figure | None) -> Ruled:
    rows: list[tuple[str, ...]] = []
    if order.liming is not None and order.liming.spread_by is not None:
        rows.append((say("view-lime-on"), brief(order.liming.spread_by), _lime_note(order.liming)))
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


def buy_sheet(plan: Plan) -> Sheet:
    buying: Buying = plan.sections["buy"].body
    rows = [_purchase_row(p) for p in sorted(buying.purchases.values(), key=lambda p: p.kind)]
    if rows:
        rows.append((say("view-total"), "", "", "", brief(buying.total), ""))
    heads = columns("item+", "kind", "need#", "buy#", "cost#", "order-by#")
    by_plot = tuple(
        (plan.given.tract.places[p].body.name, brief(cost)) for p, cost in buying.plot_cost.items()
    )
    tables = [Ruled(heads, tuple(rows))]
    if by_plot:
        tables.append(Ruled(columns("place+", "cost#"), by_plot, say("view-cost-by-plot")))
    return Sheet("buy", say("view-buy"), say("view-buy-under"), tuple(tables),
                 plan.sections["buy"].said)  # fmt: skip


def _purchase_row(purchase: Purchase) -> tuple[str, ...]:
    packages = "" if not purchase.packages.known else _packages(purchase)
    return (
        purchase.name,
        name_of(purchase.kind),
        _need(purchase),
        packages,
        brief(purchase.cost),
        brief(purchase.order_by),
    )


def _need(purchase: Purchase) -> str:
    """A need in the unit that the thing is sold by."""
    need = purchase.need
    if not need.known or purchase.sold_by != "ton":
        return brief(need)
    return Told(value_text(convert(need.number(), need.unit, "ton"), "ton"), need)


def _packages(purchase: Purchase) -> str:
    """Whole packages as they are sold: a 50-lb bag holds 50 lb, whatever the person reads in."""
    if purchase.sold_by == "ton":
        size = in_both(purchase.packages.number(), "ton", printed=True)
        return Told(say("view-tons", size=size), purchase.packages)
    count = f"{purchase.packages.number():.0f}"
    size = in_both(purchase.package_lb.number(), "lb", printed=True)
    words = say("view-bags" if count != "1" else "view-bag", count=count, size=size)
    return Told(words, purchase.packages)

"""The plan as sheets: ruled tables and sentences, the same in the terminal, on paper, on a page.

Everything shown here is a figure of the plan, rounded once by `show`; nothing is computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from fencerow.figure import Figure
from fencerow.plan.ground import GroundPlace
from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.plan.order.seed import SeedLine
from fencerow.plan.order.spreading import Spread
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.show import brief, compass, unchecked_mark, value_text
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.units import convert
from fencerow.words import name_of, say


@dataclass(frozen=True)
class Column:
    """A column of a ruled table; numbers stand to the right, a wide column takes what is left."""

    name: str
    number: bool = False
    wide: bool = False


@dataclass(frozen=True)
class Ruled:
    """A ruled table: heads and rows of text."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""

    def without_blanks(self) -> Ruled:
        """The table without the columns in which no row says anything."""
        kept = [
            i for i in range(len(self.columns)) if not self.rows or any(r[i] for r in self.rows)
        ]
        rows = tuple(tuple(r[i] for i in kept) for r in self.rows)
        return Ruled(tuple(self.columns[i] for i in kept), rows, self.title)


@dataclass(frozen=True)
class Sheet:
    """One sheet of the plan: a title, a line under it, tables, sentences."""

    id: str
    title: str
    under: str
    tables: tuple[Ruled, ...]
    said: tuple[Said, ...]


def sheets(plan: Plan) -> list[Sheet]:
    """The sheets of a plan: the ground, one for each plot, what to buy."""
    found = [_ground(plan), *_plots(plan), _buy(plan)]
    return [replace(s, tables=tuple(t.without_blanks() for t in s.tables if t.rows)) for s in found]


def _columns(*names: str) -> tuple[Column, ...]:
    """Columns by message id: a trailing '#' marks numbers, a '+' the wide one."""
    return tuple(
        Column(say(f"head-{n.rstrip('#+')}"), n.endswith("#"), n.endswith("+")) for n in names
    )


def _said(plan: Plan, about: str) -> tuple[Said, ...]:
    order = ["stopped", "ask", "caution", "doubt", "note"]
    found = [s for s in plan.said() if s.about == about]
    return tuple(sorted(found, key=lambda s: order.index(s.weight.value)))


# ---- the ground


def _ground(plan: Plan) -> Sheet:
    places: dict[str, GroundPlace] = plan.sections["ground"].body
    rows = tuple(_place_row(p) for p in places.values())
    table = Ruled(
        _columns("place+", "kind", "acres#", "around#", "slope#", "faces", "tested"), rows
    )
    permissions = tuple((p.name, text) for p in places.values() for text in p.permissions)
    tables = [table]
    if permissions:
        columns = _columns("place", "permission+")
        tables.append(Ruled(columns, permissions, say("view-permissions")))
    plots = {k.id for k in plan.given.tract.plots()}
    said = tuple(s for s in plan.sections["ground"].said if s.about not in plots)
    return Sheet("ground", say("view-ground"), _ground_under(plan), tuple(tables), said)


def _ground_under(plan: Plan) -> str:
    places: dict[str, GroundPlace] = plan.sections["ground"].body
    whole = [p for p in places.values() if p.kind == "boundary"]
    plots = sum(p.kind == "plot" for p in places.values())
    if not whole:
        return say("view-plots", plots=plots)
    return say("view-acres", acres=brief(whole[0].acres), plots=plots)


def _place_row(place: GroundPlace) -> tuple[str, ...]:
    age = place.test_age
    return (
        place.name,
        place.kind,
        brief(place.acres),
        brief(place.perimeter or place.length),
        brief(place.slope),
        compass(place.aspect),
        say("view-months-ago", months=age.value) if age is not None and age.known else "",
    )


# ---- one plot


def _plots(plan: Plan) -> Iterator[Sheet]:
    orders: dict[str, PlotOrder] = plan.sections["order"].body
    buying: Buying = plan.sections["buy"].body
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
        said = _said(plan, plot.id)
        under = _plot_under(plot, order, test)
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
    return Ruled(_columns("what", "need#", "by-whom+"), tuple(rows), say("view-asks"))


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
    columns = _columns("material+", "in-all#", "rate#", "patch#", "loads")
    return Ruled(columns, rows, say("view-spread"))


def _loads(line: Spread) -> str:
    if not line.spreader or line.loads is None:
        return line.spreader
    count = f"{line.loads.number():.0f}" if line.loads.known else ""
    message = "view-load" if count == "1" else "view-loads"
    return say(message, loads=count, spreader=line.spreader)


def _seed(planting: PlantingOrder) -> Ruled:
    assert planting.seed is not None
    rows = tuple(_seed_row(line) for line in planting.seed.species.values())
    title = say("view-seed", blend=planting.blend, method=planting.method)
    return Ruled(_columns("species+", "live#", "from-bag#", "depth", "inoculant"), rows, title)


def _seed_row(line: SeedLine) -> tuple[str, ...]:
    depth = ""
    if line.depth_low and line.depth_high:
        low, high = line.depth_low.number(), line.depth_high.number()
        depth = f"{low:g} to {high:g} in" if low != high else f"{low:g} in"
        depth += unchecked_mark(line.depth_low)
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
    return Ruled(_columns("what", "when#", "note+"), tuple(rows), say("view-dates"))


def _lime_note(lime: LimeOrder) -> str:
    if lime.later.known and lime.later.number() > 0:
        return say("view-lime-later", later=brief(lime.later))
    return lime.material_name


# ---- what to buy


def _buy(plan: Plan) -> Sheet:
    buying: Buying = plan.sections["buy"].body
    rows = [_purchase_row(p) for p in sorted(buying.purchases.values(), key=lambda p: p.kind)]
    if rows:
        rows.append((say("view-total"), "", "", "", brief(buying.total), ""))
    columns = _columns("item+", "kind", "need#", "buy#", "cost#", "order-by#")
    by_plot = tuple(
        (plan.given.tract.places[p].body.name, brief(cost)) for p, cost in buying.plot_cost.items()
    )
    tables = [Ruled(columns, tuple(rows))]
    if by_plot:
        tables.append(Ruled(_columns("place+", "cost#"), by_plot, say("view-cost-by-plot")))
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
    return value_text(convert(need.number(), need.unit, "ton"), "ton")


def _packages(purchase: Purchase) -> str:
    count = f"{purchase.packages.number():.0f}"
    if purchase.sold_by == "ton":
        return say("view-tons", count=count)
    size = f"{purchase.package_lb.number():g}"
    return say("view-bags" if count != "1" else "view-bag", count=count, size=size)

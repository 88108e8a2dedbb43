"""The order as a CSV: a line for each thing to buy, in the trade's units."""

from __future__ import annotations

import csv
import io

from fencerow.figure import Figure
from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.order.purchase import by_supplier
from fencerow.plan.plan import Plan
from fencerow.plan.views.order.packages import analysis_text
from fencerow.units import convert

COLUMNS = (
    "supplier", "kind", "item", "grade", "need_lb", "on_hand_lb", "packages", "sold_by",
    "package_lb", "price_usd", "cost_usd", "delivery_usd", "left_lb", "needed_by", "order_by",
    "used_on",
)  # fmt: skip
_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def order_csv(plan: Plan) -> str:
    """The order of a plan, at full precision; what is not known is left blank.

    A cell that a spreadsheet would take for a formula begins with an apostrophe.
    """
    buying: Buying = plan.sections["buy"].body
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for some in by_supplier(buying.purchases).values():
        for id_, bought in some.items():
            writer.writerow([_safe(cell) for cell in _row(plan, id_, bought)])
    return out.getvalue()


def _row(plan: Plan, id_: str, bought: Purchase) -> tuple[str, ...]:
    tract = plan.given.tract
    kept = tract.materials.get(id_) or tract.seed_lots[id_]
    return (
        bought.supplier,
        bought.kind,
        bought.name,
        analysis_text(kept.body),
        _number(bought.need, "lb"),
        _number(bought.on_hand, "lb"),
        _number(bought.packages),
        bought.sold_by,
        _number(bought.package_lb),
        _number(bought.price),
        _number(bought.cost),
        _number(bought.delivery),
        _number(bought.left),
        _day(bought.needed_by),
        _day(bought.order_by),
        "; ".join(bought.used_on),
    )


def _number(figure: Figure | None, unit: str = "") -> str:
    if figure is None or not figure.known:
        return ""
    value = convert(figure.number(), figure.unit, unit) if unit else figure.number()
    return f"{value:.10g}"


def _day(figure: Figure | None) -> str:
    return "" if figure is None or not figure.known else str(figure.value)


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_A_FORMULA) else cell

"""What to buy for all plots together, and what each plot costs."""

from __future__ import annotations

from fencerow.manner import in_both
from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import Told, brief, value_text
from fencerow.units import convert
from fencerow.words import name_of, say


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

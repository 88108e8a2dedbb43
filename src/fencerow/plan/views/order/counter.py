"""A page for each supplier, to be handed over the counter: what, how many, of what analysis.

It names no plot and no place: it leaves the person's hands.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.order.costs import first_of
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import brief, value_text
from fencerow.plan.views.order.packages import analysis_text, by_supplier, packages_text
from fencerow.tract.model import slug_of
from fencerow.words import say


def counter_sheets(plan: Plan) -> Iterator[Sheet]:
    """One sheet for each supplier; for each kind of thing where no supplier is entered."""
    buying: Buying = plan.sections["buy"].body
    bought = {i: p for i, p in buying.purchases.items() if p.packages.value}
    asked: dict[tuple[str, str], dict[str, Purchase]] = {}
    for (kind, supplier), some in by_supplier(bought).items():
        asked.setdefault(("", supplier) if supplier else (kind, ""), {}).update(some)
    for (kind, supplier), some in asked.items():
        yield _sheet(plan, supplier or say(f"view-supplier-{kind}"), some)


def _sheet(plan: Plan, supplier: str, bought: dict[str, Purchase]) -> Sheet:
    by = first_of(p.order_by for p in bought.values())
    under = say("view-counter-no-day") if by is None else say("view-counter-under", day=brief(by))
    heads = columns("many#", "item+", "analysis", "each#", "cost#", "needed-by#", "got")
    rows = [_row(plan, id_, p) for id_, p in bought.items()]
    costs = [p.cost for p in bought.values()] + [p.delivery for p in bought.values() if p.delivery]
    brought = [p.delivery for p in bought.values() if p.delivery is not None]
    if brought:
        fee = value_text(sum(d.number() for d in brought), "usd")
        rows.append(("", say("view-counter-delivery"), "", "", fee, "", ""))
    if all(c.known for c in costs) and len(rows) > 1:
        total = value_text(sum(c.number() for c in costs), "usd")
        rows.append(("", say("view-counter-total"), "", "", total, "", ""))
    kinds = dict.fromkeys(p.kind for p in bought.values())
    id_ = f"counter.{slug_of(supplier)}"
    said = tuple(Said.of(Weight.NOTE, "", f"view-counter-{kind}") for kind in kinds)
    title = say("view-counter", supplier=supplier)
    return Sheet(id_, title, under, (Ruled(heads, tuple(rows)),), said)


def _row(plan: Plan, id_: str, bought: Purchase) -> tuple[str, ...]:
    tract = plan.given.tract
    kept = tract.materials.get(id_) or tract.seed_lots[id_]
    day = bought.needed_by.value if bought.needed_by is not None else None
    return (
        packages_text(bought),
        bought.name,
        analysis_text(kept.body),
        brief(bought.price) if bought.price.known else "",
        brief(bought.cost) if bought.cost.known else "",
        value_text(day, "date") if isinstance(day, date) else "",
        say("view-counter-box"),
    )

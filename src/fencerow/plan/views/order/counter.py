"""A page for each supplier, to be handed over the counter: what, how many, of what analysis.

It names no plot and no place: it leaves the person's hands.
"""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.plan.order.buying import Buying
from fencerow.plan.order.costs import first_of
from fencerow.plan.order.counters import Counter
from fencerow.plan.order.purchase import Purchase
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import brief
from fencerow.plan.views.order.packages import analysis_text, packages_text
from fencerow.words import say


def counter_sheets(plan: Plan) -> Iterator[Sheet]:
    """One sheet for each counter."""
    buying: Buying = plan.sections["buy"].body
    for id_, counter in buying.counters.items():
        bought = {i: buying.purchases[i] for i in counter.things}
        yield _sheet(plan, id_, counter, bought)


def _sheet(plan: Plan, id_: str, counter: Counter, bought: dict[str, Purchase]) -> Sheet:
    by = first_of(p.order_by for p in bought.values())
    under = say("view-counter-no-day") if by is None else say("view-counter-under", day=brief(by))
    heads = columns("many#", "item+", "analysis", "each#", "cost#", "needed-by#", "got")
    rows = [_row(plan, i, p) for i, p in bought.items()]
    if counter.delivery is not None:
        fee = brief(counter.delivery)
        rows.append(("", say("view-counter-delivery"), "", "", fee, "", ""))
    if counter.total.known and len(rows) > 1:
        total = brief(counter.total)
        rows.append(("", say("view-counter-total"), "", "", total, "", ""))
    kinds = dict.fromkeys(p.kind for p in bought.values())
    said = tuple(Said.of(Weight.NOTE, "", f"view-counter-{kind}") for kind in kinds)
    name = counter.supplier or say(f"view-supplier-{counter.kind}")
    table = Ruled(heads, tuple(rows))
    return Sheet(f"counter.{id_}", say("view-counter", supplier=name), under, (table,), said)


def _row(plan: Plan, id_: str, bought: Purchase) -> tuple[str, ...]:
    tract = plan.given.tract
    kept = tract.materials.get(id_) or tract.seed_lots[id_]
    return (
        packages_text(bought),
        bought.name,
        analysis_text(kept.body),
        brief(bought.price) if bought.price.known else "",
        brief(bought.cost) if bought.cost.known else "",
        brief(bought.needed_by),
        say("view-counter-box"),
    )

"""What to buy for all plots together, from whom, by when, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.manner import Amount
from fencerow.plan.order.buying import Buying, Purchase
from fencerow.plan.order.fertilizer import Compared, Habit
from fencerow.plan.order.purchase import by_supplier
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.plan.views.order.packages import need_text, packages_text
from fencerow.science.soil.offers import NUTRIENTS, nutrient_name
from fencerow.words import say


def buy_sheet(plan: Plan) -> Sheet:
    """The order of the whole tract: by supplier, in money, by plot, beside what else there is."""
    buying: Buying = plan.sections["buy"].body
    tables = [*_orders(buying), _money(buying), _by_plot(plan, buying)]
    if buying.compared is not None:
        tables += _beside(buying.compared)
    # what is said of each plot alike is said once here
    said = tuple({s.message: s for s in reversed(plan.sections["buy"].said)}.values())[::-1]
    return Sheet("buy", say("view-buy"), say("view-buy-under"), tuple(tables), by_weight(said))


def _orders(buying: Buying) -> Iterator[Ruled]:
    heads = columns("item+", "need#", "have#", "buy#", "cost#", "left#", "order-by#")
    for (kind, supplier), bought in by_supplier(buying.purchases).items():
        title = say(f"view-supplier-{kind}")
        if supplier:
            title = say("view-supplier", kind=title, supplier=supplier)
        yield Ruled(heads, tuple(_row(p) for p in bought.values()), title)


def _row(bought: Purchase) -> tuple[str, ...]:
    left = bought.left if bought.left.known and bought.left.number() >= 0.5 else None
    return (
        bought.name,
        need_text(bought),
        brief(bought.on_hand),
        packages_text(bought),
        brief(bought.cost),
        brief(left),
        brief(bought.order_by) if bought.packages.value else "",
    )


def _money(buying: Buying) -> Ruled:
    if not buying.purchases:
        return Ruled((), ())
    rows = [
        (say("view-money-used"), brief(buying.used)),
        (say("view-money-left"), brief(buying.left)),
    ]
    if buying.delivery.value:
        rows.append((say("view-money-delivery"), brief(buying.delivery)))
    rows.append((say("view-total"), brief(buying.total)))
    if buying.budget_left is not None:
        rows.append((say("view-money-budget"), brief(buying.budget_left)))
    return Ruled(columns("out-of+", "cost#"), tuple(rows), say("view-money"))


def _by_plot(plan: Plan, buying: Buying) -> Ruled:
    places = plan.given.tract.places
    rows = tuple(
        (places[p].body.name, brief(cost), brief(buying.plot_cost_ac[p]))
        for p, cost in buying.plot_cost.items()
    )
    return Ruled(columns("place+", "cost#", "per-acre#"), rows, say("view-cost-by-plot"))


def _beside(compared: Compared) -> Iterator[Ruled]:
    if compared.other_cost is None and compared.habit is None:
        return
    gap = compared.gap
    proof = (
        say("view-choice-proved") if not gap.value else say("view-choice-within", gap=brief(gap))
    )
    rows = [(say("view-choice-best"), brief(compared.cost), "", brief(compared.passes), proof)]
    if compared.other_cost is not None:
        remark = say("view-choice-other-is", names=compared.other)
        rows.append((say("view-choice-other"), brief(compared.other_cost),
                     brief(compared.other_more), brief(compared.other_passes), remark))  # fmt: skip
    saves = compared.lenient_saves
    if saves is not None and saves.number() > 0:
        cost = brief(compared.lenient_cost) + unchecked_mark(saves)
        rows.append((say("view-choice-lenient"), cost, Told(f"-{brief(saves)}", saves), "",
                     say("view-choice-lenient-is")))  # fmt: skip
    habit = compared.habit
    if habit is not None:
        remark = say("view-choice-habit-is", name=habit.name, rate=_rate(habit))
        cost = say("view-price-unknown") if habit.cost is None else brief(habit.cost)
        rows.append((say("view-choice-habit"), cost + unchecked_mark(habit.rate),
                     brief(habit.more), "", remark))  # fmt: skip
    heads = columns("choice", "cost#", "costs-more#", "passes#", "remark+")
    yield Ruled(heads, tuple(rows), say("view-choices"))
    if habit is not None:
        yield _habit(habit)


def _rate(habit: Habit) -> str:
    return Told(str(Amount(habit.rate.number(), habit.rate.unit, printed=True)), habit.rate)


def _habit(habit: Habit) -> Ruled:
    rows = tuple(
        (nutrient_name(n), brief(habit.over.get(n)), brief(habit.under.get(n)))
        for n in NUTRIENTS
        if n in habit.over or n in habit.under
    )
    title = say("view-habit", name=habit.name, rate=_rate(habit))
    return Ruled(columns("nutrient+", "over#", "under#"), rows, title)

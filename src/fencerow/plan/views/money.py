"""Money and hours as a sheet: cost by plot, acre and ton; what was paid; hours by task."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.forage.series import Range
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief
from fencerow.plan.tally.hours import NOBODY, TaskHours
from fencerow.plan.tally.money import Money, PlotMoney
from fencerow.words import name_of, say


def money_sheet(plan: Plan) -> Sheet:
    """The sheet of the section `money`."""
    section = plan.sections["money"]
    body: Money = section.body
    under = say(
        "money-view-under",
        planned=brief(body.planned),
        paid=brief(body.paid, say("money-view-nothing")),
    )
    if body.budget_left is not None:
        under = f"{under} {say('money-view-left', left=brief(body.budget_left))}"
    tables = (_plots(body), _bought(body), _hours(body), _people(body))
    return Sheet("money", say("money-view"), under, tables, by_weight(section.said))


def _plots(body: Money) -> Ruled:
    heads = columns("plot+", "acres#", "planned#", "planned-ac#", "spread#", "paid#", "paid-ac#",
                    "ton-grown#", "ton-eaten#", of="money-", unit=symbol("usd_ton"))  # fmt: skip
    rows = tuple(_plot(p) for p in body.plots.values())
    return Ruled(heads, rows, say("money-view-plots"))


def _plot(found: PlotMoney) -> tuple[str, ...]:
    return (
        found.name,
        brief(found.acres),
        brief(found.planned),
        brief(found.planned_ac),
        brief(found.spread),
        brief(found.paid),
        brief(found.paid_ac),
        _ton(found.per_ton_grown, found),
        _ton(found.per_ton_eaten, found),
    )


def _ton(found: Range | None, plot: PlotMoney) -> str:
    """Dollars a ton, from a good year to a poor one; to whole dollars."""
    if found is None:
        return say("unknown") if plot.by else ""
    told = [_dollars(f) for f in (found.low, found.likely, found.high)]
    return Told(say("money-range", low=told[0], likely=told[1], high=told[2]), found.likely)


def _dollars(figure: Figure) -> str:
    if not figure.known:
        return say("unknown")
    return f"{float(f'{shown(figure.number(), figure.unit):.2g}'):,.0f}"


def _bought(body: Money) -> Ruled:
    rows = [
        (say(f"head-money-for-{kind.replace(' ', '-')}"), brief(b.planned), brief(b.paid))
        for kind, b in body.bought.items()
    ]
    if rows:
        rows.append((say("money-in-all"), brief(body.planned), brief(body.paid)))
    heads = columns("bought+", "planned#", "paid#", of="money-")
    return Ruled(heads, tuple(rows), say("money-view-bought"))


def _hours(body: Money) -> Ruled:
    found = body.hours
    rows = [_task(kind, t) for kind, t in found.tasks.items()]
    if rows:
        rows.append((say("money-in-all"), "", brief(found.planned), brief(found.done), "", ""))
    heads = columns("task+", "tasks", "planned-h#", "done-h#", "those-h#", "more-h#", of="money-")
    return Ruled(heads, tuple(rows), say("money-view-hours"))


def _task(kind: str, found: TaskHours) -> tuple[str, ...]:
    return (
        name_of(kind),
        str(found.count) if found.count else "",
        brief(found.planned),
        brief(found.done),
        brief(found.planned_of_done),
        brief(found.more),
    )


def _people(body: Money) -> Ruled:
    rows = tuple(
        (body.hours.names.get(p) or say("money-nobody"), brief(h))
        if p != NOBODY else (say("money-nobody"), brief(h))
        for p, h in body.hours.people.items()
    )  # fmt: skip
    return Ruled(columns("who+", "done-h#", of="money-"), rows, say("money-view-people"))

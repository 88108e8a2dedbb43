"""Plans side by side as a sheet: the year, the months, the plots, the cost, and what money buys."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fencerow.figure import Figure
from fencerow.manner import Amount, shown, symbol
from fencerow.plan.compare.body import Bare, Comparison, Point, Side, Suggestion
from fencerow.plan.forage.series import Range
from fencerow.plan.section import Section
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark
from fencerow.science.forage.days import WEEKS
from fencerow.tract.model import Tract
from fencerow.words import say
from fencerow.words.days import month_text

TOLD = {
    "more": "compare-told-more",
    "less": "compare-told-less",
    "same": "compare-told-same",
}


def compare_sheet(section: Section, tract: Tract, by_week: bool = False) -> Sheet:
    """The sheet of the section `compare`; with `by_week` every week of every plan too."""
    body: Comparison = section.body
    under = say("view-compare-under", unit=symbol("lb")) if body.sides else say("view-compare-none")
    tables = list(_tables(body, tract)) if body.sides else []
    if by_week and body.sides:
        tables.append(_weeks(body))
    return Sheet("compare", say("view-compare"), under, tuple(t for t in tables if t.rows),
                 by_weight(section.said))  # fmt: skip


def _tables(body: Comparison, tract: Tract) -> Iterator[Ruled]:
    yield _sides(body)
    yield _changes(body)
    yield _costs(body)
    yield _months(body)
    yield _bare(body)
    if body.suggestion is not None:
        yield _money(body.suggestion, tract)


def _sides(body: Comparison) -> Ruled:
    names = ("plan+", "eaten#", "short#", "more#", "told", "cost#", "ton#")
    heads = columns(*names, of="compare-", unit=symbol("lb"))
    heads = (*heads[:-1], *columns("ton#", of="compare-", unit=symbol("usd_ton")))
    marks = [unchecked_mark(s.eaten.likely) for s in body.sides.values()]
    rows = tuple(_side(s) for s in body.sides.values())
    return Ruled(heads, rows, say("view-compare-sides") + max(marks, default="")).without_blanks()


def _side(side: Side) -> tuple[str, ...]:
    against = side.against
    return (
        side.name,
        _range(side.eaten),
        _weeks_short(side.weeks_short),
        _range(against.eaten) if against else "",
        Told(say(TOLD[against.told.value]), against.told) if against else "",
        _total(side),
        _per_ton(side.per_ton),
    )


def _total(side: Side) -> str:
    cost = brief(side.costs.total)
    return (
        Told(say("compare-at-least", cost=cost), side.costs.total) if side.costs.missing else cost
    )


def _per_ton(found: Range | None) -> str:
    if found is None:
        return ""
    low, likely, high = (
        _rounded(f.number(), f.unit) for f in (found.low, found.likely, found.high)
    )
    return Told(say("forage-view-range", low=low, likely=likely, high=high), found.likely)


def _changes(body: Comparison) -> Ruled:
    rows = tuple(
        (s.name, "; ".join(str(c) for c in s.changes)) for s in body.sides.values() if s.changes
    )
    return Ruled(columns("plan", "what+", of="compare-"), rows)


def _weeks_short(found: Range) -> str:
    low, likely, high = (f"{f.number():.0f}" for f in (found.low, found.likely, found.high))
    return Told(say("forage-view-range", low=low, likely=likely, high=high), found.likely)


def _costs(body: Comparison) -> Ruled:
    heads = columns("plan+", "seed#", "fertilizer#", "lime#", "guard#", "total#", of="compare-")
    rows = tuple(
        (s.name, *(brief(f) for f in (s.costs.seed, s.costs.fertilizer, s.costs.lime,
                                      s.costs.protection)), _total(s))
        for s in body.sides.values()
    )  # fmt: skip
    return Ruled(heads, rows, say("view-compare-costs"))


def _months(body: Comparison) -> Ruled:
    months = next(iter(body.sides.values())).months
    rows = tuple(
        (month_text(date.fromisoformat(name + "-01")),
         *(_range(s.months[name]) for s in body.sides.values()))
        for name in months
    )  # fmt: skip
    return Ruled(_by_side(body, "month"), rows, say("view-compare-months"))


def _weeks(body: Comparison) -> Ruled:
    first = next(iter(body.sides.values())).weekly
    rows = tuple(
        (compact_day(first.day(week)), *(_week(s, week) for s in body.sides.values()))
        for week in range(WEEKS)
    )
    return Ruled(_by_side(body, "week"), rows, say("view-compare-weeks"))


def _week(side: Side, week: int) -> str:
    amounts = (getattr(side.weekly, case)[week] or 0.0 for case in ("low", "likely", "high"))
    low, likely, high = (_rounded(a, side.weekly.unit) for a in amounts)
    return say("forage-view-range", low=low, likely=likely, high=high)


def _bare(body: Comparison) -> Ruled:
    plots = dict.fromkeys(p for s in body.sides.values() for p in s.bare)
    rows = tuple(
        (next(s.bare[p].name for s in body.sides.values() if p in s.bare),
         *(_when(s.bare.get(p)) for s in body.sides.values()))
        for p in plots
    )  # fmt: skip
    title = say("view-compare-bare", least=_stated(body.least)) + unchecked_mark(body.least)
    return Ruled(_by_side(body, "plot"), rows, title)


def _stated(least: Figure) -> Amount:
    return Amount(least.number(), least.unit, printed=True)


def _when(bare: Bare | None) -> str:
    if bare is None:
        return ""
    if bare.why is not None:
        return Told(str(bare.why), bare.likely)
    likely, little = (_day(f) for f in (bare.likely, bare.little))
    words = likely if likely == little else say("view-compare-when", likely=likely, little=little)
    return Told(words, bare.likely)


def _day(figure: Figure) -> str:
    return compact_day(figure.value) if figure.known else str(figure.reason)


def _money(found: Suggestion, tract: Tract) -> Ruled:
    heads = columns(
        "budget#",
        "factor#",
        "acres+",
        "spends#",
        "eaten#",
        "hard#",
        of="compare-",
        unit=symbol("lb"),
    )
    rows = tuple(
        (brief(found.budgets[name]), *_point(point, tract)) for name, point in found.money.items()
    )
    marks = [unchecked_mark(p.eaten) for p in found.money.values()]
    return Ruled(heads, rows, say("view-compare-money") + max(marks, default=""))


def _point(point: Point, tract: Tract) -> tuple[str, ...]:
    acres = "; ".join(
        say("view-compare-chosen", acres=Amount(a.number(), "ac"), place=tract.places[p].body.name)
        for p, a in point.acres.items()
    )
    return (
        Told(f"{point.factor.number():g}", point.factor),
        acres,
        brief(point.cost),
        *(Told(_rounded(f.number(), f.unit), f) for f in (point.eaten, point.hard)),
    )


def _by_side(body: Comparison, first: str) -> tuple[Column, ...]:
    return (
        *columns(first, of="compare-"),
        *(Column(s.name, number=True) for s in body.sides.values()),
    )


def _range(found: Range) -> str:
    low, likely, high = (
        _rounded(f.number(), f.unit) for f in (found.low, found.likely, found.high)
    )
    words = say("forage-view-range", low=low, likely=likely, high=high)
    return Told(likely if low == likely == high else words, found.likely)


def _rounded(value: float, unit: str) -> str:
    """To two places that count, which is more than it deserves."""
    text = f"{float(f'{shown(value, unit):.2g}'):,.0f}"
    return text.removeprefix("-") if text in ("-0", "0") else text

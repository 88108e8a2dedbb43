"""Forage: the weekly ledger of the tract's plots against what its deer need."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

from fencerow.figure import Assumed, Figure, Parts, not_known, work, work_parts
from fencerow.plan.forage.body import Forage, Month, Year
from fencerow.plan.forage.herd import HerdNeed, protein_need
from fencerow.plan.forage.ledger import EVERY_WEEK, NO_DEER, Ledger, in_months, sum_of
from fencerow.plan.forage.plots import forage_plot
from fencerow.plan.forage.runs import of_year
from fencerow.plan.forage.said import forage_said
from fencerow.plan.forage.series import ranged
from fencerow.plan.graph import Given
from fencerow.plan.learning.factors import factors
from fencerow.plan.section import Section
from fencerow.science.forage import need
from fencerow.science.forage.days import WEEKS
from fencerow.science.forage.ledger import Balance, short_weeks
from fencerow.words import Message


def forage(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What every plot grows and keeps, week by week, against what the deer ask of it."""
    places = earlier["ground"].body
    acres = {p: g.acres for p, g in places.items() if g.acres is not None and g.acres.known}
    boundary = next((g.acres for g in places.values() if g.kind == "boundary"), None)
    ledger = Ledger.of(given, acres, factors(earlier))
    body = _body(given, ledger, boundary)
    return Section("forage", body, tuple(forage_said(given, body, ledger.shown, boundary)))


def _body(given: Given, ledger: Ledger, boundary: Figure | None) -> Forage:
    runs, opens = ledger.runs, _opens(given, ledger)
    herd = ledger.need.herd if ledger.need else {}
    planted = {s.plot for s in ledger.shown}
    return Forage(
        need=ledger.weekly("lb", herd, of_year),
        asked=ledger.weekly("lb", runs, lambda b: b.asked[WEEKS:]),
        eaten=ledger.weekly("lb", runs, lambda b: of_year(b.eaten).sum(axis=0)),
        short=ledger.weekly("lb", runs, lambda b: b.short[WEEKS:]),
        standing=ledger.weekly("lb", runs, lambda b: of_year(b.standing).sum(axis=0)),
        acres_per_deer=_acres_per_deer(ledger, boundary),
        opens=opens,
        protein=protein_need(given.tables),
        year=_year(ledger, ledger.need) if ledger.need else None,
        months=_months(ledger, ledger.need) if ledger.need else {},
        runs={name: parts.inputs for name, parts in runs.items()},
        plots={
            p.id: forage_plot(ledger, p.id, p.body.name, opens)
            for p in given.tract.plots()
            if p.id in planted
        },
    )


def _year(ledger: Ledger, needed: HerdNeed) -> Year:
    short = {name: _short(ledger, parts) for name, parts in ledger.runs.items()}
    start, weeks = ledger.span.start, short["likely"]
    first = weeks.figure(lambda w: start + timedelta(weeks=w[0]) if w else None, "date")
    none = None if first.known else Message.of("forage-none-short")
    return Year(
        need=ranged(needed.herd, lambda r: sum_of(r, EVERY_WEEK), "lb"),
        asked=ranged(needed.asked, lambda r: sum_of(r, EVERY_WEEK), "lb"),
        growth=ledger.grown_lb(range(len(ledger.known)), EVERY_WEEK),
        eaten=ranged(ledger.runs, lambda b: sum_of(b.eaten, EVERY_WEEK), "lb"),
        weeks_short=ranged(short, len, "count"),
        first_short=Figure(first.value, "date", first.origin, none),
        short=weeks.result,
    )


def _short(ledger: Ledger, parts: Parts[Balance]) -> Parts[tuple[int, ...]]:
    tolerated = ledger.tables["forage_shares"].row("short week").figure("likely_share")
    return work_parts(
        short_weeks,
        {"tolerated_share": tolerated, **parts.inputs},
        short_lb=parts.result.short[WEEKS:].tolist(),
        asked_lb=parts.result.asked[WEEKS:].tolist(),
        tolerated_share=tolerated.number(),
    )


def _months(ledger: Ledger, needed: HerdNeed) -> dict[str, Month]:
    """The weeks by the month that they begin in."""
    weeks: dict[str, list[int]] = {}
    for week in EVERY_WEEK:
        day = ledger.span.start + timedelta(weeks=week)
        weeks.setdefault(f"{day:%Y-%m}", []).append(week)
    return {name: _month(ledger, needed, found) for name, found in weeks.items()}


def _month(ledger: Ledger, needed: HerdNeed, weeks: Sequence[int]) -> Month:
    days = [ledger.span.start + timedelta(weeks=w) for w in weeks]
    months, last = {days[0].month, (days[-1] + timedelta(days=6)).month}, [weeks[-1]]
    runs = {name: in_months(parts, months) for name, parts in ledger.runs.items()}
    herd = {name: in_months(parts, months) for name, parts in needed.herd.items()}
    asked = {name: in_months(parts, months) for name, parts in needed.asked.items()}
    return Month(
        need=ranged(herd, lambda r: sum_of(r, weeks), "lb"),
        asked=ranged(asked, lambda r: sum_of(r, weeks), "lb"),
        growth=ledger.grown_lb(range(len(ledger.known)), weeks, months),
        eaten=ranged(runs, lambda b: sum_of(b.eaten, weeks), "lb"),
        short=ranged(runs, lambda b: sum_of(b.short, weeks), "lb"),
        standing=ranged(runs, lambda b: sum_of(b.standing, last), "lb"),
    )


def _opens(given: Given, ledger: Ledger) -> Figure | None:
    """The day on which the first season of the year opens."""
    seasons = given.tract.seasons.values()
    opening = [k for k in seasons if ledger.span.start <= k.body.opens <= ledger.span.end]
    first = min(opening, key=lambda k: (k.body.opens, k.id), default=None)
    return first.figure("opens", "entered", unit="date") if first else None


def _acres_per_deer(ledger: Ledger, boundary: Figure | None) -> Figure:
    if ledger.deer is None:
        return Figure(None, "ac", Assumed(NO_DEER), NO_DEER)
    deer = ledger.deer.figure("likely", "judged", unit="count")
    if boundary is None:
        return not_known("ac", deer.origin, "forage-no-boundary")
    return work(need.acres_per_deer, area_ac=boundary, deer_count=deer)

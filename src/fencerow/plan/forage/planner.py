"""Forage: the weekly ledger of the tract's plots against what its deer need."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any

import numpy as np

from fencerow.figure import Assumed, Figure, Parts, not_known, work
from fencerow.plan.forage.body import Forage, Month, Year
from fencerow.plan.forage.herd import HerdNeed, protein_need
from fencerow.plan.forage.ledger import (
    EVERY_WEEK,
    NO_DEER,
    Ledger,
    in_months,
    of_crops,
    of_weeks,
)
from fencerow.plan.forage.plots import forage_plot
from fencerow.plan.forage.runs import of_year
from fencerow.plan.forage.said import forage_said
from fencerow.plan.forage.series import YEARS, Weekly, ranged
from fencerow.plan.forage.short import short_chance, short_counts, usual_short
from fencerow.plan.graph import Given
from fencerow.plan.learning.factors import factors
from fencerow.plan.section import Section
from fencerow.science.forage import need
from fencerow.words import Message


def forage(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What every plot grows and keeps, week by week, against what the deer ask of it."""
    places = earlier["ground"].body
    boundary = next((g.acres for g in places.values() if g.kind == "boundary"), None)
    ledger = ledger_of(given, earlier)
    body = _body(given, ledger, boundary)
    return Section("forage", body, tuple(forage_said(given, body, ledger.shown, boundary)))


def ledger_of(given: Given, earlier: Mapping[str, Section]) -> Ledger:
    """The ledger of the plots whose acres are known, with what was learned where that is there."""
    places = earlier["ground"].body
    acres = {p: g.acres for p, g in places.items() if g.acres is not None and g.acres.known}
    return Ledger.of(given, acres, factors(earlier))


def _body(given: Given, ledger: Ledger, boundary: Figure | None) -> Forage:
    runs, opens = ledger.runs, opens_of(given, ledger)
    herd = ledger.herd
    planted = {s.plot for s in ledger.shown}
    return Forage(
        need=ledger.weekly("lb", herd, of_year),
        asked=asked_of(ledger),
        eaten=ledger.weekly("lb", runs, lambda b: of_year(b.eaten).sum(axis=-2)),
        short=ledger.weekly("lb", runs, lambda b: of_year(b.short)),
        standing=ledger.weekly("lb", runs, lambda b: of_year(b.standing).sum(axis=-2)),
        acres_per_deer=_acres_per_deer(ledger, boundary),
        opens=opens,
        protein=protein_need(given.tables),
        year=_year(ledger, ledger.need) if ledger.need else None,
        months=_months(ledger, ledger.need) if ledger.need else {},
        short_chance=short_chance(ledger),
        years=tuple(ledger.weather.years) if ledger.weather else (),
        runs={name: parts.inputs for name, parts in runs.items()},
        plots={p.id: forage_plot(ledger, p, opens) for p in given.tract.plots() if p.id in planted},
    )


def _year(ledger: Ledger, needed: HerdNeed) -> Year:
    weeks = short_counts(ledger)
    lasting = weeks.likely.origin
    found = usual_short(ledger)
    start, first = ledger.span.start, found[0] if found else None
    none = None if found else Message.of("forage-none-short")
    day = start + timedelta(weeks=first) if first is not None else None
    asked = _asked_runs(ledger, needed)
    return Year(
        need=ranged(ledger.herd, lambda r: of_weeks(r, EVERY_WEEK), "lb"),
        asked=ranged(asked, lambda r: of_weeks(r, EVERY_WEEK), "lb"),
        growth=ledger.grown_lb(range(len(ledger.known)), EVERY_WEEK),
        eaten=ranged(ledger.runs, lambda b: of_crops(b.eaten, EVERY_WEEK), "lb"),
        weeks_short=weeks,
        runs=_eaten_by_run(ledger),
        first_short=Figure(day, "date", lasting, none),
        short=found,
    )


def _eaten_by_run(ledger: Ledger) -> tuple[float, ...]:
    """What is eaten in the year in every run, for plans to be held run against run [lb]."""
    each = [of_crops(parts.result.eaten, EVERY_WEEK) for parts in ledger.runs.values()]
    return tuple(round(float(lb), 3) for lb in np.ravel(each))


def _asked_runs(ledger: Ledger, needed: HerdNeed) -> Mapping[str, Parts[Any]]:
    """What is looked for in the plots, in every run."""
    return (
        {n: Parts(p.result.asked, p.formula, p.inputs) for n, p in ledger.runs.items()}
        if (YEARS in ledger.runs)
        else needed.asked
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
    herd = {name: in_months(parts, months) for name, parts in ledger.herd.items()}
    looked = _asked_runs(ledger, needed)
    asked = {name: in_months(parts, months) for name, parts in looked.items()}
    return Month(
        need=ranged(herd, lambda r: of_weeks(r, weeks), "lb"),
        asked=ranged(asked, lambda r: of_weeks(r, weeks), "lb"),
        growth=ledger.grown_lb(range(len(ledger.known)), weeks, months),
        eaten=ranged(runs, lambda b: of_crops(b.eaten, weeks), "lb"),
        short=ranged(runs, lambda b: of_weeks(b.short, weeks), "lb"),
        standing=ranged(runs, lambda b: of_crops(b.standing, last), "lb"),
    )


def asked_of(ledger: Ledger) -> Weekly:
    """What the deer look for in the plots, week by week."""
    return ledger.weekly("lb", ledger.runs, lambda b: of_year(b.asked))


def opens_of(given: Given, ledger: Ledger) -> Figure | None:
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

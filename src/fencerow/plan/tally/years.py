"""Years side by side: what the record holds of this year, and of those before it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np

from fencerow.figure import Entered, Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import GroundPlace
from fencerow.plan.learning.body import Learned
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sitting import sum_hours
from fencerow.plan.span import year_of
from fencerow.plan.tally.hours import marks_with_hours, of_mark
from fencerow.plan.tally.money import Money, bills_of, sum_acres, sum_bills
from fencerow.plan.tally.plots import whole
from fencerow.plan.tally.sits import SatOut, of_sits
from fencerow.science.herd import tally
from fencerow.units import convert

MOST_YEARS = 6


@dataclass(frozen=True)
class OneYear:
    """A year of the tract's; what the record does not hold of it is None."""

    year: int
    so_far: bool
    sown: Figure | None
    planned: Figure | None
    paid: Figure | None
    hours: Figure | None
    grown: Figure | None
    removed: Figure | None
    sits: Figure | None
    sat: Figure | None
    per_hour: Figure | None
    rain: Figure | None


@dataclass(frozen=True)
class Years:
    """The years, the latest first."""

    years: Mapping[str, OneYear] = field(default_factory=dict)


def years_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The years that the record knows anything of."""
    years: dict[str, OneYear] = {}
    day = given.as_of
    first = _first(given)
    while len(years) < MOST_YEARS and day >= first:
        start, _ = year_of(given.tract, day)
        years[str(start.year)] = _year(given, earlier, day)
        day = start - timedelta(days=1)
    said = [Said.of(Weight.NOTE, "years", "years-how")]
    return Section("years", Years(years), tuple(said))


def _first(given: Given) -> date:
    """The first day that anything in the record is of; the day of the plan where nothing is."""
    return min((d for d in _days(given) if d <= given.as_of), default=given.as_of)


def _days(given: Given) -> Iterator[date]:
    tract = given.tract
    for kept in tract.plantings.values():
        yield kept.body.sow_on
    for part in (tract.sits, tract.clips, tract.paid):
        for thing in part.values():
            yield thing.body.on
    for mark in tract.done.values():
        if mark.on is not None:
            yield mark.on


def _year(given: Given, earlier: Mapping[str, Section], day: date) -> OneYear:
    start, end = year_of(given.tract, day)
    current = start <= given.as_of <= end
    money: Money = earlier["money"].body
    bills = bills_of(given, day)
    sat: SatOut = earlier["sat"].body
    own = {i: s for i, s in sat.sits.items() if start <= s.on.value <= end}
    sits = of_sits("", own) if own else None
    hours = money.hours.done if current else _hours(given, end)
    return OneYear(
        year=start.year,
        so_far=current and given.as_of < end,
        sown=_sown(given, earlier, start, end),
        planned=money.planned if current else None,
        paid=sum_bills(bills) if bills else None,
        hours=hours,
        grown=_by_clips(earlier, "growth", start, end),
        removed=_by_clips(earlier, "removal", start, end),
        sits=None if sits is None else sits.sits,
        sat=None if sits is None else sits.hours,
        per_hour=None if sits is None else sits.per_hour,
        rain=_rain(given, start, min(end, given.as_of)),
    )


def _sown(given: Given, earlier: Mapping[str, Section], start: date, end: date) -> Figure | None:
    """The acres that were sown in a year, a plot once however often it was."""
    places: Mapping[str, GroundPlace] = earlier["ground"].body
    sown = {
        places[p.body.place].name: acres
        for p in given.tract.plantings.values()
        if p.body.stage == "establish" and start <= p.body.sow_on <= end
        and p.body.place in places
        and (acres := places[p.body.place].acres) is not None and acres.known
    }  # fmt: skip
    return sum_acres(sown) if sown else None


def _hours(given: Given, end: date) -> Figure | None:

    marks = marks_with_hours(replace(given, as_of=end))
    if not marks:
        return None
    return sum_hours({f"{m.body.task}, {m.on}, {m.id}": of_mark(m) for m in marks})


def _by_clips(earlier: Mapping[str, Section], name: str, start: date, end: date) -> Figure | None:
    """What the clips of a year come to, over all plots that were clipped, by their acres."""
    body: Learned = earlier["learned"].body
    places: Mapping[str, GroundPlace] = earlier["ground"].body
    each: dict[str, float] = {}
    named: dict[str, Figure] = {}
    for id_, visit in body.visits.items():
        found: Figure | None = getattr(visit, name)
        if start <= visit.day <= end and found is not None and whole(visit):
            each[visit.place] = each.get(visit.place, 0.0) + found.number()
            named[f"{visit.name}, {visit.on.value}, {id_}"] = found
    acres = {p: a for p in each if (a := places[p].acres) is not None and a.known}
    each = {p: lb for p, lb in each.items() if p in acres}
    if not each:
        return None
    named |= {f"size of {places[p].name}": a for p, a in acres.items()}
    parts = work_parts(
        tally.mean_by_area, named, each_lb_ac=each,
        each_ac={p: a.number() for p, a in acres.items()},
    )  # fmt: skip
    return parts.figure(lambda lb: lb, "lb_ac")


def _rain(given: Given, start: date, end: date) -> Figure | None:
    """Rain from one day to another; None unless the record knows every day of it."""
    daily = given.daily
    if daily is None or daily.typical:
        return None
    at = int((np.datetime64(start) - daily.first).astype(int))
    count = (end - start).days + 1
    if at < 0 or at + count > len(daily):
        return None
    days = daily.rain_mm[at : at + count]
    if np.isnan(days).any():
        return None
    record = Figure(daily, "", Entered("weather", "daily record", "imported"))
    parts = work_parts(tally.rain_of, {"daily record": record}, days_mm=days.tolist())
    return parts.figure(lambda mm: convert(mm, "mm", "in"), "in")

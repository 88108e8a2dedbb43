"""The weeks of the year: the rain that each brings, what fell, on how many days ground is fit.

Fit days stand by what `fitness` says, with its limits; nothing is said from a typical year.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from fencerow.figure import Entered, Figure, Worked, assume, formula_of, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.plan.work.fitness import USUAL_DRAINAGE, fitness
from fencerow.plan.work.limits import limits_of, soils_after
from fencerow.plan.work.rain import past_record
from fencerow.science.weather import weeks
from fencerow.science.weather.seasons import season_rows
from fencerow.science.weather.series import Bools, DailySeries, Floats, require_record
from fencerow.units import convert
from fencerow.words import BadInput, Message, OutsideRange

JOB = "till"
SHARES = {"little": 0.1, "usual": 0.5, "much": 0.9}


@dataclass(frozen=True)
class Rain:
    """A week's rain in the year with little, the middle one, and the one with much: 1 in 10."""

    little: Figure
    usual: Figure
    much: Figure


@dataclass(frozen=True)
class Week:
    """Seven days from `starts`: usual rain, what the record holds of this year's, and the middle
    year's fit days for tillage, by plot."""

    starts: date
    rain: Rain | None
    fell: Figure | None
    fit: Mapping[str, Figure]

    def fit_ends(self) -> tuple[Figure, Figure] | None:
        """The plot with the fewest fit days and the one with the most; None of none."""
        known = [f for f in self.fit.values() if f.known]
        if not known:
            return None
        return min(known, key=Figure.number), max(known, key=Figure.number)


@dataclass(frozen=True)
class Weeks:
    """The year's 52 weeks by their first day; `why` says what keeps rain and fit days unknown."""

    week: Mapping[str, Week]
    why: Message | None = None


def weeks_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The weeks of the tract's year."""
    start = year_of(given.tract, given.as_of)[0]
    starts = first_days(start)
    daily, why = given.daily, None
    try:
        if daily is not None:
            require_record(daily)
    except BadInput as error:
        daily, why = None, error.message
    rain: list[Rain | None] = [None] * weeks.WEEKS
    fell: list[Figure | None] = [None] * weeks.WEEKS
    fit: list[dict[str, Figure]] = [{} for _ in starts]
    if daily is not None:
        record = Figure(daily, "", Entered("weather", "daily record", "imported"))
        # this year's own weeks stand beside the gauge's, and are the record's alone
        fell = _fell(daily, record, starts, given.as_of)
        past = past_record(daily, given.tract)
        record = Figure(past, "", Entered("weather", "daily record", "imported"))
        rain, fit = _rain(past, record, start), _fit(given, past, record, start, earlier)
    week = {day.isoformat(): Week(day, rain[w], fell[w], fit[w]) for w, day in enumerate(starts)}
    return Section("weeks", Weeks(week, why))


def first_days(start: date) -> list[date]:
    """The first day of each week of a year that starts on a day."""
    return [start + timedelta(weeks=w) for w in range(weeks.WEEKS)]


def inches(figure: Figure) -> Figure:
    """A depth in millimetres as the trade reads it off a gauge."""
    return Figure(convert(figure.number(), "mm", "in"), "in", figure.origin)


def _rain(daily: DailySeries, record: Figure, start: date) -> list[Rain | None]:
    rows = season_rows(daily.times, daily.rain_mm, start.month, start.day, weeks.WEEKS * weeks.DAYS)
    sums = weeks.by_week(rows.values).sum(axis=2)
    years: dict[int, Figure] = {}
    return [_week_rain(sums[:, w], record, years) for w in range(weeks.WEEKS)]


def _week_rain(sums: Floats, record: Figure, years: dict[int, Figure]) -> Rain | None:
    """The week over the years; None where too few know it. Weeks of as many years share a count."""
    counted = work_parts(weeks.years_known, {"record": record}, weeks_mm=sums)
    if counted.result < weeks.LEAST_YEARS:
        return None
    count = years.setdefault(counted.result, counted.figure(lambda n: n, "years"))
    inputs = {"record": record, "years of record": count}
    found = {
        name: inches(
            work_parts(weeks.rain_not_passed, inputs, weeks_mm=sums, share=share).figure(
                float, "mm"
            )
        )
        for name, share in SHARES.items()
    }
    return Rain(**found)


def _fell(
    daily: DailySeries, record: Figure, starts: list[date], as_of: date
) -> list[Figure | None]:
    """What the record holds of this year's own weeks, of those that are over."""
    found: list[Figure | None] = []
    for day in starts:
        at = (np.datetime64(day) - daily.first).astype(int)
        days = daily.rain_mm[at : at + weeks.DAYS] if at >= 0 else daily.rain_mm[:0]
        over = day + timedelta(days=weeks.DAYS) <= as_of
        if not over or len(days) < weeks.DAYS or np.isnan(days).any():
            found.append(None)
            continue
        parts = work_parts(weeks.rain_total, {"record": record}, amounts_mm=days)
        found.append(inches(parts.figure(float, "mm")))
    return found


def _fit(
    given: Given, daily: DailySeries, record: Figure, start: date, earlier: Mapping[str, Section]
) -> list[dict[str, Figure]]:
    """The middle year's fit days for tillage of each plot in each week."""
    soils, limits = soils_after(given, earlier), limits_of(earlier)
    found: list[dict[str, Figure]] = [{} for _ in range(weeks.WEEKS)]
    if not soils:
        return found
    last = start + timedelta(days=weeks.WEEKS * weeks.DAYS - 1)
    fit = fitness(daily, given.tables, soils, start, last, [JOB])
    for place in soils:
        mask, known = fit.of(JOB, place)
        limit = limits[place].tillage
        inputs = {"record": record, **ground_of(given, place), "wanted_mm": limit}
        for w, of_week in enumerate(found):
            days = slice(w * weeks.DAYS, (w + 1) * weeks.DAYS)
            of_week[place] = _fit_days(inputs, mask[:, days], known[:, days])
    return found


def _fit_days(inputs: Mapping[str, Figure], fit: Bools, known: Bools) -> Figure:
    try:
        return work_parts(weeks.fit_days, inputs, fit=fit, known=known).figure(float, "days")
    except OutsideRange as error:
        origin = Worked(formula_of(weeks.fit_days), tuple(inputs.items()))
        return Figure(None, "days", origin, error.message)


def ground_of(given: Given, place: str) -> dict[str, Figure]:
    """What a plot's fit days rest on beside the record."""
    plot = given.tract.places[place]
    test = given.tract.soil_test_of(place, given.as_of)
    texture = plot.figure("texture", unit="text")
    if not texture.known and test is not None:
        texture = test.figure("texture", "measured", "text")
    drainage = plot.figure("drainage", unit="text")
    if not drainage.known:
        drainage = assume(USUAL_DRAINAGE, "text", "work-drainage-usual")
    most = given.tables["fit_limits"].row(JOB).figure("most_rain_mm")
    return {"texture": texture, "drainage": drainage, "most_rain_mm": most}

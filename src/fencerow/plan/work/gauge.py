"""What the person's gauge held: week by week of the tract's year, and day by day over a series."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from statistics import fmean
from typing import overload

from fencerow.figure import Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.plan.work.weeks import first_days, inches
from fencerow.science.weather import weeks
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.gauge import days_gauged, hours_gauged
from fencerow.science.weather.series import DailySeries
from fencerow.tract.bodies import Note
from fencerow.tract.model import Kept
from fencerow.units import convert

UNITS_OF_READINGS = {"": "in", "in": "in", "inches": "in", "mm": "mm"}


def gauge_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The sum of the readings of each week that has one, by the week's first day."""
    starts = first_days(year_of(given.tract, given.as_of)[0])
    found: dict[str, list[Kept[Note]]] = {}
    for note in sorted(given.tract.notes.values(), key=lambda n: (n.on or date.min, n.id)):
        week = (note.on - starts[0]).days // weeks.DAYS if note.on else -1
        if is_reading(note.body) and 0 <= week < weeks.WEEKS:
            found.setdefault(starts[week].isoformat(), []).append(note)
    return Section("gauge", {week: _sum(notes) for week, notes in found.items()})


def gauged_mm(notes: Iterable[Kept[Note]], days_back: int = 0) -> dict[date, float]:
    """What fell on each day that has a reading, by the person's gauge [mm].

    Readings of one place on one day add up, as a gauge does that is emptied at each; several
    places are several gauges, and their mean stands for the tract.

    Args:
        days_back: 1 for a gauge that is read in the morning, which holds the day before's rain.
    """
    found: dict[date, dict[str, float]] = {}
    for note in sorted(notes, key=lambda n: n.id):
        if note.on is None or not is_reading(note.body):
            continue
        told = reading(note)
        at = found.setdefault(note.on - timedelta(days=days_back), {})
        mm = convert(told.number(), told.unit, "mm")
        at[note.body.place] = at.get(note.body.place, 0.0) + mm
    return {day: fmean(places.values()) for day, places in sorted(found.items())}


@overload
def with_gauge(
    series: DailySeries | None, notes: Iterable[Kept[Note]], zone: str = ..., days_back: int = ...
) -> DailySeries | None: ...


@overload
def with_gauge(
    series: Forecast, notes: Iterable[Kept[Note]], zone: str = ..., days_back: int = ...
) -> Forecast: ...


def with_gauge(
    series: DailySeries | Forecast | None,
    notes: Iterable[Kept[Note]],
    zone: str = "UTC",
    days_back: int = 0,
) -> DailySeries | Forecast | None:
    """A record, or a forecast, in which the person's own gauge wins on the days that it was read.

    `series.gauged` names those days. Without a record the readings alone are a record: their rain
    is known, and nothing else is, neither the rain of other days nor any temperature; so what
    hangs on them comes out wider, or not known. Without readings the series is what it was.

    Args:
        zone: the tract's; it says which hours of a forecast are a day.
        days_back: 1 for a gauge that is read in the morning.
    """
    amounts = gauged_mm(notes, days_back)
    if isinstance(series, Forecast):
        return hours_gauged(series, amounts, zone)
    return days_gauged(series, amounts)


def is_reading(body: Note) -> bool:
    """Whether a note tells what a gauge held, in a unit that is read here."""
    told = body.amount is not None and body.amount >= 0
    return body.about == "rain" and told and body.unit.strip().lower() in UNITS_OF_READINGS


def _sum(notes: list[Kept[Note]]) -> Figure:
    readings = {f"reading {at}": reading(note) for at, note in enumerate(notes, 1)}
    amounts = [convert(f.number(), f.unit, "mm") for f in readings.values()]
    return inches(work_parts(weeks.rain_total, readings, amounts_mm=amounts).figure(float, "mm"))


def reading(note: Kept[Note]) -> Figure:
    """What one reading of the gauge held, in the unit that it was told in."""
    return note.figure("amount", "measured", UNITS_OF_READINGS[note.body.unit.strip().lower()])

"""The person's own rain gauge: its readings, and any series of weather in which it wins."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from statistics import fmean
from typing import overload

import numpy as np

from fencerow.figure import Figure
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.gauge import days_gauged, hours_gauged
from fencerow.science.weather.series import DailySeries
from fencerow.tract.bodies import Note
from fencerow.tract.model import Kept, Tract
from fencerow.units import convert

UNITS_OF_READINGS = {"": "in", "in": "in", "inches": "in", "mm": "mm"}


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


def reading(note: Kept[Note]) -> Figure:
    """What one reading of the gauge held, in the unit that it was told in."""
    return note.figure("amount", "measured", UNITS_OF_READINGS[note.body.unit.strip().lower()])


def past_record(daily: DailySeries, tract: Tract) -> DailySeries:
    """The daily record with the gauge's own days in it; no day is added to the record.

    A step that reads `rain_past` sees the readings of the years that are over: a reading of this
    year changes nothing of the past, and does not work the count of years again.
    """
    inside = [
        n for n in tract.notes.values()
        if n.on is not None and daily.first <= np.datetime64(n.on) <= daily.last
    ]  # fmt: skip
    return with_gauge(daily, inside) or daily

"""Which weather a plan goes by, in a few sentences: record, years, gaps, forecast, whose it is."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.plan.graph import Given
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import DailySeries, HourlySeries
from fencerow.store.asking import BY
from fencerow.tract.model import Tract
from fencerow.words import name_of, say

MOST_MISSING = 10
"""Days missing in a year that still counts as whole, as for frost."""


def told(given: Given, tract: Tract) -> Iterator[str]:
    """The days, the hours, the forecast and the readings of the person's own gauge, or the lack."""
    yield from _days(given.daily) if given.daily else [say("kept-no-days")]
    yield from _hours(given.hourly) if given.hourly else [say("kept-no-hours")]
    yield from _ahead(given.forecast) if given.forecast else [say("kept-no-forecast")]
    readings = sum(n.body.about == "rain" for n in tract.notes.values())
    if readings:
        yield say("kept-gauge", count=readings)


def _days(series: DailySeries) -> Iterator[str]:
    yield say("kept-days", place=_place(series), first=series.first, last=series.last)
    for element in _known(series):
        whole = len(series.complete_years(element, MOST_MISSING))
        yield say("kept-element", name=name_of(element), gaps=series.gaps(element),
                  total=len(series), years=whole, most=MOST_MISSING)  # fmt: skip


def _hours(series: HourlySeries) -> Iterator[str]:
    if series.typical:
        yield say("kept-typical", place=_place(series))
        return
    yield say("kept-hours", place=_place(series), first=series.first, last=series.last)
    for element in _known(series):
        yield say("kept-gaps", name=name_of(element), gaps=series.gaps(element), total=len(series))


def _ahead(series: Forecast) -> Iterator[str]:
    rain = series.until("rain_mm")
    yield say("kept-forecast", place=_place(series), issued=series.issued_at, last=series.last)
    yield say("forecast-no-rain") if rain is None else say("kept-forecast-rain", until=rain)
    yield say(BY[series.station.source])


def _known(series: DailySeries | HourlySeries) -> list[str]:
    return [e for e in series.ELEMENTS if series.known[e].any()]


def _place(series: DailySeries | HourlySeries) -> str:
    return series.station.name.strip() or series.station.id

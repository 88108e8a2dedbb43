"""The days behind and the days ahead of a plot: the record, the gauge, a forecast, past years.

The gauge goes before the record on its days. Of the record nothing is used from the day of the plan
on, nor that year's own days as one of the past years: nobody knew them.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, fields, replace
from datetime import UTC, date
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.work.fitness import evapotranspiration
from fencerow.plan.work.rain import gauged_mm, is_reading, past_record, reading, with_gauge
from fencerow.science.weather.seasons import season_rows
from fencerow.science.weather.series import DailySeries, Floats, HourlySeries, Times
from fencerow.science.weather.winter import Winter, mean_of_year, surface_of, winter_course
from fencerow.tract.bodies import Note
from fencerow.tract.model import Kept, Tract


@dataclass(frozen=True)
class Sky:
    """Rain, evapotranspiration, mean temperature, snow as read and the warmth of a bare surface, by
    day, the last axis; NaN: not known."""

    rain_mm: Floats
    eto_mm_day: Floats
    mean_c: Floats
    snow_depth_mm: Floats
    surface_c: Floats

    def then(self, coming: Sky) -> Sky:
        """These days before each year's coming ones [year, day]."""
        years = len(coming.rain_mm)

        def joined(name: str) -> Floats:
            return np.hstack([np.tile(getattr(self, name), (years, 1)), getattr(coming, name)])

        return Sky(*(joined(f.name) for f in fields(Sky)))


def winter_on(sky: Sky, daily: DailySeries | None) -> Winter:
    """Snow and the soil's warmth through these days, from bare ground on."""
    usual = 10.0 if daily is None else mean_of_year(daily)
    return winter_course(sky.rain_mm, sky.mean_c, sky.surface_c, sky.snow_depth_mm, usual)


def gauge_days(given: Given) -> dict[date, list[Kept[Note]]]:
    """The readings of the gauge by day, up to the day of the plan."""
    found: dict[date, list[Kept[Note]]] = defaultdict(list)
    for note in sorted(given.tract.notes.values(), key=lambda n: n.id):
        if note.on is not None and note.on <= given.as_of and is_reading(note.body):
            found[note.on].append(note)
    return found


def readings(given: Given) -> dict[str, Figure]:
    """The readings as figures, by the day on which they were taken."""
    days = sorted(gauge_days(given).items())
    return {
        f"gauge {day.isoformat()}" + ("" if at == 0 else f" {at + 1}"): reading(note)
        for day, notes in days
        for at, note in enumerate(notes)
    }


def behind(given: Given, first: date) -> Sky:
    """The days from one on up to the day before the plan's."""
    days = _days(first, (given.as_of - first).days)
    return _of_record(with_gauge(given.daily, _notes(given)), days)


def _notes(given: Given) -> list[Kept[Note]]:
    return [n for n in given.tract.notes.values() if n.on is not None and n.on <= given.as_of]


def _days(first: date, count: int) -> Times:
    return np.datetime64(first, "D") + np.arange(count).astype("timedelta64[D]")


def _of_record(daily: DailySeries | None, days: Times) -> Sky:
    empty = np.full(len(days), np.nan)
    if daily is None:
        return Sky(empty, empty, empty, empty, empty)
    sky = _sky_of(daily)
    at = (days - daily.times[0]).astype(int)
    inside = (at >= 0) & (at < len(daily))

    def of(values: Floats) -> Floats:
        found = empty.copy()
        found[inside] = values[at[inside]]
        return found

    return Sky(*(of(getattr(sky, f.name)) for f in fields(Sky)))


def _sky_of(daily: DailySeries) -> Sky:
    mean = (daily.tmax_c + daily.tmin_c) / 2
    eto, surface = evapotranspiration(daily), surface_of(daily)
    return Sky(daily.rain_mm, eto, mean, daily.snow_depth_mm, surface)


def ahead(given: Given, daily: DailySeries, days: int) -> tuple[tuple[int, ...], Sky]:
    """The coming days as each past year had them [year, day], today the first, and the years."""
    return PastYears.of(daily, given.tract).ahead(given, days)


@dataclass(frozen=True)
class PastYears:
    """The record from which coming days are taken, whichever day is today."""

    times: Times
    sky: Sky

    @classmethod
    def of(cls, daily: DailySeries, tract: Tract) -> PastYears:
        """A record with the gauge's own days in it."""
        daily = past_record(daily, tract)
        # a past year's snow is no reading of this one's
        return cls(daily.times, replace(_sky_of(daily), snow_depth_mm=np.full(len(daily), np.nan)))

    def ahead(self, given: Given, days: int) -> tuple[tuple[int, ...], Sky]:
        """The coming days as each past year had them [year, day], today the first, and the years.

        What the gauge holds of today, and what a forecast knows, is the same in all of them.
        """
        on, every = given.as_of, np.arange(len(self.times), dtype=np.float64)
        rows = season_rows(self.times, every, on.month, on.day, days)
        others = rows.years != on.year
        cells = rows.values[others].astype(int)
        sky = Sky(*(getattr(self.sky, f.name)[cells] for f in fields(Sky)))
        _lay(sky, _forecast(given, days))
        today = gauged_mm(n for n in given.tract.notes.values() if n.on == on).get(on)
        if today is not None:
            sky.rain_mm[:, 0] = today
        return tuple(int(y) for y in rows.years[others]), sky


def forecast_days(given: Given) -> int:
    """How many of the coming days, today the first, a forecast knows the rain of."""
    known = ~np.isnan(_forecast(given, 30).rain_mm)
    return int(known.argmin()) if not known.all() else len(known)


def _forecast(given: Given, days: int) -> Sky:
    """What a forecast says of the coming days; hours are put together to the tract's own days."""
    found, coming = getattr(given, "forecast", None), _days(given.as_of, days)
    if isinstance(found, HourlySeries):
        found = by_day(found, given.tract.about.body.zone, given.as_of, days)
    return _of_record(found if isinstance(found, DailySeries) else None, coming)


def by_day(hours: HourlySeries, zone: str, first: date, days: int) -> DailySeries:
    """Hours as days of a zone, from a first one on; a day with an hour missing is not known.

    Of the first day the hours that are over need not be there: its rain is that from noon on.
    """
    local = [
        stamp.replace(tzinfo=UTC).astimezone(ZoneInfo(zone))
        for stamp in hours.middles.astype("datetime64[s]").tolist()
    ]
    at = np.array([(t.date() - first).days for t in local])
    clock = np.array([t.hour for t in local])
    rain, tmax, tmin = np.full((3, days), np.nan)
    for day in range(days):
        own = at == day
        # a day on which the clocks change has 23 hours
        if own.sum() >= 23:
            tmax[day], tmin[day] = hours.temp_c[own].max(), hours.temp_c[own].min()
        if own.sum() >= 23 or (day == 0 and (own & (clock >= 12)).sum() == 12):
            rain[day] = hours.rain_mm[own].sum()
    return DailySeries(
        station=hours.station, times=_days(first, days), rain_mm=rain, tmax_c=tmax, tmin_c=tmin
    )


def _lay(sky: Sky, over: Sky) -> None:
    """Lay what is known of one sky over every year of another."""
    for name in (f.name for f in fields(Sky)):
        known = ~np.isnan(getattr(over, name))
        getattr(sky, name)[:, known] = getattr(over, name)[known]

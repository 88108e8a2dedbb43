"""Readings of a person's own gauge laid over a series: what was measured there wins.

A reading stands for the whole of its day. A day without a reading keeps what the series says of it;
where there is no series, its rain is not known, and not none.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.science.weather.series import Bools, DailySeries, HourlySeries, Station, Times

GAUGE = Station("gauge", source="own gauge")


def days_gauged(series: DailySeries | None, amounts_mm: Mapping[date, float]) -> DailySeries | None:
    """A daily series with its rain replaced on the days that have a reading.

    The axis is drawn out to the days of the readings; what lies between is not known. Without a
    series there is rain on the days of the readings, and nothing else is known at all.

    Args:
        amounts_mm: what the gauge held, by the day that it fell on [mm].
    """
    if not amounts_mm:
        return series
    days = np.array(sorted(amounts_mm), dtype="datetime64[D]")
    ends = [days[0], days[-1], *([] if series is None else [series.first, series.last])]
    times: Times = np.arange(min(ends), max(ends) + np.timedelta64(1, "D"))
    whole = DailySeries(station=GAUGE, times=times) if series is None else _drawn_out(series, times)
    rain = whole.rain_mm.copy()
    rain[(days - times[0]).astype(int)] = [amounts_mm[day] for day in sorted(amounts_mm)]
    return replace(whole, rain_mm=rain, gauged=tuple(str(day) for day in days))


def _drawn_out(series: DailySeries, times: Times) -> DailySeries:
    at = int((series.first - times[0]).astype(int))
    content: dict[str, Any] = {"times": times}
    for name in series.ELEMENTS:
        content[name] = np.full(len(times), np.nan)
        content[name][at : at + len(series)] = series.values(name)
    return replace(series, **content)


H = TypeVar("H", bound=HourlySeries)


def hours_gauged(series: H, amounts_mm: Mapping[date, float], zone: str) -> H:
    """Hours with the rain of a local day replaced where the day has a reading.

    The hours of the day keep the shape that was given to them, drawn to the reading; where the
    series has none of the day's rain, or not all of its hours, the reading is spread over the day
    evenly, since the gauge does not say when it fell. A day that the series does not hold whole is
    left as it is.

    Args:
        amounts_mm: what the gauge held, by the local day that it fell on [mm].
        zone: the tract's IANA zone; a local day has 23, 24 or 25 hours.
    """
    rain, gauged = series.rain_mm.copy(), []
    for day, amount in sorted(amounts_mm.items()):
        hours, whole = hours_of_day(series.times, day, zone)
        if not whole:
            continue
        own = rain[hours]
        total = own.sum()  # NaN where an hour is not known
        rain[hours] = own * (amount / total) if total > 0 else amount / hours.sum()
        gauged.append(day.isoformat())
    return replace(series, rain_mm=rain, gauged=tuple(gauged)) if gauged else series


def hours_of_day(times: Times, day: date, zone: str) -> tuple[Bools, bool]:
    """Which stamps (ends of hours, UTC) belong to a local day, and whether that is all of it."""
    start, end = (_midnight(d, zone) for d in (day, day + timedelta(days=1)))
    hours: Bools = (times > start) & (times <= end)
    return hours, int(hours.sum()) == int((end - start) / np.timedelta64(60, "m"))


def _midnight(day: date, zone: str) -> np.datetime64:
    local = datetime.combine(day, time(), ZoneInfo(zone))
    return np.datetime64(local.astimezone(UTC).replace(tzinfo=None), "m")

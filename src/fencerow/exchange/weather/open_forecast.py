"""A forecast of the open form in: `hourly`, parallel arrays by name, and `hourly_units` beside it.

Layout: the public JSON of Open-Meteo's forecast interface. `time` is local by `utc_offset_seconds`
(0 for GMT), or seconds since 1970. Rain is the sum of the hour before its stamp; the rest holds at
the stamp. The height stands in a name: wind of 10 m is read, of 80 m is not. The file does not say
when it was issued. `daily` is not used: it is the hours', summed up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np

from fencerow.exchange.weather._expected import UNITS, expected
from fencerow.exchange.weather._hours import BOUNDS, minute_of
from fencerow.exchange.weather._json import number
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.series import Floats, Station, Times
from fencerow.words import BadInput, Message, name_of

FORMAT, SOURCE = "open forecast", "open-forecast"

COLUMNS = {
    "temp_c": ("temperature_2m",),
    "dewpoint_c": ("dew_point_2m", "dewpoint_2m"),
    "rh_pct": ("relative_humidity_2m", "relativehumidity_2m"),
    "pressure_kpa": ("surface_pressure",),
    "wind_m_s": ("wind_speed_10m", "windspeed_10m"),
    "wind_from_deg": ("wind_direction_10m", "winddirection_10m"),
    "gust_m_s": ("wind_gusts_10m", "windgusts_10m"),
    "cloud_share": ("cloud_cover", "cloudcover"),
    "rain_mm": ("precipitation",),
    "rain_chance": ("precipitation_probability",),
    "solar_w_m2": ("shortwave_radiation",),
}
"""Each element's name, today's first."""

_MOST_HOURS = 24 * 31


def looks_open(found: Mapping[str, Any]) -> bool:
    """Whether an object is a forecast of the open form."""
    return {"latitude", "longitude"} <= found.keys() and bool(
        {"hourly_units", "daily_units"} & found.keys()
    )


def parse_open(file: str, found: Mapping[str, Any], issued: datetime | None = None) -> Weather:
    """Read an open forecast into hours, UTC.

    Args:
        issued: when it was asked for; left out, it counts as issued at its first hour.

    Raises:
        BadInput: a column, stamp, unit or number is not what the format has; an hour is missing or
            stands twice; nothing that is used is in it.
    """
    hourly, units = (_object(file, found, name) for name in ("hourly", "hourly_units"))
    times = _times(file, found, hourly, units)
    values = {e: _values(file, hourly, units, e, len(times)) for e in COLUMNS}
    if all(np.isnan(v).all() for v in values.values()):
        names = ", ".join(names[0] for names in COLUMNS.values())
        raise BadInput("weather-nothing-known", file=file, elements=names)
    said: tuple[Message, ...] = ()
    if issued is None:
        issued = datetime.fromtimestamp(int(times[0].astype(np.int64)) * 60, UTC)
        said = (Message.of("forecast-issue-assumed", stamp=times[0]),)
    return expected(file, FORMAT, _station(file, found), times, issued, values, said)


def _object(file: str, found: Mapping[str, Any], name: str) -> dict[str, Any]:
    part = found.get(name)
    if not isinstance(part, dict):
        raise BadInput("forecast-no-hours", file=file, where=name)
    return part


def _times(
    file: str, found: Mapping[str, Any], hourly: Mapping[str, Any], units: Mapping[str, Any]
) -> Times:
    given = hourly.get("time")
    if not isinstance(given, list) or not 0 < len(given) <= _MOST_HOURS:
        raise BadInput("forecast-no-hours", file=file, where="hourly.time")
    minutes = np.array([_minute(file, row, v, units) for row, v in enumerate(given, 1)])
    if units.get("time") != "unixtime":
        offset = number(file, "utc_offset_seconds", found.get("utc_offset_seconds"))
        if not (abs(offset) <= 15 * 3600 and offset % 60 == 0):
            raise BadInput("forecast-no-offset", file=file)
        minutes -= int(offset // 60)
    for row in np.flatnonzero(np.diff(minutes) != 60)[:1]:
        raise BadInput(
            "forecast-uneven", file=file, where=f"hourly.time value {row + 2}",
            value=given[row + 1], before=given[row],
        )  # fmt: skip
    if minutes[0] % 60:
        raise BadInput("forecast-odd-hour", file=file, value=given[0])
    times: Times = minutes.astype("datetime64[m]")
    return times


def _minute(file: str, row: int, value: object, units: Mapping[str, Any]) -> int:
    if units.get("time") != "unixtime":
        return minute_of(file, row, str(value))
    if isinstance(value, bool) or not isinstance(value, int) or not 0 < value < 4e9:
        raise BadInput("weather-bad-stamp", file=file, row=row, value=str(value)[:40])
    return value // 60


def _values(
    file: str, hourly: Mapping[str, Any], units: Mapping[str, Any], element: str, count: int
) -> Floats:
    column = next((name for name in COLUMNS[element] if name in hourly), None)
    if column is None:
        return np.full(count, np.nan)
    given, unit = hourly[column], str(units.get(column))
    if not isinstance(given, list) or len(given) != count:
        got = len(given) if isinstance(given, list) else 0
        raise BadInput("forecast-lengths", file=file, where=f"hourly.{column}", got=got, want=count)
    if unit not in UNITS[element]:
        raise BadInput(
            "forecast-unit", file=file, where=f"hourly_units.{column}", value=unit[:40],
            want=", ".join(UNITS[element]),
        )  # fmt: skip
    return _held(file, column, element, given, unit)


def _held(file: str, column: str, element: str, given: Sequence[object], unit: str) -> Floats:
    low, high = BOUNDS[element]
    turn, values = UNITS[element][unit], np.empty(len(given))
    for at, one in enumerate(given):
        where = f"hourly.{column} value {at + 1}"
        values[at] = value = turn(number(file, where, one))
        if value < low or value > high:
            raise BadInput(
                "forecast-impossible", file=file, where=where, value=one, meaning=f"{value:g}",
                low=low, high=high, name=name_of(element),
            )  # fmt: skip
    return values


def _station(file: str, found: Mapping[str, Any]) -> Station:
    place = [number(file, name, found.get(name)) for name in ("latitude", "longitude", "elevation")]
    for name, value, most in zip(("latitude", "longitude"), place, (90, 180), strict=False):
        if abs(value) > most:
            raise BadInput("forecast-place", file=file, where=name, value=value, most=most)
    latitude, longitude, height = (None if np.isnan(v) else v for v in place)
    return Station("open forecast", "", latitude, longitude, height, SOURCE)

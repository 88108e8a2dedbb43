"""The grid forecast of the national weather service in: layers of values, each with its interval.

Layout: api.weather.gov, gridpoints: `properties` holds layers, each with a unit and `values` of
`validTime` ("start/duration" by ISO 8601) and `value` or null; neighbours that are equal are
merged into one. An amount of rain is the total of its interval, so it is spread over it; anything
else holds in every hour of its interval. What no interval covers is not known. Wind is of 10 m,
that of fire weather of 20 ft.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from typing import Any

import numpy as np

from fencerow.exchange.weather._expected import UNITS, expected
from fencerow.exchange.weather._hours import BOUNDS
from fencerow.exchange.weather._json import number
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.series import Floats, Station
from fencerow.words import BadInput, name_of

FORMAT, SOURCE = "weather service grid", "nws-gridpoint"

LAYERS = {
    "temperature": "temp_c",
    "dewpoint": "dewpoint_c",
    "relativeHumidity": "rh_pct",
    "windSpeed": "wind_m_s",
    "windDirection": "wind_from_deg",
    "windGust": "gust_m_s",
    "skyCover": "cloud_share",
    "quantitativePrecipitation": "rain_mm",
    "probabilityOfPrecipitation": "rain_chance",
    "twentyFootWindSpeed": "wind_20ft_m_s",
    "mixingHeight": "mixing_m",
    "transportWindSpeed": "transport_m_s",
}
_TOTALS = ("rain_mm",)
_DURATION = re.compile(r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,3})H)?)?", re.ASCII)
_MOST_HOURS = 24 * 31

Span = tuple[int, int, float]
"""First hour (since 1970), how many hours, the value."""


def looks_gridpoint(found: Mapping[str, Any]) -> bool:
    """Whether an object is a grid forecast."""
    properties = found.get("properties")
    return isinstance(properties, dict) and {"gridId", "updateTime"} <= properties.keys()


def parse_gridpoint(file: str, found: Mapping[str, Any]) -> Weather:
    """Read a grid forecast into hours, UTC.

    Raises:
        BadInput: a layer, interval, unit or number is not what the format has; two values of one
            layer cover the same hour; nothing that is used is in it.
    """
    properties = found["properties"]
    layers = {e: list(_spans(file, properties, layer, e)) for layer, e in LAYERS.items()}
    spans = [span for found_ in layers.values() for span in found_]
    if not spans:
        raise BadInput("weather-nothing-known", file=file, elements=", ".join(LAYERS))
    first, end = min(s[0] for s in spans), max(s[0] + s[1] for s in spans)
    if end - first > _MOST_HOURS:
        raise BadInput("forecast-too-long", file=file, hours=end - first, most=_MOST_HOURS)
    values = {e: _laid(file, e, own, first, end - first) for e, own in layers.items()}
    times = np.datetime64((first + 1) * 60, "m") + np.arange(end - first) * 60
    issued = moment(file, "updateTime", properties["updateTime"])
    return expected(file, FORMAT, _station(file, found), times, issued, values)


def moment(file: str, where: str, text: object) -> datetime:
    """A moment with its zone, as UTC.

    Raises:
        BadInput: it is none, or has no zone.
    """
    try:
        found = datetime.fromisoformat(str(text))
        if found.utcoffset() is not None and 1900 <= found.year < 2100:
            return found.astimezone(UTC)
    except (ValueError, OverflowError):
        pass
    raise BadInput("forecast-bad-moment", file=file, where=where, value=str(text)[:40])


def _spans(file: str, properties: Mapping[str, Any], layer: str, element: str) -> Iterator[Span]:
    about = properties.get(layer)
    if about is None:
        return
    values = about.get("values") if isinstance(about, dict) else None
    if not isinstance(values, list):
        raise BadInput("forecast-no-values", file=file, where=layer)
    if not values:
        return
    turn = _unit(file, layer, element, about.get("uom"))
    for at, one in enumerate(values, 1):
        where = f"{layer} value {at}"
        if not isinstance(one, dict):
            raise BadInput("forecast-no-values", file=file, where=where)
        first, hours = _interval(file, where, one.get("validTime"))
        value = turn(number(file, where, one.get("value")))
        low, high = BOUNDS[element]
        if value < low or value > high:
            raise BadInput(
                "forecast-impossible", file=file, where=where, value=one["value"],
                meaning=f"{value:g}", low=low, high=high, name=name_of(element),
            )  # fmt: skip
        yield first, hours, value


def _unit(file: str, layer: str, element: str, uom: object) -> Callable[[float], float]:
    name = str(uom).rpartition(":")[2]
    turns = UNITS[element]
    if name not in turns:
        raise BadInput(
            "forecast-unit", file=file, where=layer, value=str(uom)[:40], want=", ".join(turns)
        )
    return turns[name]


def _interval(file: str, where: str, text: object) -> tuple[int, int]:
    start, _, length = str(text).partition("/")
    held = _DURATION.fullmatch(length)
    hours = 24 * int(held[1] or 0) + int(held[2] or 0) if held else 0
    if not 0 < hours <= _MOST_HOURS:
        raise BadInput("forecast-bad-interval", file=file, where=where, value=str(text)[:60])
    begins = moment(file, where, start)
    hour, odd = divmod(int(begins.timestamp()), 3600)
    if odd:
        raise BadInput("forecast-bad-interval", file=file, where=where, value=str(text)[:60])
    return hour, hours


def _laid(file: str, element: str, spans: list[Span], first: int, count: int) -> Floats:
    values, taken = np.full(count, np.nan), np.zeros(count, dtype=bool)
    for hour, hours, value in spans:
        at = slice(hour - first, hour - first + hours)
        if taken[at].any():
            stamp = np.datetime64(hour * 60, "m")
            raise BadInput("forecast-twice", file=file, name=name_of(element), stamp=stamp)
        taken[at] = True
        values[at] = value / hours if element in _TOTALS else value
    return values


def _station(file: str, found: Mapping[str, Any]) -> Station:
    properties = found["properties"]
    office, x, y = (properties.get(name, "") for name in ("gridId", "gridX", "gridY"))
    height = properties.get("elevation")
    metres = height.get("value") if isinstance(height, dict) else None
    longitude, latitude = _middle(found.get("geometry"))
    return Station(
        f"{office} {x},{y}"[:60], "", latitude, longitude,
        None if metres is None else number(file, "elevation", metres), SOURCE,
    )  # fmt: skip


def _middle(geometry: object) -> tuple[float | None, float | None]:
    """The middle of the grid's cell; a place that is not given is not known."""
    try:
        ring = geometry["coordinates"][0][:-1]  # type: ignore[index]
        longitude, latitude = (sum(float(p[i]) for p in ring) / len(ring) for i in (0, 1))
    except (KeyError, IndexError, TypeError, ValueError, ZeroDivisionError):
        return None, None
    inside = abs(latitude) <= 90 and abs(longitude) <= 180
    return (longitude, latitude) if inside else (None, None)

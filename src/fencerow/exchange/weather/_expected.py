"""What every form of forecast shares: its units, and the way from arrays to a forecast."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

import numpy as np

from fencerow.exchange.weather.report import ElementCount, Weather, WeatherReport, said_of
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import Floats, Station, Times
from fencerow.words import Message

Turn = Callable[[float], float]


def _times(factor: float) -> Turn:
    return lambda value: value * factor


_DEGREES: dict[str, Turn] = {
    "degC": _times(1), "°C": _times(1),
    "degF": lambda f: (f - 32) / 1.8, "°F": lambda f: (f - 32) / 1.8,
}  # fmt: skip
_SPEEDS = {
    "m_s-1": _times(1), "m/s": _times(1), "km_h-1": _times(1 / 3.6), "km/h": _times(1 / 3.6),
    "mp/h": _times(0.44704), "mph": _times(0.44704), "kn": _times(1852 / 3600),
}  # fmt: skip
_PERCENT, _SHARES = {"percent": _times(1), "%": _times(1)}, {"percent": 0.01, "%": 0.01}
_OF_ONE: dict[str, Turn] = {name: _times(factor) for name, factor in _SHARES.items()}
_ANGLE = {"degree_(angle)": _times(1), "°": _times(1)}

UNITS: dict[str, dict[str, Turn]] = {
    "temp_c": _DEGREES,
    "dewpoint_c": _DEGREES,
    "rh_pct": _PERCENT,
    "pressure_kpa": {"hPa": _times(0.1)},
    "wind_m_s": _SPEEDS,
    "gust_m_s": _SPEEDS,
    "wind_from_deg": _ANGLE,
    "wind_20ft_m_s": _SPEEDS,
    "transport_m_s": _SPEEDS,
    "mixing_m": {"m": _times(1), "ft": _times(0.3048)},
    "cloud_share": _OF_ONE,
    "rain_chance": _OF_ONE,
    "rain_mm": {"mm": _times(1), "inch": _times(25.4)},
    "solar_w_m2": {"W/m²": _times(1)},
}
"""For each element, what turns a unit that a forecast may name into ours."""


def expected(
    file: str, form: str, station: Station, times: Times, issued: datetime,
    values: Mapping[str, Floats], messages: tuple[Message, ...] = (),
) -> Weather:  # fmt: skip
    """A forecast from its arrays, and what to know of it."""
    content: dict[str, Any] = dict(values)
    _settle_wind(content)
    series = Forecast(station=station, times=times, issued_at=issued, wind_height_m=10.0, **content)
    counts = tuple(_count(series, name) for name in series.ELEMENTS if series.known[name].any())
    said = (*messages, *_rain_said(series), *(m for c in counts for m in said_of(c)))
    return Weather(
        series, WeatherReport(file, form, str(series.first), str(series.last), counts, said)
    )


def _settle_wind(values: dict[str, Floats]) -> None:
    """360 is north; a calm has no direction."""
    if "wind_from_deg" in values:
        values["wind_from_deg"] = values["wind_from_deg"] % 360
        if "wind_m_s" in values:
            values["wind_from_deg"][values["wind_m_s"] == 0] = np.nan


def _rain_said(series: Forecast) -> tuple[Message, ...]:
    until = series.until("rain_mm")
    if until is None:
        return (Message.of("forecast-no-rain"),)
    if until < series.last:
        known = int(series.known["rain_mm"].sum())
        return (Message.of("forecast-rain-ends", until=until, hours=known, total=len(series)),)
    return ()


def _count(series: Forecast, name: str) -> ElementCount:
    known = series.wind_known if name == "wind_from_deg" else series.known[name]
    return ElementCount(name, int(known.sum()), len(series) - int(known.sum()))

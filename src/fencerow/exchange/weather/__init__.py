"""Weather in: GHCN-Daily, GHCN-Hourly, ISD, TMY3; grid forecasts and open forecasts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from fencerow.exchange.weather import ghcn, ghcnh, gridpoint, isd, open_forecast, tmy3
from fencerow.exchange.weather._json import looks_json, object_of
from fencerow.exchange.weather._text import lines_of
from fencerow.exchange.weather.report import ElementCount, Weather, WeatherReport
from fencerow.words import BadInput

__all__ = ["ElementCount", "Weather", "WeatherReport", "is_forecast", "parse_forecast",
           "read_forecast", "read_weather"]  # fmt: skip


def read_weather(path: Path, station: str | None = None) -> Weather:
    """Read a weather file of a known format, which is told by its content, not by its name.

    Args:
        path: a plain or gzip file.
        station: which station to take from a file that holds several.

    Raises:
        BadInput: the file is of no known format, or something in it is wrong; one paragraph that
            names file, row and field.
    """
    if looks_json(path):
        return read_forecast(path)
    lines = lines_of(path)
    if ghcn.looks_fixed(lines):
        return ghcn.parse_fixed(path.name, lines, station)
    if ghcn.looks_by_year(lines):
        return ghcn.parse_by_year(path.name, lines, station)
    if ghcnh.looks_ghcnh(lines):
        return ghcnh.parse_ghcnh(path.name, lines, station)
    if isd.looks_fixed(lines):
        return isd.parse_fixed(path.name, lines, station)
    if isd.looks_csv(lines):  # before GHCN's CSV by station, which asks for less
        return isd.parse_csv(path.name, lines, station)
    if ghcn.looks_by_station(lines):
        return ghcn.parse_by_station(path.name, lines, station)
    if tmy3.looks_tmy3(lines):
        return tmy3.parse_tmy3(path.name, lines)
    raise BadInput("weather-unknown-format", file=path.name, begins=lines[0][:40])


def is_forecast(path: Path) -> bool:
    """Whether a file is a forecast; one that cannot be read is none."""
    if not looks_json(path):
        return False
    try:
        found = object_of(path)
    except BadInput:
        return False
    return gridpoint.looks_gridpoint(found) or open_forecast.looks_open(found)


def read_forecast(path: Path, issued: datetime | None = None) -> Weather:
    """Read a forecast of a known format.

    Args:
        issued: when it was asked for, where the file does not say when it was issued.

    Raises:
        BadInput: the file is no forecast that can be read here, or something in it is wrong.
    """
    return parse_forecast(path.name, object_of(path), issued)


def parse_forecast(file: str, found: Mapping[str, Any], issued: datetime | None = None) -> Weather:
    """A forecast from an object of its JSON; as for `read_forecast`."""
    if gridpoint.looks_gridpoint(found):
        return gridpoint.parse_gridpoint(file, found)
    if open_forecast.looks_open(found):
        return open_forecast.parse_open(file, found, issued)
    raise BadInput("forecast-unknown-format", file=file, names=", ".join(list(found)[:6])[:120])

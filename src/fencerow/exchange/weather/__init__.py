"""Weather records in: GHCN-Daily (fixed width, both CSV layouts) and TMY3."""

from __future__ import annotations

from pathlib import Path

from fencerow.exchange.weather import ghcn, tmy3
from fencerow.exchange.weather._text import lines_of
from fencerow.exchange.weather.report import ElementCount, Weather, WeatherReport
from fencerow.words import BadInput

__all__ = ["ElementCount", "Weather", "WeatherReport", "read_weather"]


def read_weather(path: Path, station: str | None = None) -> Weather:
    """Read a weather file of a known format, which is told by its content, not by its name.

    Args:
        path: a plain or gzip file.
        station: which station to take from a GHCN-Daily file that holds several.

    Raises:
        BadInput: the file is of no known format, or something in it is wrong; one paragraph that
            names file, row and field.
    """
    lines = lines_of(path)
    if ghcn.looks_fixed(lines):
        return ghcn.parse_fixed(path.name, lines, station)
    if ghcn.looks_by_year(lines):
        return ghcn.parse_by_year(path.name, lines, station)
    if ghcn.looks_by_station(lines):
        return ghcn.parse_by_station(path.name, lines, station)
    if tmy3.looks_tmy3(lines):
        return tmy3.parse_tmy3(path.name, lines)
    raise BadInput("weather-unknown-format", file=path.name, begins=lines[0][:40])

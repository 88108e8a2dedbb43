"""GHCN-Hourly in: values parted by '|', six columns for each element, stamps in UTC.

Layout: NOAA NCEI, GHCNh: the value, then its _Measurement_Code, _Quality_Code, _Report_Type,
_Source_Code and _Source_Station_ID. A file by year has DATE; one of the whole record has Year,
Month, Day, Hour and Minute. Columns are found by name, since their number has changed. Units: °C,
pressure hPa, wind m/s, rain mm of the past hour; a direction of 0 is a calm's, 360 is north.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from fencerow.exchange.weather._hours import (
    PASSED,
    Reports,
    assemble,
    minute_of,
    number_of,
)
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.series import Station
from fencerow.words import BadInput

_ELEMENTS = {
    "temperature": ("temp_c", 1.0),
    "dew_point_temperature": ("dewpoint_c", 1.0),
    "relative_humidity": ("rh_pct", 1.0),
    "station_level_pressure": ("pressure_kpa", 10.0),
    "wind_speed": ("wind_m_s", 1.0),
    "wind_direction": ("wind_from_deg", 1.0),
    "precipitation": ("rain_mm", 1.0),
}
_CLOCK = ("Year", "Month", "Day", "Hour", "Minute")
_FAILED_DIGITS = frozenset("2367")
_SKY = [f"sky_cover_{layer}" for layer in (1, 2, 3)]
_OKTAS = re.compile(r"(?:[A-Z]+:)?0?([0-8])", re.ASCII)
_ACCUMULATED = re.compile(r"\d+-hr-accum|g", re.ASCII)
_MISSING = frozenset({"", "-9999", "9999", "999.9", "9999.9", "99999"})


def looks_ghcnh(lines: Sequence[str]) -> bool:
    """Whether these lines are GHCN-Hourly."""
    head = {name.strip().lower() for name in lines[0].split("|")}
    return "temperature" in head and bool({"date", "year"} & head)


def parse_ghcnh(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read a file of one station, of a year or of its whole record.

    Raises:
        BadInput: a column is missing, a row has other columns, a stamp or number is none or cannot
            be, or the file holds several stations and none is named.
    """
    head = [name.strip().lower() for name in lines[0].split("|")]
    at = {name: place for place, name in enumerate(head)}
    _refuse_head(file, head)
    reports = Reports(file)
    rows = [(n, line.split("|")) for n, line in enumerate(lines[1:], 2) if line.strip()]
    for row, fields in rows:
        if len(fields) != len(head):
            raise BadInput("weather-row-width", file=file, row=row, got=len(fields), want=len(head))
    id_at = at.get("station", at.get("station_id", 0))
    id_ = _one_station(file, {fields[id_at].strip() for _, fields in rows}, station)
    mine = [(row, fields) for row, fields in rows if fields[id_at].strip() == id_]
    for row, fields in mine:
        record = _Row(reports, row, at, fields)
        reports.add(row, record.minute(), record.form(), record.values())
    return assemble(reports, "GHCNh", _Row(reports, mine[0][0], at, mine[0][1]).station(id_))


def _refuse_head(file: str, head: Sequence[str]) -> None:
    if len(set(head)) != len(head):
        raise BadInput("weather-columns-twice", file=file)
    clock = [] if "date" in head else [c for c in _CLOCK if c.lower() not in head]
    if clock:
        raise BadInput("weather-columns", file=file, missing=", ".join(clock))


def _one_station(file: str, found: set[str], wanted: str | None) -> str:
    if not found:
        raise BadInput("weather-empty", file=file)
    shown = ", ".join(sorted(found)[:5])
    if wanted is None and len(found) > 1:
        raise BadInput("weather-stations", file=file, count=len(found), found=shown)
    if wanted is not None and wanted not in found:
        raise BadInput("weather-no-station", file=file, station=wanted, found=shown)
    return wanted or next(iter(found))


class _Row:
    """One row by the names of its columns."""

    def __init__(
        self, reports: Reports, row: int, at: Mapping[str, int], fields: Sequence[str]
    ) -> None:
        self.reports, self.row, self.at, self.fields = reports, row, at, fields

    def field(self, name: str) -> str:
        """What stands in a column; a column that the file has not is empty."""
        place = self.at.get(name)
        return "" if place is None else self.fields[place].strip()

    def minute(self) -> int:
        text = self.field("date")
        if "date" not in self.at:
            year, month, day, hour, minute = (self.field(c.lower()).zfill(2) for c in _CLOCK)
            text = f"{year}-{month}-{day}T{hour}:{minute}"
        return minute_of(self.reports.file, self.row, text)

    def form(self) -> str:
        return self.field("temperature_report_type")

    def station(self, id_: str) -> Station:
        latitude, longitude, height = map(self._place, ("latitude", "longitude", "elevation"))
        name = self.field("station_name")
        return Station(id_, name, latitude, longitude, height, "noaa-ghcnh")

    def _place(self, name: str) -> float | None:
        text = self.field(name)
        if text in _MISSING or not text.strip("*"):
            return None
        return number_of(self.reports.file, self.row, name, text)

    def values(self) -> dict[str, float]:
        found = {}
        for column, (element, divisor) in _ELEMENTS.items():
            value = self._value(column, element, divisor)
            if value is not None:
                found[element] = value
        if found.get("wind_from_deg") == 0 and found.get("wind_m_s") != 0:
            del found["wind_from_deg"]  # a calm's direction beside a wind: one of them is wrong
        cloud = self._cloud()
        return found if cloud is None else found | {"cloud_share": cloud}

    def _value(self, column: str, element: str, divisor: float) -> float | None:
        text = self.field(column)
        measured = self.field(f"{column}_measurement_code")
        trace = element == "rain_mm" and measured[:1] in ("2", "T")
        if text in _MISSING:
            text = "0" if trace else ""
        if not text or (element == "wind_from_deg" and text.startswith("999")):
            return None
        number = number_of(self.reports.file, self.row, column, text)
        if self._failed(column):
            self.reports.flags[element, "failed"] += 1
            return None
        if element == "rain_mm":
            if _ACCUMULATED.fullmatch(measured):
                self.reports.flags[element, "longer"] += 1
                return None
            self.reports.flags[element, "trace"] += trace
            self.reports.flags[element, "presumed"] += measured == "Z"
        return self.reports.value(self.row, column, element, number / divisor, text)

    def _failed(self, column: str) -> bool:
        """The older sources, 313 to 348, have ISD's codes; of the others each letter is a check
        that was failed."""
        code = self.field(f"{column}_quality_code")
        if code.isdigit():
            return code[0] in _FAILED_DIGITS
        source = self.field(f"{column}_source_code")
        older = source.isdecimal() and len(source) <= 9 and 313 <= int(source) <= 348
        return code not in PASSED if older else bool(code)

    def _cloud(self) -> float | None:
        """The most of any layer, in eighths; a sky that is hidden has no share."""
        seen = [_OKTAS.fullmatch(self.field(layer)) for layer in _SKY]
        oktas = [int(m[1]) for m in seen if m]
        return max(oktas) / 8 if oktas else None

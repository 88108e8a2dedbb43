"""Integrated Surface Data in: reports of a station in fixed width, or the CSV of the same fields.

Layout: NOAA NCEI, Federal Climate Complex Data Documentation for Integrated Surface Data. Stamps
are UTC. Numbers are whole tenths (°C, m/s, mm), a quality code behind each; all nines is missing.
In AA1 to AA4 rain has its own period in hours: one hour's is used, totals of more hours are not.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from fencerow.exchange.weather._hours import PASSED, Reports, assemble, minute_of, number_of
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.series import Station
from fencerow.words import BadInput

_FIXED = re.compile(r"\d{4}[0-9A-Z]\d{5}\d{5}\d{8}\d{4}[0-9A-Z][+-]\d{5}[+-]\d{6}", re.ASCII)
_LEAST = 105
_NEEDED = ("STATION", "DATE", "REPORT_TYPE", "WND", "TMP")
_SUMMARIES = ("SOD", "SOM")
_RAIN = re.compile(r"AA[1-4]", re.ASCII)
_NOT_THE_HOUR = frozenset("1345678IJ")
"""Condition codes of rain whose amount is missing, incomplete, or of a longer time."""


def looks_fixed(lines: Sequence[str]) -> bool:
    """Whether these lines are ISD of fixed width."""
    return _FIXED.match(lines[0]) is not None


def looks_csv(lines: Sequence[str]) -> bool:
    """Whether these lines are ISD as CSV."""
    head = _head(lines)
    return {"STATION", "TMP", "WND"} <= set(head)


def _head(lines: Sequence[str]) -> list[str]:
    try:
        return [name.strip() for name in next(csv.reader(lines[:1]), [])]
    except csv.Error:  # a line that is no CSV has no columns
        return []


def parse_fixed(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read the fixed-width layout: 105 characters in every line, then what else was observed.

    Raises:
        BadInput: a line is cut short, a stamp or number is none or cannot be, or the file holds
            several stations.
    """
    found = []
    for row, line in enumerate(lines, 1):
        if not _FIXED.match(line) or len(line) < _LEAST:
            raise BadInput("isd-bad-line", file=file, row=row, length=len(line), want=_LEAST)
        found.append((row, _fields(line)))
    return _assembled(file, "ISD fixed width", found, station)


def _fields(line: str) -> dict[str, str]:
    """A line's fields in the form that the CSV has them in, parts joined by commas."""
    stamp = f"{line[15:19]}-{line[19:21]}-{line[21:23]}T{line[23:25]}:{line[25:27]}:00"
    fields = {
        "STATION": line[4:15],
        "DATE": stamp,
        "REPORT_TYPE": line[41:46].strip(),
        "LATITUDE": _thousandths(line[28:34]),
        "LONGITUDE": _thousandths(line[34:41]),
        "ELEVATION": "" if line[46:51] == "+9999" else line[46:51],
        "WND": ",".join((line[60:63], line[63], line[64], line[65:69], line[69])),
        "TMP": f"{line[87:92]},{line[92]}",
        "DEW": f"{line[93:98]},{line[98]}",
    }
    more = line[108:] if line[105:108] == "ADD" else ""
    while _RAIN.match(more):  # the groups stand in the order of their names, so these are first
        fields[more[:3]] = ",".join((more[3:5], more[5:9], more[9:10], more[10:11]))
        more = more[11:]
    return fields


def _thousandths(text: str) -> str:
    if text[1:].strip("9") == "" or not text[1:].isdigit():
        return ""
    return f"{int(text) / 1000:.3f}"


def parse_csv(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read the CSV: a row for each report, a column for each group, parts joined by commas.

    Raises:
        BadInput: a column is missing, a row has other columns, a stamp or number is none or cannot
            be, or the file holds several stations.
    """
    head = _head(lines)
    if missing := [name for name in _NEEDED if name not in head]:
        raise BadInput("weather-columns", file=file, missing=", ".join(missing))
    if len(set(head)) != len(head):
        raise BadInput("weather-columns-twice", file=file)
    return _assembled(file, "ISD CSV", list(_rows(file, lines, head)), station)


def _rows(
    file: str, lines: Sequence[str], head: Sequence[str]
) -> Iterator[tuple[int, dict[str, str]]]:
    reader = csv.reader(lines, strict=True)
    try:
        for fields in islice(reader, 1, None):
            if not fields:
                continue
            row = reader.line_num
            if len(fields) != len(head):
                raise BadInput(
                    "weather-row-width", file=file, row=row, got=len(fields), want=len(head)
                )
            yield row, dict(zip(head, fields, strict=True))
    except csv.Error as error:
        raise BadInput("weather-bad-csv", file=file, row=reader.line_num, why=error) from None


def _assembled(
    file: str, form: str, rows: Sequence[tuple[int, Mapping[str, str]]], wanted: str | None
) -> Weather:
    found = {fields["STATION"] for _, fields in rows}
    if not found:
        raise BadInput("weather-empty", file=file)
    shown = ", ".join(sorted(found)[:5])
    if wanted is None and len(found) > 1:
        raise BadInput("weather-stations", file=file, count=len(found), found=shown)
    if wanted is not None and wanted not in found:
        raise BadInput("weather-no-station", file=file, station=wanted, found=shown)
    id_ = wanted or next(iter(found))
    mine = [(row, fields) for row, fields in rows if fields["STATION"] == id_]
    reports = Reports(file)
    for row, fields in mine:
        form_of = fields["REPORT_TYPE"].strip()
        if not form_of.startswith(_SUMMARIES):  # a summary of a day or month is no hour
            minute = minute_of(file, row, fields["DATE"])
            reports.add(row, minute, form_of, _values(reports, row, fields))
    row, fields = mine[0]
    return assemble(reports, form, _station(file, row, fields))


def _station(file: str, row: int, fields: Mapping[str, str]) -> Station:
    def of(name: str) -> float | None:
        text = fields.get(name, "").strip()
        return number_of(file, row, name, text) if text else None

    return Station(
        fields["STATION"], fields.get("NAME", ""), of("LATITUDE"), of("LONGITUDE"),
        of("ELEVATION"), "noaa-isd",
    )  # fmt: skip


def _values(reports: Reports, row: int, fields: Mapping[str, str]) -> dict[str, float]:
    found: dict[str, float | None] = {}
    for column, element in (("TMP", "temp_c"), ("DEW", "dewpoint_c")):
        if text := fields.get(column, ""):
            number, code = _parts(reports, row, column, text, 2)
            found[element] = _tenths(reports, row, column, element, number, code)
    found |= _wind(reports, row, fields.get("WND", ""))
    for column in ("AA1", "AA2", "AA3", "AA4"):
        if (text := fields.get(column, "")) and found.get("rain_mm") is None:
            found["rain_mm"] = _rain(reports, row, column, text)
    return {name: value for name, value in found.items() if value is not None}


def _parts(reports: Reports, row: int, column: str, text: str, count: int) -> list[str]:
    parts = text.split(",")
    if len(parts) != count:
        raise BadInput("isd-bad-group", file=reports.file, row=row, field=column,
                       value=text[:40], want=count)  # fmt: skip
    return parts


def _tenths(
    reports: Reports, row: int, column: str, element: str, text: str, code: str
) -> float | None:
    number = number_of(reports.file, row, column, text)
    if text.lstrip("+").strip("9") == "":
        return None
    if code not in PASSED:
        reports.flags[element, "failed"] += 1
        return None
    return reports.value(row, column, element, number / 10, text)


def _wind(reports: Reports, row: int, text: str) -> dict[str, float | None]:
    if not text:
        return {}
    from_, from_code, kind, speed, speed_code = _parts(reports, row, "WND", text, 5)
    direction = number_of(reports.file, row, "WND", from_)
    wind = _tenths(reports, row, "WND", "wind_m_s", speed, speed_code)
    if kind == "C" and wind is None:
        wind = 0.0  # written as a calm, with its speed left out
    if from_ == "999" or kind in ("C", "V"):
        return {"wind_m_s": wind}
    if from_code not in PASSED:
        reports.flags["wind_from_deg", "failed"] += 1
        return {"wind_m_s": wind}
    held = reports.value(row, "WND", "wind_from_deg", direction, from_)
    return {"wind_m_s": wind, "wind_from_deg": held}


def _rain(reports: Reports, row: int, column: str, text: str) -> float | None:
    period, depth, condition, code = _parts(reports, row, column, text, 4)
    hours = number_of(reports.file, row, column, period)
    if hours != 1:
        reports.flags["rain_mm", "longer"] += hours not in (0, 99)
        return None
    if condition == "2":
        reports.flags["rain_mm", "trace"] += 1
        depth = "0000" if depth == "9999" else depth
    if condition in _NOT_THE_HOUR:
        reports.flags["rain_mm", "longer"] += 1
        return None
    return _tenths(reports, row, column, "rain_mm", depth, code)

"""TMY3 in: a typical year of hours, put together from months of different years.

Layout: NREL, Users Manual for TMY3 Data Sets. Stamps are local standard time, hour 1 to 24, and
mark the end of the hour that radiation belongs to; the rest was observed at the stamp. Rain is not
used: at some stations it is in tenths of a mm under a heading that says mm, with months of zeros.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from fencerow.exchange.weather.report import ElementCount, Weather, WeatherReport, said_of
from fencerow.science.weather.series import Floats, HourlySeries, Station, Times
from fencerow.words import BadInput, Message, name_of

NOMINAL_YEAR = 2001
"""The year that a typical year is laid on: one of 365 days, in no record's place."""

_HOURS = 8760
_DATE, _TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
_MISSING = -9900.0
_NO_CEILING = 77777.0


@dataclass(frozen=True)
class _Column:
    heading: str
    divisor: float
    low: float
    high: float


_COLUMNS = {
    "temp_c": _Column("Dry-bulb (C)", 1, -60, 60),
    "dewpoint_c": _Column("Dew-point (C)", 1, -90, 60),
    "rh_pct": _Column("RHum (%)", 1, 0, 100),
    "pressure_kpa": _Column("Pressure (mbar)", 10, 500, 1100),
    "wind_m_s": _Column("Wspd (m/s)", 1, 0, 75),
    "wind_from_deg": _Column("Wdir (degrees)", 1, 0, 360),
    "solar_w_m2": _Column("GHI (W/m^2)", 1, 0, 1500),
    "cloud_share": _Column("TotCld (tenths)", 10, 0, 10),
    "ceiling_m": _Column("CeilHgt (m)", 1, 0, 99999),
}


def looks_tmy3(lines: Sequence[str]) -> bool:
    """Whether these lines are a TMY3 file."""
    return len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY),")


def parse_tmy3(file: str, lines: Sequence[str]) -> Weather:
    """Read a TMY3 file into a typical hourly series in UTC.

    Raises:
        BadInput: the station line, a column, an hour or a number is not what TMY3 has.
    """
    station, zone_h = _station(file, lines[0])
    column = _columns(file, lines)
    _check_hours(file, column[_DATE], column[_TIME])
    values = {name: _values(file, column, name) for name in _COLUMNS}
    values["wind_from_deg"] = _direction(values["wind_from_deg"], values["wind_m_s"])
    content: dict[str, Any] = values
    series = HourlySeries(
        station=station, times=_utc(zone_h), typical=True, wind_height_m=10.0, **content
    )
    years = sorted({date[6:10] for date in column[_DATE]})
    counts = tuple(_count(series, name) for name in _COLUMNS)
    messages = (
        Message.of("weather-typical-year", years=", ".join(years)),
        Message.of("weather-tmy3-rain"),
        *(message for count in counts for message in said_of(count)),
    )
    report = WeatherReport(file, "TMY3", str(series.first), str(series.last), counts, messages)
    return Weather(series, report)


def _station(file: str, line: str) -> tuple[Station, float]:
    try:
        id_, name, state, *rest = next(csv.reader([line]), [])
        zone_h, latitude, longitude, elevation = (float(text) for text in rest)
        if abs(latitude) > 90 or abs(longitude) > 180 or abs(zone_h) > 14:
            raise ValueError
    except (ValueError, csv.Error):
        raise BadInput("weather-tmy3-station", file=file, value=line[:80]) from None
    place = f"{name.strip()}, {state}"
    return Station(id_, place, latitude, longitude, elevation, "nrel-tmy3"), zone_h


def _columns(file: str, lines: Sequence[str]) -> dict[str, tuple[str, ...]]:
    head = lines[1].split(",")
    needed = [_DATE, _TIME, *(column.heading for column in _COLUMNS.values())]
    if missing := [name for name in needed if name not in head]:
        raise BadInput("weather-columns", file=file, missing=", ".join(missing))
    rows = [line.split(",") for line in lines[2:]]
    for number, row in enumerate(rows, 3):
        if len(row) != len(head):
            raise BadInput("weather-row-width", file=file, row=number, got=len(row), want=len(head))
    if len(rows) != _HOURS:
        raise BadInput("weather-tmy3-hours", file=file, got=len(rows), want=_HOURS)
    return dict(zip(head, zip(*rows, strict=True), strict=True))


def _check_hours(file: str, dates: Sequence[str], times: Sequence[str]) -> None:
    days = np.arange(f"{NOMINAL_YEAR}-01-01", f"{NOMINAL_YEAR + 1}-01-01", dtype="datetime64[D]")
    for i, (date, time) in enumerate(zip(dates, times, strict=True)):
        day = str(days[i // 24])
        want = f"{day[5:7]}/{day[8:10]}", f"{i % 24 + 1:02d}:00"
        if (date[:5], time) != want or not date[6:].isdigit():
            raise BadInput(
                "weather-tmy3-stamp",
                file=file, row=i + 3, value=f"{date} {time}", want=" ".join(want),
            )  # fmt: skip


def _values(file: str, column: dict[str, tuple[str, ...]], name: str) -> Floats:
    """One column in SI; NaN where the file says that it is missing."""
    about = _COLUMNS[name]
    texts = column[about.heading]
    raw = np.array([_float(file, i + 3, about.heading, text) for i, text in enumerate(texts)])
    raw[raw == _MISSING] = np.nan
    bad = np.flatnonzero((raw < about.low) | (raw > about.high))
    if len(bad):
        i = bad[0]
        raise BadInput(
            "weather-outside",
            file=file, row=i + 3, field=about.heading, value=texts[i], low=about.low,
            high=about.high, name=name_of(name),
        )  # fmt: skip
    if name == "ceiling_m":
        raw[raw >= _NO_CEILING] = np.inf
    return raw / about.divisor


def _float(file: str, row: int, field: str, text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = np.nan
    if not np.isfinite(value):
        raise BadInput("weather-no-number", file=file, row=row, field=field, value=text)
    return value


def _direction(from_deg: Floats, wind_m_s: Floats) -> Floats:
    """The file has 360 for north and 0 for calm; some hours with wind say 0, and mean north."""
    out = from_deg % 360
    out[wind_m_s == 0] = np.nan
    return out


def _utc(zone_h: float) -> Times:
    ends = np.datetime64(f"{NOMINAL_YEAR}-01-01T01:00", "m") + np.arange(_HOURS) * 60
    utc: Times = ends - np.timedelta64(round(zone_h * 60), "m")
    return utc


def _count(series: HourlySeries, name: str) -> ElementCount:
    known = series.wind_known if name == "wind_from_deg" else series.known[name]
    have = int(known.sum())
    return ElementCount(name, have, len(series) - have)

"""From the cells of a GHCN-Daily file, in any of its layouts, to a daily series and its report.

A cell is one element of one day as the file has it: a whole number in tenths, with its flags. Flags
are obeyed here and nowhere else. Source: NOAA NCEI, GHCN-Daily, table of flags.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from fencerow.exchange.weather.report import (
    ElementCount,
    Weather,
    WeatherReport,
    months_missing,
    said_of,
)
from fencerow.science.weather.series import DailySeries, Floats, Station, Times
from fencerow.words import BadInput, Message, name_of

MISSING = -9999
SOURCE = "noaa-ghcnd"
_EARLIEST, _LATEST = np.datetime64("1700-01-01"), np.datetime64("2200-01-01")


@dataclass(frozen=True)
class _Element:
    name: str
    divisor: int
    low: float
    high: float


# bounds beyond which a number is a slip or another unit: wider than any record on this continent
ELEMENTS = {
    "TMAX": _Element("tmax_c", 10, -60, 60),
    "TMIN": _Element("tmin_c", 10, -60, 60),
    "PRCP": _Element("rain_mm", 10, 0, 2000),
    "SNOW": _Element("snow_mm", 1, 0, 3000),
    "SNWD": _Element("snow_depth_mm", 1, 0, 15000),
    "AWND": _Element("wind_m_s", 10, 0, 100),
    "ADPT": _Element("dewpoint_c", 10, -60, 60),
}


@dataclass(frozen=True)
class Cells:
    """Parallel arrays, in the file's order: row, day, element code, number, flags, hour read."""

    row: npt.NDArray[np.int64]
    day: Times
    code: npt.NDArray[np.str_]
    raw: npt.NDArray[np.int64]
    m: npt.NDArray[np.str_]
    q: npt.NDArray[np.str_]
    hour: npt.NDArray[np.int64]

    @classmethod
    def joined(cls, parts: Sequence[Cells]) -> Cells:
        """Several sets of cells as one."""
        columns = zip(*(vars(part).values() for part in parts), strict=True)
        return cls(*(np.concatenate(column) for column in columns))

    def where(self, mask: npt.NDArray[Any]) -> Cells:
        """Some of the cells: a mask, or positions in the order wanted."""
        return Cells(*(column[mask] for column in vars(self).values()))


def assemble(file: str, form: str, station: Station, cells: Cells) -> Weather:
    """Lay the cells of one station on a daily axis, flags obeyed, gaps left open.

    Raises:
        BadInput: nothing is known, a day stands twice with two values, or a value is impossible.
    """
    cells = cells.where(cells.raw != MISSING)
    unused = sorted(set(cells.code.tolist()) - set(ELEMENTS))
    cells = cells.where(np.isin(cells.code, list(ELEMENTS)))
    if not len(cells.raw):
        raise BadInput("weather-nothing-known", file=file, elements=", ".join(ELEMENTS))
    _refuse_odd_years(file, cells)
    start = cells.day.min()
    times = np.arange(start, cells.day.max() + np.timedelta64(1, "D"))
    values: dict[str, Floats] = {}
    counts: list[ElementCount] = []
    same = 0
    for code in [c for c in ELEMENTS if (cells.code == c).any()]:
        own, twice = _once(file, cells.where(cells.code == code))
        same += twice
        one, count = _element(file, code, own, start, len(times))
        values[count.element] = one
        counts.append(count)
    _refuse_fahrenheit(file, values)
    content: dict[str, Any] = values
    series = DailySeries(station=station, times=times, **content)
    counts = [replace(c, months_missing=months_missing(series, c.element)) for c in counts]
    messages = (*_said(counts, unused, same, bool((cells.hour >= 0).any())),)
    report = WeatherReport(file, form, str(series.first), str(series.last), tuple(counts), messages)
    return Weather(series, report)


def _element(
    file: str, code: str, cells: Cells, start: np.datetime64, length: int
) -> tuple[Floats, ElementCount]:
    """One element as an array, NaN where it is not known, with the count of its flags."""
    element = ELEMENTS[code]
    failed, multiday = cells.q != " ", cells.m == "A"
    kept = cells.where(~failed & ~multiday)
    values = kept.raw / element.divisor
    _refuse_impossible(file, code, kept, values)
    out = np.full(length, np.nan)
    out[(kept.day - start).astype(np.int64)] = values
    return out, ElementCount(
        element=element.name,
        known=len(values),
        missing=length - len(values),
        failed=int(failed.sum()),
        multiday=int((multiday & ~failed).sum()),
        morning=int(((kept.hour > 0) & (kept.hour < 1200)).sum()),
        trace=int((kept.m == "T").sum()),
        presumed=int((kept.m == "P").sum()),
        lagged=int((kept.m == "L").sum()),
    )


def _once(file: str, cells: Cells) -> tuple[Cells, int]:
    """The cells of one element with each day once, and how many stood twice alike."""
    ordered = cells.where(np.argsort(cells.day, kind="stable"))
    again = np.flatnonzero(ordered.day[1:] == ordered.day[:-1])
    for i in again:
        for column in (ordered.raw, ordered.m, ordered.q):
            if column[i] != column[i + 1]:
                raise BadInput(
                    "weather-two-values",
                    file=file, rows=f"{ordered.row[i]} and {ordered.row[i + 1]}",
                    field=ordered.code[i], day=ordered.day[i],
                )  # fmt: skip
    return ordered.where(np.delete(np.arange(len(ordered.raw)), again)), len(again)


def _refuse_odd_years(file: str, cells: Cells) -> None:
    odd = np.flatnonzero((cells.day < _EARLIEST) | (cells.day > _LATEST))
    if len(odd):
        raise BadInput(
            "weather-bad-date", file=file, row=cells.row[odd[0]], value=cells.day[odd[0]]
        )


def _refuse_impossible(file: str, code: str, cells: Cells, values: Floats) -> None:
    element = ELEMENTS[code]
    bad = np.flatnonzero((values < element.low) | (values > element.high))
    if len(bad):
        i = bad[0]
        raise BadInput(
            "weather-impossible",
            file=file, row=cells.row[i], field=code, day=cells.day[i], value=cells.raw[i],
            meaning=f"{values[i]:g}", low=element.low, high=element.high,
            name=name_of(element.name),
        )  # fmt: skip


def _refuse_fahrenheit(file: str, values: dict[str, Floats]) -> None:
    """Whole degrees F read as tenths of °C make a half-year and more that never reaches 13 °C."""
    warmest = values.get("tmax_c")
    if warmest is None or np.count_nonzero(~np.isnan(warmest)) < 200:
        return
    if (top := float(np.nanmax(warmest))) < 13.0:
        raise BadInput("weather-fahrenheit", file=file, top=top)


def _said(
    counts: list[ElementCount], unused: list[str], same: int, hour_known: bool
) -> Iterator[Message]:
    for count in counts:
        yield from said_of(count)
    if same:
        yield Message.of("weather-same-twice", count=same)
    if unused:
        yield Message.of("weather-not-used", elements=", ".join(unused))
    if not hour_known:
        yield Message.of("weather-hour-unknown")

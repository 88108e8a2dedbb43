"""From the reports of a station, at any minute, to an hourly series and what to know of it.

A report belongs to the hour that ends at or after it: one of 12:53 to the hour that ends at 13:00.
Of several in an hour a routine one stands before a special one, and the later before the earlier,
because a later one of the same hour holds the rain of the earlier. Rain comes from routine reports
alone: a special one says what fell since the last routine one, which is no hour. The wind's speed
and its direction come from one report.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

import numpy as np

from fencerow.exchange.weather.report import ElementCount, Weather, WeatherReport, said_of
from fencerow.science.weather.series import Floats, HourlySeries, Station
from fencerow.words import BadInput, Message, name_of

BOUNDS = {
    "temp_c": (-60.0, 60.0),
    "dewpoint_c": (-90.0, 60.0),
    "rh_pct": (0.0, 100.0),
    "pressure_kpa": (50.0, 110.0),
    "wind_m_s": (0.0, 75.0),
    "gust_m_s": (0.0, 120.0),
    "wind_from_deg": (0.0, 360.0),
    "solar_w_m2": (0.0, 1500.0),
    "cloud_share": (0.0, 1.0),
    "rain_mm": (0.0, 500.0),
    "rain_chance": (0.0, 1.0),
    "wind_20ft_m_s": (0.0, 75.0),
    "mixing_m": (0.0, 10_000.0),
    "transport_m_s": (0.0, 120.0),
}
"""Beyond these a number is a slip or another unit: wider than any record on this continent."""

PASSED = frozenset("01459AUPIMRC ") | {""}
"""Quality codes of ISD that stand: checks passed, or a value that an editor set; 2 3 6 7 failed."""

_SPECIAL = ("FM-16", "FM16")
_STAMP = re.compile(r"(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)(?::\d\d)?", re.ASCII)
_NUMBER = re.compile(r"[+-]?\d{1,9}(?:\.\d{0,9})?", re.ASCII)
_EARLIEST, _LATEST = datetime(1900, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Report:
    """One report: its row in the file, minutes since 1970 (UTC), its form, and what is known."""

    row: int
    minute: int
    form: str
    values: dict[str, float]

    @property
    def special(self) -> bool:
        """Whether it was written between the hours, because something changed."""
        return self.form.startswith(_SPECIAL)


@dataclass
class Reports:
    """The reports of a file as they are read, with the count of what its flags said."""

    file: str
    taken: list[Report] = field(default_factory=list)
    flags: Counter[tuple[str, str]] = field(default_factory=Counter)

    def value(self, row: int, column: str, element: str, number: float, raw: str) -> float:
        """A number that is held to what can be.

        Raises:
            BadInput: it cannot be.
        """
        low, high = BOUNDS[element]
        if not low <= number <= high:
            raise BadInput(
                "weather-hour-impossible", file=self.file, row=row, field=column, value=raw,
                meaning=f"{number:g}", low=low, high=high, name=name_of(element),
            )  # fmt: skip
        return number

    def add(self, row: int, minute: int, form: str, values: dict[str, float]) -> None:
        """Take a report in; one without any value says nothing."""
        if values:
            self.taken.append(Report(row, minute, form, values))


def minute_of(file: str, row: int, text: str) -> int:
    """Minutes since 1970 of a stamp like 2023-06-01T12:51:00.

    Raises:
        BadInput: it is none.
    """
    if found := _STAMP.fullmatch(text.strip()):
        try:
            stamp = datetime.fromisoformat(f"{found[1]}T{found[2]}+00:00")
        except ValueError:  # no such day, or no such hour
            stamp = _LATEST
        if _EARLIEST <= stamp < _LATEST:
            return int(stamp.timestamp()) // 60
    raise BadInput("weather-bad-stamp", file=file, row=row, value=text[:40])


def number_of(file: str, row: int, column: str, text: str) -> float:
    """A plain decimal number.

    Raises:
        BadInput: it is none.
    """
    number = _parsed(text)
    if number is None:
        raise BadInput("weather-hour-no-number", file=file, row=row, field=column, value=text[:40])
    return number


@lru_cache(65536)
def _parsed(text: str) -> float | None:
    """A text as a number; the same few thousand texts fill a record."""
    bare = text.strip()  # of more signs than float() itself would pass over
    return float(bare) if _NUMBER.fullmatch(bare) else None


def assemble(
    reports: Reports, form: str, station: Station, messages: Sequence[Message] = ()
) -> Weather:
    """Lay the reports of one station on an hourly axis, gaps left open.

    Raises:
        BadInput: no report says anything.
    """
    if not reports.taken:
        elements = ", ".join(HourlySeries.ELEMENTS)
        raise BadInput("weather-nothing-known", file=reports.file, elements=elements)
    hours = [-(-r.minute // 60) for r in reports.taken]
    first, count = min(hours), max(hours) - min(hours) + 1
    values = {name: np.full(count, np.nan) for name in HourlySeries.ELEMENTS}
    twice = _lay(reports, first, values)
    _settle_wind(values)
    content: dict[str, Any] = values
    times = np.datetime64(first * 60, "m") + np.arange(count) * 60
    series = HourlySeries(station=station, times=times, wind_height_m=10.0, **content)
    counts = tuple(_count(series, reports.flags, name) for name in values if _any(values[name]))
    said = [*messages, *(m for c in counts for m in said_of(c))]
    if twice:
        said.append(Message.of("weather-hours-apart", count=twice))
    about = WeatherReport(
        reports.file, form, str(series.first), str(series.last), counts, tuple(said)
    )
    return Weather(series, about)


def _lay(reports: Reports, first: int, values: dict[str, Floats]) -> int:
    """Each hour's best report of each element; how many are left out because two contradict."""
    best: dict[tuple[str, int], Report] = {}
    apart: set[tuple[str, int]] = set()
    for report in sorted(reports.taken, key=lambda r: (not r.special, r.minute, r.row)):
        hour = -(-report.minute // 60) - first
        for name in report.values:
            if name == "wind_from_deg" or (name == "rain_mm" and report.special):
                continue
            key = (name, hour)
            before = best.get(key)
            apart.discard(key)
            if before and _contradicts(before, report, name):
                apart.add(key)
            best[key] = report
    for (name, hour), report in best.items():
        if (name, hour) not in apart:
            values[name][hour] = report.values[name]
            if name == "wind_m_s":
                values["wind_from_deg"][hour] = report.values.get("wind_from_deg", np.nan)
    return len(apart)


def _contradicts(one: Report, other: Report, name: str) -> bool:
    same = (one.minute, one.form) == (other.minute, other.form)
    names = (name, "wind_from_deg") if name == "wind_m_s" else (name,)
    return same and any(one.values.get(n) != other.values.get(n) for n in names)


def _settle_wind(values: dict[str, Floats]) -> None:
    """360 is north, and so is 0 here; a calm has no direction."""
    values["wind_from_deg"] %= 360
    values["wind_from_deg"][values["wind_m_s"] == 0] = np.nan


def _any(values: Floats) -> bool:
    return bool((~np.isnan(values)).any())


def _count(series: HourlySeries, flags: Counter[tuple[str, str]], name: str) -> ElementCount:
    known = series.wind_known if name == "wind_from_deg" else series.known[name]
    have = int(known.sum())
    told: dict[str, Any] = {f: n for (element, f), n in flags.items() if element == name}
    return ElementCount(name, have, len(series) - have, **told)

"""What was read from a weather file: the series, what it lacks, and what to know of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from fencerow.science.weather.series import DailySeries, HourlySeries
from fencerow.words import Message, name_of


@dataclass(frozen=True)
class ElementCount:
    """One element of a series: how much of it is known, and what its flags said.

    `failed`, `multiday` and `longer` (of more than the hour) values were given and are not known;
    `trace`, `presumed` (a zero that nobody wrote), `lagged` and `morning` (read before noon)
    values are known, and counted.
    """

    element: str
    known: int
    missing: int
    failed: int = 0
    multiday: int = 0
    longer: int = 0
    trace: int = 0
    presumed: int = 0
    lagged: int = 0
    morning: int = 0
    months_missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class WeatherReport:
    """How a file was read; `messages` are for the person."""

    file: str
    format: str
    first: str
    last: str
    counts: tuple[ElementCount, ...]
    messages: tuple[Message, ...]

    def count(self, element: str) -> ElementCount:
        """The counts of one element.

        Raises:
            KeyError: the file has nothing of this element.
        """
        for row in self.counts:
            if row.element == element:
                return row
        raise KeyError(element)


class Weather(NamedTuple):
    """A weather file as read: the series, and how it was read."""

    series: DailySeries | HourlySeries
    report: WeatherReport


def months_missing(series: DailySeries | HourlySeries, element: str) -> tuple[str, ...]:
    """The months, from the series' first to its last, that have no value of an element at all."""
    months = series.times.astype("datetime64[M]")
    empty = np.setdiff1d(months, months[series.known[element]])
    return tuple(str(month) for month in empty)


_SAID_OF_FLAGS = {
    "failed": "weather-failed",
    "multiday": "weather-multiday",
    "longer": "weather-longer",
    "trace": "weather-trace",
    "presumed": "weather-presumed",
    "lagged": "weather-lagged",
    "morning": "weather-morning",
}


def said_of(count: ElementCount) -> Iterator[Message]:
    """What a person should know of one element: gaps, empty months, flags."""
    name, total = name_of(count.element), count.known + count.missing
    if count.missing:
        yield Message.of("weather-gaps", element=name, missing=count.missing, total=total)
    if count.months_missing:
        shown = ", ".join(count.months_missing[:6]) + (", ..." * (len(count.months_missing) > 6))
        yield Message.of("weather-months-missing", element=name, months=shown)
    for flag, message in _SAID_OF_FLAGS.items():
        if number := getattr(count, flag):
            yield Message.of(message, element=name, count=number)

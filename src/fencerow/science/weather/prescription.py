"""A burn prescription held against hours of weather: inside, outside, or not known. Never more.

The prescription is the person's own: its ranges, and nothing that is published, decide. An hour is
outside as soon as one element of it is, though others are not known; inside only where all that is
written is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.science.weather.series import Floats
from fencerow.words import OutsideRange

INSIDE, OUTSIDE, UNKNOWN = "inside", "outside", "not known"
_T = (-60, 60)
_AROUND = (0, 360)


class Stretch(NamedTuple):
    """Hours one after the other with one answer: the first and the last of them by their place,
    the first element that is outside or not known, by how much at the farthest, and where."""

    first: int
    last: int
    answer: str
    element: str
    off: float
    at: int


@on_arrays
@formula(
    "min(100, 100 * exp(17.27 * dewpoint_c / (dewpoint_c + 237.3))"
    " / exp(17.27 * temp_c / (temp_c + 237.3)))",
    unit="pct",
    source=("fao56", "metpy-humidity"),
    valid={"temp_c": _T, "dewpoint_c": _T},
)
def humidity_by_dewpoint(temp_c: Value, dewpoint_c: Value) -> Value:
    """Relative humidity of air by its temperature and dew point [%]. FAO-56 equations 10, 11.

    Args:
        temp_c: air temperature, -60 to 60 [°C].
        dewpoint_c: dew point, -60 to 60 [°C]; one above the temperature is saturated air.

    Raises:
        OutsideRange: a temperature is outside its range.
    """
    held, most = (np.exp(17.27 * t / (t + 237.3)) for t in (dewpoint_c, temp_c))
    share: Value = np.minimum(100, 100 * held / most)
    return share


@formula(
    "max(0, reading - high) - max(0, low - reading)",
    unit="",
    source="definition",
    basis="definition",
)
def off_range(reading: Value, low: float, high: float) -> Value:
    """How far a reading lies above a range, or below it (negative); 0 within. By definition.

    Args:
        reading, low, high: in one unit; an end that is not written is infinite.
    """
    off: Value = np.maximum(0, reading - high) - np.maximum(0, low - reading)
    return off


@on_arrays
@formula(
    "max(0, min((from_deg - first_deg) % 360 - (last_deg - first_deg) % 360,"
    " 360 - (from_deg - first_deg) % 360))",
    unit="deg",
    source="definition",
    basis="definition",
    valid={"from_deg": _AROUND, "first_deg": _AROUND, "last_deg": _AROUND},
)
def off_arc(from_deg: Value, first_deg: float, last_deg: float) -> Value:
    """How far a direction lies beside an arc that runs clockwise [deg]; 0 within. By definition.

    Args:
        from_deg: where the wind blows from, clockwise from north [deg].
        first_deg, last_deg: the ends of the arc, from the first clockwise to the last [deg].

    Raises:
        OutsideRange: a direction is outside 0 to 360.
    """
    past = (from_deg - first_deg) % 360
    off: Value = np.maximum(0, np.minimum(past - (last_deg - first_deg) % 360, 360 - past))
    return off


@formula(
    "the days from the last one with that much rain on",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_since_rain(rain_mm: Sequence[float] | Floats, least_mm: float) -> int:
    """Days since it last rained so much, counted at the last of the days; that day itself is 0.

    Args:
        rain_mm: rain of each day, one after the other [mm]; NaN where it is not known.
        least_mm: from how much on a day is one of rain [mm].

    Raises:
        OutsideRange: a day since then is not known, or it never rained so much.
    """
    for since, fell in enumerate(reversed(np.asarray(rain_mm, dtype=np.float64))):
        if fell >= least_mm:
            return since
        if np.isnan(fell):
            break
    raise OutsideRange("burn-rain-unknown")


@formula(
    "hour by hour: outside where one of the elements is, else not known where one of them is not,"
    " else inside; hours of one day and one answer put together",
    unit="text",
    source="definition",
    basis="definition",
    lookup=True,
)
def stretches(
    off: Mapping[str, Sequence[float] | Floats], days: Sequence[int] | Sequence[object]
) -> list[Stretch]:
    """Hours as stretches of one day, one answer and one element. By definition.

    Args:
        off: for each element that is written, in the order in which they are named, how far each
            hour is off its range (`off_range`, `off_arc`); NaN where it is not known.
        days: the day of each hour; hours of one day follow one another.
    """
    named = [(name, np.asarray(values, dtype=np.float64)) for name, values in off.items()]
    told = [(day, *_answer(named, at)) for at, day in enumerate(days)]
    found = []
    for (_, answer, element), group in groupby(enumerate(told), key=lambda pair: pair[1]):
        hours = [at for at, _ in group]
        values = dict(named).get(element)
        farthest = hours[0]
        if answer == OUTSIDE and values is not None:
            farthest = max(hours, key=lambda at: abs(values[at]))
        size = float(values[farthest]) if answer == OUTSIDE and values is not None else 0.0
        found.append(Stretch(hours[0], hours[-1], answer, element, size, farthest))
    return found


def _answer(named: Sequence[tuple[str, Floats]], at: int) -> tuple[str, str]:
    out = [name for name, off in named if off[at] != 0 and not np.isnan(off[at])]
    if out:
        return OUTSIDE, out[0]
    dark = [name for name, off in named if np.isnan(off[at])]
    return (UNKNOWN, dark[0]) if dark else (INSIDE, "")

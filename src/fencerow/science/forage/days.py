"""Days, weeks and months along an array of days."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.science.weather.series import Floats, Times

WEEKS = 52


def month_of(days: Times) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """The month of each day, 1 to 12."""
    months: np.ndarray[tuple[int], np.dtype[np.int64]] = (
        days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    )
    return months


def month_days(days: Times) -> Floats:
    """How many days the month of each day has."""
    month = days.astype("datetime64[M]")
    length: Floats = (
        (month + np.timedelta64(1, "M")).astype("datetime64[D]") - month.astype("datetime64[D]")
    ).astype(float)
    return length


def week_lengths(days: int) -> list[int]:
    """A year's 52 weeks in days: seven each, and the last takes what is over."""
    return [7] * (WEEKS - 1) + [days - 7 * (WEEKS - 1)]


def sums_by_week(by_day: Floats, lengths: Sequence[int]) -> Floats:
    """Daily amounts summed by week; the days run along the last axis."""
    out: Floats = np.add.reduceat(by_day, _starts(lengths), axis=-1)
    return out


def products_by_week(by_day: Floats, lengths: Sequence[int]) -> Floats:
    """Daily factors multiplied by week; the days run along the last axis."""
    out: Floats = np.multiply.reduceat(by_day, _starts(lengths), axis=-1)
    return out


def _starts(lengths: Sequence[int]) -> list[int]:
    return [0, *np.cumsum(lengths)[:-1].tolist()]

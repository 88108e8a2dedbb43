"""A daily record cut into seasons, a year to each row."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from fencerow.science.weather.series import Floats, Times


class SideBySide:
    """The years of a record side by side, from the first of a month on, and back to one axis.

    A row has 366 days; the last one of a plain year is the next one's first, and is told by that.
    """

    def __init__(self, dates: Times, month: int) -> None:
        first, last = (int(d.astype("datetime64[Y]").astype(int)) + 1970 for d in dates[[0, -1]])
        starts = np.array(
            [f"{y}-{month:02d}-01" for y in range(first - 1, last + 2)], "datetime64[D]"
        )
        cells = starts[:-1, None] + np.arange(366).astype("timedelta64[D]")
        self._days = len(dates)
        self._at = (cells - dates[0]).astype(int)
        self._inside = (self._at >= 0) & (self._at < self._days)
        self._own = self._inside & (cells < starts[1:, None])

    def rows(self, values: Floats, before: float) -> Floats:
        """Values as [year, day]; `before` stands for the days outside the record."""
        found = np.full(self._at.shape, before)
        found[self._inside] = values[self._at[self._inside]]
        return found

    def back(self, rows: npt.NDArray[Any]) -> npt.NDArray[Any]:
        """Rows [..., year, day] as one axis of days."""
        found = np.empty((*rows.shape[:-2], self._days), dtype=rows.dtype)
        found[..., self._at[self._own]] = rows[..., self._own]
        return found


class SeasonRows(NamedTuple):
    """Values of a record cut into seasons [year, day], and the year in which each one starts."""

    years: npt.NDArray[np.int64]
    values: Floats


def season_rows(dates: Times, values: Floats, month: int, day: int, length_days: int) -> SeasonRows:
    """Cut a daily record into seasons of so many days; only seasons that it spans whole.

    Args:
        dates: days, one after the other.
        values: the value of each; NaN stays NaN.
        month, day: the first day of a season; 29 February is 1 March where there is none.
        length_days: how long a season is.
    """
    years = np.unique(dates.astype("datetime64[Y]")).astype(np.int64) + 1970
    starts = np.array([f"{y}-{month:02d}-01" for y in years], "datetime64[D]")
    starts = starts + np.timedelta64(day - 1, "D")
    at = (starts - dates[0]) // np.timedelta64(1, "D")
    whole = (at >= 0) & (at + length_days <= len(values))
    cells = at[whole, None] + np.arange(length_days)
    return SeasonRows(years[whole], np.asarray(values, dtype=np.float64)[cells])

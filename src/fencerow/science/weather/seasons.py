"""A daily record cut into seasons, a year to each row."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from fencerow.science.weather.series import Floats, Times


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

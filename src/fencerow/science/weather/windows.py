"""Planting windows: from frost dates and the warmth of the soil to days of the calendar."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.series import Floats, Times
from fencerow.words import OutsideRange

_DAY = (-400, 800)


class Window(NamedTuple):
    """The first and the last day on which to plant."""

    first: date
    last: date


@formula(
    "the anchors' days and the row's days after them; where the soil counts, only while a usual"
    " year has it warm enough",
    unit="date",
    source="definition",
    basis="definition",
    valid={"from_anchor_day": _DAY, "from_days": _DAY, "to_anchor_day": _DAY, "to_days": _DAY},
    lookup=True,
)
def planting_window(
    year: int,
    from_anchor_day: float,
    from_days: float,
    to_anchor_day: float,
    to_days: float,
    usual_soil_c: Sequence[float] | Floats | None = None,
    least_c: float | None = None,
) -> Window:
    """A row of `planting_windows` at a place, in one year. By definition of the row.

    The anchors may be the early, the usual or the late date of frost: which one is the person's
    to choose. A window that is later cut to warm soil loses its cold ends, not its cold middle.

    Args:
        year: the calendar year of the anchors.
        from_anchor_day: `freeze_by` or `freeze_after` of the row's first anchor, day of the year.
        from_days: the first day, after that anchor [days].
        to_anchor_day: of the row's last anchor, day of the year.
        to_days: the last day, after that anchor [days].
        usual_soil_c: soil temperature of a usual year, 365 days from 1 January [°C].
        least_c: least soil temperature of the species [°C].

    Raises:
        OutsideRange: an anchor does not exist (NaN), the window is empty, or the soil of a usual
            year is not known or never warm enough in it.
    """
    first, last = round(from_anchor_day + from_days), round(to_anchor_day + to_days)
    if least_c is not None and usual_soil_c is not None:
        days = np.arange(first, last + 1)
        soil = np.asarray(usual_soil_c, dtype=np.float64)[(days - 1) % 365]
        warm = days[soil >= least_c]
        if np.isnan(soil).any() or not len(warm):
            raise OutsideRange("soilwater-never-warm", least=least_c)
        first, last = int(warm[0]), int(warm[-1])
    if last < first:
        raise OutsideRange("soilwater-no-window", first=first, last=last)
    return Window(day_of(year, first), day_of(year, last))


def day_of(year: int, number: int) -> date:
    """The date of a day that counts on years of 365 days; below 1 and above 365 in other years.

    >>> day_of(2024, 60), day_of(2024, 366), day_of(2024, 0)
    (datetime.date(2024, 3, 1), datetime.date(2025, 1, 1), datetime.date(2023, 12, 31))
    """
    years, rest = divmod(number - 1, 365)
    plain = date(2001, 1, 1) + timedelta(days=rest)
    return plain.replace(year=year + years)


def usual_course(dates: Times, values: Floats) -> Floats:
    """The middle value of each day of the year over the years of a record, a week smoothed [365].

    A day of the year that has no value in any year stays NaN; 29 February is left out.

    Args:
        dates: days, one after the other.
        values: the value of each; NaN where it is not known.
    """
    years = dates.astype("datetime64[Y]")
    month_day = np.array([str(d)[5:] for d in dates])
    plain = [str(d)[5:] for d in np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")]
    table = np.full((len(np.unique(years)), 365), np.nan)
    column = {text: i for i, text in enumerate(plain)}
    for year, text, value in zip(years - years[0], month_day, values, strict=True):
        if text in column:
            table[int(year.astype(int)), column[text]] = value
    middles = np.full(365, np.nan)
    some = ~np.isnan(table).all(axis=0)
    middles[some] = np.nanmedian(table[:, some], axis=0)
    week = np.array([np.roll(middles, shift) for shift in range(-3, 4)])
    smooth: Floats = week.mean(axis=0)
    return smooth

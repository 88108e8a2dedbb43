"""Freeze dates: the first of each fall, the last of each spring, and how often by which day.

Temperatures are rounded to whole °F before they are compared. Records are kept in whole °F and
passed on in tenths of °C: 28 °F comes back as -2.2 °C, which lies above -2.222 °C, so a freeze
would be missed. A season in which more than ten days are unknown before its freeze is found is
void (Utah Climate Center, freeze tables). A season without a freeze counts as one: chances mix the
share of such seasons with the dates of the others (NOAA, freeze probabilities). Sources:
usu-freeze, noaa-freeze, nws-frost-freeze.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.science.weather.series import Bools, Floats, Times
from fencerow.words import OutsideRange

THRESHOLDS_F = (36, 32, 28, 24)
"""Frost (36 °F), freeze (32) and hard freeze (28) by the National Weather Service, and 24."""

FEW_SEASONS = 20
"""Below this many seasons a percentile should be shown with a warning."""

_ONE_DAY = np.timedelta64(1, "D")


@on_arrays
@formula("floor(temp_c * 9 / 5 + 32.5)", unit="f", source="definition", basis="definition",
         valid={"temp_c": (-60, 60)})  # fmt: skip
def whole_f(temp_c: Value) -> Value:
    """A temperature in whole degrees, as it was written when it was read [°F].

    Args:
        temp_c: temperature in tenths, -60 to 60 [°C].

    Raises:
        OutsideRange: the temperature is outside its range.
    """
    return np.floor(temp_c * 9 / 5 + 32.5)


@dataclass(frozen=True)
class FreezeDates:
    """One freeze date for each season.

    `date` is NaT where there is none: because the season is `void`, or because it never froze.
    `day` counts on a year of 365 days from 1 January of `year`: below 1 before it, above 365 after.
    """

    threshold_f: float
    year: npt.NDArray[np.int64]
    date: Times
    day: Floats
    missing: npt.NDArray[np.int64]
    void: Bools

    @property
    def n(self) -> int:
        """How many seasons count."""
        return int(np.count_nonzero(~self.void))

    @property
    def free_share(self) -> float:
        """The share of the seasons that count in which it never got so cold; NaN of none."""
        free = np.count_nonzero(~self.void & np.isnat(self.date))
        return free / self.n if self.n else float("nan")


def first_fall_freezes(
    dates: Times, tmin_c: Floats, threshold_f: float, max_missing: int = 10
) -> FreezeDates:
    """The first day from 1 August on, of each year, with a minimum at or below the threshold.

    Source: NOAA and Utah Climate Center, as read for the rules above; the 1 August is from memory.

    Args:
        dates: days, one after the other.
        tmin_c: minimum of each; NaN where it is not known [°C].
        threshold_f: whole degrees, such as 32 [°F].
        max_missing: unknown days before the freeze from which on the season is void.
    """
    return _freezes(dates, tmin_c, threshold_f, max_missing, spring=False)


def last_spring_freezes(
    dates: Times, tmin_c: Floats, threshold_f: float, max_missing: int = 10
) -> FreezeDates:
    """The last day before 1 August, of each year, with a minimum at or below the threshold.

    It is looked for backwards from 31 July, so that unknown days count when they lie after it.

    Args:
        dates: days, one after the other.
        tmin_c: minimum of each; NaN where it is not known [°C].
        threshold_f: whole degrees, such as 32 [°F].
        max_missing: unknown days after the freeze from which on the season is void.
    """
    return _freezes(dates, tmin_c, threshold_f, max_missing, spring=True)


def _freezes(
    dates: Times, tmin_c: Floats, threshold_f: float, max_missing: int, *, spring: bool
) -> FreezeDates:
    years = np.unique(dates.astype("datetime64[Y]")).astype(np.int64) + 1970
    found, missing = np.full(len(years), np.datetime64("NaT", "D")), np.zeros(len(years), np.int64)
    lows = np.asarray(whole_f(tmin_c))
    for i, year in enumerate(years):
        days = _season(int(year), spring=spring)
        season = _laid_on(days, dates, lows)
        cold = np.flatnonzero(season <= threshold_f)
        before = season[: cold[0]] if len(cold) else season
        missing[i] = np.count_nonzero(np.isnan(before))
        if len(cold) and missing[i] <= max_missing:
            found[i] = days[cold[0]]
    return FreezeDates(
        threshold_f, years, found, _day_number(found, years), missing, missing > max_missing
    )


def _season(year: int, *, spring: bool) -> Times:
    """The days of a season in the order in which they are looked through."""
    if spring:
        return np.arange(f"{year - 1}-08-01", f"{year}-08-01", dtype="datetime64[D]")[::-1]
    return np.arange(f"{year}-08-01", f"{year + 1}-08-01", dtype="datetime64[D]")


def _laid_on(days: Times, dates: Times, values: Floats) -> Floats:
    """Values on these days; NaN on days that the record does not reach."""
    at = ((days - dates[0]) / _ONE_DAY).astype(np.int64)
    inside = (at >= 0) & (at < len(values))
    out = np.full(len(days), np.nan)
    out[inside] = values[at[inside]]
    return out


def _day_number(date: Times, year: npt.NDArray[np.int64]) -> Floats:
    """Days from 1 January of `year`, that being 1, as if there were no 29 February."""
    number = np.full(len(date), np.nan)
    known = ~np.isnat(date)
    own = date[known].astype("datetime64[Y]")
    in_year = (date[known] - own.astype("datetime64[D]")) / _ONE_DAY + 1
    after = own + np.timedelta64(1, "Y")
    leap = (after.astype("datetime64[D]") - own.astype("datetime64[D]")) / _ONE_DAY == 366
    in_year -= leap & (in_year >= 60)
    number[known] = in_year + 365 * (own.astype(np.int64) + 1970 - year[known])
    return number


def freeze_by(freezes: FreezeDates, chance: float) -> float:
    """The day by which it has frozen with this chance, as a day of the year; for the fall.

    NaN when such a day does not exist: seasons that never froze leave the chance out of reach.

    Args:
        freezes: `first_fall_freezes`.
        chance: share of all seasons, 0 to 1; 0.1 is the early date, 0.9 the late one.
    """
    return _quantile(freezes, chance)


def freeze_after(freezes: FreezeDates, chance: float) -> float:
    """The day after which it still freezes with this chance, as a day of the year; for the spring.

    At a chance of 0.1, nine springs in ten have had their last freeze by that day.

    Args:
        freezes: `last_spring_freezes`.
        chance: share of all seasons, 0 to 1.
    """
    return _quantile(freezes, chance, later=True)


def _quantile(freezes: FreezeDates, chance: float, *, later: bool = False) -> float:
    days = [float(d) for d in freezes.day[~np.isnan(freezes.day)]]
    if not days or chance > 1 - freezes.free_share:
        return float("nan")
    return (day_after if later else day_by)(days, freezes.free_share, chance)


_CHANCES = {"free_share": (0.0, 0.999), "chance": (0.0, 1.0)}


@formula(
    "the day by which it has frozen in this share of seasons, linear between the days",
    unit="",
    source="noaa-freeze",
    valid=_CHANCES,
    lookup=True,
)
def day_by(frost_days: Sequence[float], free_share: float, chance: float) -> float:
    """The day of the year by which it has frozen with a chance; for first frosts of the fall.

    Source: NOAA, freeze probabilities: seasons without a frost are mixed with the dates of the
    others, chance = (1 - free share) x share of the dates. Linear between the days.

    Args:
        frost_days: day of the year of each season that had a frost.
        free_share: share of the seasons that had none.
        chance: share of all seasons, 0 to 1.

    Raises:
        OutsideRange: a share outside its range, or so many seasons free of frost that there is no
            such day.
    """
    return _mixture(frost_days, free_share, chance, later=False)


@formula(
    "the day after which it still freezes in this share of seasons, linear between the days",
    unit="",
    source="noaa-freeze",
    valid=_CHANCES,
    lookup=True,
)
def day_after(frost_days: Sequence[float], free_share: float, chance: float) -> float:
    """The day of the year after which it still freezes with a chance; for last frosts of spring.

    Source: as `day_by`.

    Args:
        frost_days: day of the year of each season that had a frost.
        free_share: share of the seasons that had none.
        chance: share of all seasons, 0 to 1.

    Raises:
        OutsideRange: as `day_by`.
    """
    return _mixture(frost_days, free_share, chance, later=True)


def _mixture(days: Sequence[float], free_share: float, chance: float, *, later: bool) -> float:
    if not len(days) or chance > 1 - free_share:
        raise OutsideRange("frost-no-such-day", chance=chance, free=free_share)
    share = chance / (1 - free_share)
    return float(np.quantile(np.asarray(days, dtype=float), 1 - share if later else share))


@formula(
    "the seasons that are not void",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def seasons_counted(void: Sequence[bool] | Bools) -> int:
    """How many seasons frost dates rest on: all that are not void.

    By definition.

    Args:
        void: for each season, whether too many of its days are unknown.
    """
    return int(np.count_nonzero(~np.asarray(void, dtype=bool)))

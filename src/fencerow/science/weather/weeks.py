"""A record by the weeks of a year: what rain each brings, and in how many years it is fit.

A year has 52 weeks of seven days from its first day; the odd day or two at its end belong to none.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import quantile_of
from fencerow.science.weather.series import Bools, Floats
from fencerow.words import OutsideRange

WEEKS, DAYS = 52, 7
LEAST_YEARS = 10
"""Fewer years say nothing of the one in ten that is wettest."""


def by_week(days: Floats) -> Floats:
    """The days of each year as weeks [year, week, day].

    Args:
        days: a value for each day of each year, at least 364 [year, day].
    """
    weeks: Floats = days[:, : WEEKS * DAYS].reshape(len(days), WEEKS, DAYS)
    return weeks


@formula(
    "the rain that the week does not pass in this share of the years, linear between the years",
    unit="mm",
    source="definition",
    basis="definition",
    valid={"share": (0.0, 1.0)},
    lookup=True,
)
def rain_not_passed(weeks_mm: Sequence[float] | Floats, share: float) -> float:
    """Rain and melted snow that a week of the year stays at or below in a share of years [mm].

    By definition of the quantile; 0.5 is the middle year.

    Args:
        weeks_mm: the sum of that week in each year; a year in which it is not known is left out.
        share: share of the years, 0 to 1.

    Raises:
        OutsideRange: a share outside 0 to 1, or fewer than ten years.
    """
    known = np.asarray(weeks_mm, dtype=np.float64)
    known = known[~np.isnan(known)]
    if len(known) < LEAST_YEARS:
        raise OutsideRange("weather-few-weeks", years=len(known), least=LEAST_YEARS)
    return quantile_of(known, share)


@formula("the sum of the amounts", unit="mm", source="definition", basis="definition", lookup=True)
def rain_total(amounts_mm: Sequence[float] | Floats) -> float:
    """The rain of days or of readings, in all [mm]. By definition.

    Args:
        amounts_mm: rain of each day, or of each reading of a gauge [mm].

    Raises:
        OutsideRange: one of them is not known.
    """
    amounts = np.asarray(amounts_mm, dtype=np.float64)
    if np.isnan(amounts).any():
        raise OutsideRange("weather-days-unknown", days=int(np.isnan(amounts).sum()))
    return float(amounts.sum())


@formula(
    "the middle over the years of the week's fit days",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def fit_days(
    fit: Bools | Sequence[Sequence[bool]], known: Bools | Sequence[Sequence[bool]]
) -> float:
    """The middle year's count of fit days in a week of the year [days].

    By definition of the median. A year in which a day of the week is not known is left out.

    Args:
        fit: whether each day was fit [year, day].
        known: where that is known [year, day].

    Raises:
        OutsideRange: the week is known in fewer than ten years.
    """
    whole = np.asarray(known, dtype=bool).all(axis=1)
    if whole.sum() < LEAST_YEARS:
        raise OutsideRange("weather-few-weeks", years=int(whole.sum()), least=LEAST_YEARS)
    return float(median(np.asarray(fit, dtype=bool)[whole].sum(axis=1).tolist()))


@formula(
    "the years in which the week is known",
    unit="years",
    source="definition",
    basis="definition",
    lookup=True,
)
def years_known(weeks_mm: Sequence[float] | Floats) -> int:
    """How many years know a week's rain [years].

    Args:
        weeks_mm: the sum of that week in each year; NaN where it is not known.
    """
    return int(np.count_nonzero(~np.isnan(np.asarray(weeks_mm, dtype=np.float64))))

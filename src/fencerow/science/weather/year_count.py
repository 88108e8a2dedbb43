"""Counts of years, with the interval that so few of them leave."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median
from typing import NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.outcome import Seasons
from fencerow.science.weather.series import Bools, DailySeries, HourlySeries, require_record
from fencerow.words import BadInput, OutsideRange


class YearCount(NamedTuple):
    """In how many years of the record all was done, and what that says of the years to come."""

    finished_years: int
    of_years: int
    low_share: float
    high_share: float


def count_finished(series: DailySeries | HourlySeries, seasons: Seasons) -> YearCount:
    """The count of years in which all was done, with the 95 % interval of its share.

    Args:
        series: the record that the seasons come from.
        seasons: `seasons`, of the years of that record alone.

    Raises:
        BadInput: the series is a typical year, or there is no year.
    """
    require_record(series)
    finished, of = seasons.finished_years, len(seasons.runs)
    if not of:
        raise BadInput("soilwater-no-years")
    return YearCount(finished, of, wilson_low(finished, of), wilson_high(finished, of))


_YEARS = {"finished_years": (0.0, 500.0), "of_years": (1.0, 500.0)}
_WILSON = (
    "(finished_years + 1.959964 ** 2 / 2 {} 1.959964"
    " * sqrt(finished_years * (of_years - finished_years) / of_years + 1.959964 ** 2 / 4))"
    " / (of_years + 1.959964 ** 2)"
)


@formula(f"max(0, {_WILSON.format('-')})", unit="share", source="wilson-1927", valid=_YEARS)
def wilson_low(finished_years: float, of_years: float) -> float:
    """The low end of the 95 % interval of a share of years. Source: Wilson (1927), score interval.

    Args:
        finished_years: years in which it happened.
        of_years: years in all, at least as many.

    Raises:
        OutsideRange: there is no year, or it happened in more years than there are.
    """
    return max(0.0, _wilson(finished_years, of_years, -1.959964))


@formula(f"min(1, {_WILSON.format('+')})", unit="share", source="wilson-1927", valid=_YEARS)
def wilson_high(finished_years: float, of_years: float) -> float:
    """The high end of the 95 % interval of a share of years. Source: Wilson (1927), score interval.

    Args:
        finished_years: years in which it happened.
        of_years: years in all, at least as many.

    Raises:
        OutsideRange: there is no year, or it happened in more years than there are.
    """
    return min(1.0, _wilson(finished_years, of_years, 1.959964))


def _wilson(count: float, of: float, z: float) -> float:
    if count > of:
        raise OutsideRange("outside-range", name="finished_years", value=count, low=0, high=of)
    spread = z * math.sqrt(count * (of - count) / of + z * z / 4)
    return (count + z * z / 2 + spread) / (of + z * z)


@formula(
    "the middle year's count of fit days",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def middle_count(fit: Bools | Sequence[Sequence[bool]]) -> float:
    """The median over the years of the number of fit days [days].

    By definition of the median.

    Args:
        fit: whether each day was fit [year, day].
    """
    return float(median(np.asarray(fit, dtype=bool).sum(axis=1).tolist()))

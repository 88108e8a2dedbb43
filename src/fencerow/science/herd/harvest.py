"""What was taken and what was seen: weights, means, shares with their interval, deer to an hour."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from fencerow.figure import formula
from fencerow.science.herd.interval import Z95, Interval
from fencerow.words import OutsideRange


@formula(
    "dressed_lb * 1.28",
    unit="lb",
    source="noble-weights",
    basis="derived",
    valid={"dressed_lb": (20, 300)},
)
def live_weight(dressed_lb: float) -> float:
    """What a field-dressed deer weighed alive [lb].

    Source: Noble Foundation, of more than 200 deer in Oklahoma: 105 lb dressed were 134 lb alive,
    95 of 100 between 126 and 141. From West Virginia it is 1.25 times.

    Args:
        dressed_lb: weight without the entrails [lb].

    Raises:
        OutsideRange: no deer weighs so little or so much.
    """
    return dressed_lb * 1.28


@formula("the mean", unit="", source="definition", basis="definition", lookup=True)
def mean_of(measured: Sequence[float]) -> float:
    """The mean of what was measured, in its unit.

    Args:
        measured: the measures, of one unit.

    Raises:
        OutsideRange: there is none.
    """
    if not measured:
        raise OutsideRange("herd-none-measured")
    return sum(measured) / len(measured)


@formula(
    "(part + z^2 / 2 -+ z sqrt(part (whole - part) / whole + z^2 / 4)) / (whole + z^2), z = 1.96",
    unit="pct",
    source="wilson-interval",
    lookup=True,
)
def part_of(part: int, whole: int) -> Interval:
    """How many of some, of a hundred, with Wilson's interval [%].

    Args:
        part: how many were.
        whole: of how many it is known.

    Raises:
        OutsideRange: of none, or more than all.
    """
    if not 0 <= part <= whole or whole == 0:
        raise OutsideRange("herd-none-of")
    middle = part + Z95**2 / 2
    wide = Z95 * sqrt(part * (whole - part) / whole + Z95**2 / 4)
    over = whole + Z95**2
    return Interval(100 * part / whole, 100 * (middle - wide) / over, 100 * (middle + wide) / over)


@formula(
    "deer_count / sat_h",
    unit="count",
    source="definition",
    basis="definition",
    valid={"deer_count": (0, 100_000), "sat_h": (0.25, 100_000)},
)
def seen_each_hour(deer_count: float, sat_h: float) -> float:
    """Deer seen in an hour of sitting.

    Args:
        deer_count: deer seen.
        sat_h: hours sat [h].

    Raises:
        OutsideRange: less than a quarter of an hour.
    """
    return deer_count / sat_h

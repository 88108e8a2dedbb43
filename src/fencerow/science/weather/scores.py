"""What was said beforehand, held against what came: how far off, how often right.

Nothing is said of fewer than `LEAST` pairs: so few would flatter or damn by chance.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.series import Floats
from fencerow.words import OutsideRange

LEAST = 10
"""How many pairs a score wants at the least: a judgement."""
WET_MM = 0.254
"""A day is wet from a hundredth of an inch on, which is what a gauge shows."""
Values = Floats | Sequence[float]


def _pairs(said: Values, came: Values) -> tuple[Floats, Floats]:
    """The pairs of which both are known.

    Raises:
        OutsideRange: there are fewer than `LEAST`.
    """
    one, other = (np.asarray(v, dtype=np.float64) for v in (said, came))
    known = ~(np.isnan(one) | np.isnan(other))
    if known.sum() < LEAST:
        raise OutsideRange("score-few", count=int(known.sum()), least=LEAST)
    return one[known], other[known]


@formula(
    "how many were said and came",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def pairs_known(said: Values, came: Values) -> int:
    """How many are known of both [count]. By definition.

    Args:
        said, came: what was said beforehand, and what came; NaN where it is not known.
    """
    one, other = (np.asarray(v, dtype=np.float64) for v in (said, came))
    return int((~(np.isnan(one) | np.isnan(other))).sum())


@formula(
    "the mean of what was said less what came",
    unit="mm",
    source="definition",
    basis="definition",
    lookup=True,
)
def mean_error(said_mm: Values, came_mm: Values) -> float:
    """By how much too much was said in the mean, too little below 0 [mm]. By definition.

    Args:
        said_mm, came_mm: what was said beforehand, and what came [mm].

    Raises:
        OutsideRange: too few are known of both.
    """
    said, came = _pairs(said_mm, came_mm)
    return float(np.mean(said - came))


@formula(
    "the mean of how far what was said was off, either way",
    unit="mm",
    source="definition",
    basis="definition",
    lookup=True,
)
def mean_miss(said_mm: Values, came_mm: Values) -> float:
    """How far off what was said was in the mean, either way [mm]. By definition.

    Args:
        said_mm, came_mm: what was said beforehand, and what came [mm].

    Raises:
        OutsideRange: too few are known of both.
    """
    said, came = _pairs(said_mm, came_mm)
    return float(np.mean(np.abs(said - came)))


@formula(
    "the share of days that were said to be wet, or dry, and were",
    unit="share",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_right(said_mm: Values, came_mm: Values) -> float:
    """The share of days of which it was right whether they would be dry [share]. By definition.

    Args:
        said_mm, came_mm: rain that was said beforehand, and that came; dry is less than 0.254 [mm].

    Raises:
        OutsideRange: too few are known of both.
    """
    said, came = _pairs(said_mm, came_mm)
    return float(np.mean((said < WET_MM) == (came < WET_MM)))


@formula(
    "the share of what was said that came within so much",
    unit="share",
    source="definition",
    basis="definition",
    valid={"within_c": (0.1, 20.0)},
    lookup=True,
)
def share_within(said_c: Values, came_c: Values, within_c: float) -> float:
    """The share of temperatures that came within so much of what was said [share]. By definition.

    Args:
        said_c, came_c: what was said beforehand, and what came [°C].
        within_c: how far off is still right [°C].

    Raises:
        OutsideRange: too few are known of both, or an input is outside its range.
    """
    said, came = _pairs(said_c, came_c)
    return float(np.mean(np.abs(said - came) <= within_c))


@formula(
    "the mean of (chance that was said - 1 where it happened, 0 where not) squared",
    unit="",
    source="brier-1950",
    lookup=True,
)
def brier(chances: Values, happened: Values) -> float:
    """The Brier score of chances: 0 is sure and right, 0.25 says half and half each time, 1 is sure
    and wrong. Source: Brier (1950), for what happens or does not.

    Args:
        chances: what was said, 0 to 1.
        happened: 1 where it happened, 0 where it did not.

    Raises:
        OutsideRange: too few are known of both.
    """
    said, came = _pairs(chances, happened)
    return float(np.mean((said - came) ** 2))


@formula(
    "the mean of the shares of years that were given to what then was found",
    unit="share",
    source="definition",
    basis="definition",
    lookup=True,
)
def mean_chance(chances: Values) -> float:
    """The mean of what was given to what came [share]. By definition.

    Args:
        chances: the share of years that was given to what came, 0 to 1.

    Raises:
        OutsideRange: too few are known.
    """
    return float(np.mean(_pairs(chances, chances)[0]))


@formula(
    "how often it happened though fewer than one year in ten had it by then",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def broken(chances_by: Values, happened: Values) -> int:
    """How often it was said not to come before a later day, and came [count]. By definition.

    Args:
        chances_by: the share of years that had it by that day, 0 to 1.
        happened: 1 where it happened, 0 where it did not.

    Raises:
        OutsideRange: too few are known of both.
    """
    said, came = _pairs(chances_by, happened)
    return int(((said < 0.1) & (came == 1)).sum())

"""Disturbance and rest: what is left of what was done at a place, and when it is rested again.

A model of ours, of one weight for each thing that is done and one half-life. On record is that 38
females in three seasons used the ground around a treestand or blind less in the middle of the day
and more at night in the days after it was hunted from, and no less at dawn and dusk (Sullivan et
al. 2018). For how many days is not. Deer that were driven off came back within 13 hours to some
six days (the table `return_on_record`), and no study gives a curve: every figure here is a
judgement within those ends, and the person's to change.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil, log

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import formula

_HAIR = 1e-9
"""Days that differ by less are the same."""


@formula(
    "weight_share * 0.5 ** (ago_days / half_life_days)",
    unit="share",
    source=("judgement", "sullivan-2018"),
    basis="common practice",
    valid={"weight_share": (0, 100), "ago_days": (0, 3660), "half_life_days": (0.1, 365)},
)
def left_share(weight_share: float, ago_days: float, half_life_days: float) -> float:
    """What is left of one disturbance; half of it is gone in each half-life.

    A judgement: no published figure says how it fades.

    Args:
        weight_share: how much it weighed on its day, where a sit is 1.
        ago_days: days since [days].
        half_life_days: days in which half of it fades [days].

    Raises:
        OutsideRange: a day to come, or a weight or half-life that is none.
    """
    return float(weight_share * 0.5 ** (ago_days / half_life_days))


@formula(
    "weight_share * near_share",
    unit="share",
    source="judgement",
    basis="common practice",
    valid={"weight_share": (0, 100), "near_share": (0, 1)},
)
def spread_share(weight_share: float, near_share: float) -> float:
    """How much one disturbance weighs on a part of the ground: in full on what is near it alone.

    A judgement: no published figure says how it falls off with distance.

    Args:
        weight_share: how much it weighs, where a sit is 1.
        near_share: the share of the part that lies near it, 0 to 1.

    Raises:
        OutsideRange: a weight or a share that is none.
    """
    return weight_share * near_share


@formula(
    "for each week the mean over its seven days of the sum of weight_share * 0.5 ** (days since / "
    "half_life_days), of what was done by then",
    unit="share",
    source=("judgement", "sullivan-2018"),
    basis="common practice",
    lookup=True,
)
def disturbed_by_week(
    weights_share: Sequence[float],
    on_dates: Sequence[date],
    first_date: date,
    weeks: int,
    half_life_days: float,
) -> NDArray[np.float64]:
    """The mean disturbance of each week from a day on, where a sit of today is 1.

    `left_share` of each thing done, added up day by day; what comes after the last of them only
    fades, as if nobody went in again.

    Args:
        weights_share: how much each weighed on the part.
        on_dates: the day of each.
        first_date: the first day of the first week.
        weeks: how many weeks.
        half_life_days: days in which half of it fades [days].
    """
    days = np.datetime64(first_date, "D") + np.arange(7 * weeks)
    since = (days[:, None] - np.array(on_dates, dtype="datetime64[D]")[None, :]).astype(float)
    left = np.where(since >= 0, 0.5 ** (np.maximum(since, 0) / half_life_days), 0.0)
    daily = left @ np.array(weights_share, dtype=float)
    by_week: NDArray[np.float64] = daily.reshape(weeks, 7).mean(axis=1)
    return by_week


@formula("the sum of what is left of each disturbance", unit="share", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def disturbed_share(left: Sequence[float]) -> float:
    """What is left of all disturbances together, where a sit of today is 1.

    Args:
        left: what is left of each.
    """
    return float(sum(left))


@formula(
    "max(0, ceil(half_life_days * log(max(disturbed_share, rested_share) / rested_share) / log(2)"
    " - 0.000000001))",
    unit="days",
    source="judgement",
    basis="common practice",
    valid={"disturbed_share": (0, 1000), "rested_share": (0.01, 100),
           "half_life_days": (0.1, 365)},
)  # fmt: skip
def days_to_rest(disturbed_share: float, rested_share: float, half_life_days: float) -> float:
    """Whole days until no more than a share is left, if nobody comes in the meantime [days].

    A judgement, as `left_share` is.

    Args:
        disturbed_share: what is left today.
        rested_share: a place with no more than this left is rested.
        half_life_days: days in which half of it fades [days].

    Raises:
        OutsideRange: a share or a half-life that is none.
    """
    over = max(disturbed_share, rested_share) / rested_share
    return float(max(0, ceil(half_life_days * log(over) / log(2) - _HAIR)))

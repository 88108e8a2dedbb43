"""Rest: what is left of the disturbance at a treestand or blind, and in how many days it is rested.

A model of ours. On record is that 38 females in three seasons used the ground around a treestand or
blind less in the middle of the day and more at night in the days after it was hunted from, and no
less at dawn and dusk (Sullivan et al. 2018). For how many days is not: every figure here is a
judgement, and the person's to change.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, log

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

"""Hardening and frost: what cold a plant bears, and what a night takes.

A plant hardens over cold days and softens in warm ones; tops die at a temperature that moves with
it. An annual dies at its own killing temperature, hardened or not, as the tables give it.
"""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value
from fencerow.science.weather.series import Floats

COLD_C, WARM_C = 8.0, 14.0
"""Mean temperatures below which a day hardens, and above which it softens; a judgement."""
HARDENING_DAYS, SOFTENING_DAYS = 20.0, 10.0
"""Such days that take it all the way; a judgement."""


@formula(
    "min(1, max(0, hard_share + cold_day / hardening_days - warm_day / softening_days))",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"hard_share": (0, 1), "hardening_days": (1, 100), "softening_days": (1, 100)},
)
def hardened(
    hard_share: Value, cold_day: Value, warm_day: Value, hardening_days: float,
    softening_days: float,
) -> Value:  # fmt: skip
    """How far a plant is hardened after a day, 0 to 1.

    Args:
        hard_share: on the day before.
        cold_day, warm_day: 1 where the day was cold, or warm, else 0.
        hardening_days, softening_days: such days that take it all the way [days].

    Raises:
        OutsideRange: an input is outside its range.
    """
    moved = hard_share + cold_day / hardening_days - warm_day / softening_days
    return np.minimum(1.0, np.maximum(0.0, moved))


@formula(
    "soft_f + hard_share * (hard_f - soft_f)",
    unit="f",
    source="judgement",
    basis="from memory",
    valid={"hard_share": (0, 1), "soft_f": (-40, 40), "hard_f": (-40, 40)},
)
def tops_die_at(hard_share: Value, soft_f: Value, hard_f: Value) -> Value:
    """The night that kills tops [°F].

    Args:
        hard_share: `hardened`.
        soft_f, hard_f: what kills a soft and a hardened plant's tops [°F].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return soft_f + hard_share * (hard_f - soft_f)


def hardening(mean_c: Floats) -> Floats:
    """`hardened` through many days, the last axis one after the other.

    Args:
        mean_c: mean temperature of each day [°C].
    """
    days = np.moveaxis(mean_c, -1, 0)
    cold, warm = (days < COLD_C).astype(float), (days > WARM_C).astype(float)
    out = np.empty(days.shape)
    now: Value = np.zeros(mean_c.shape[:-1])
    for day in range(len(days)):
        # as `hardened`, without its checks
        moved = now + cold[day] / HARDENING_DAYS - warm[day] / SOFTENING_DAYS
        out[day] = now = np.minimum(1.0, np.maximum(0.0, moved))
    return np.moveaxis(out, 0, -1)

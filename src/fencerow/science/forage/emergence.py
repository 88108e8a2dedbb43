"""When a seeding comes up: warmth of the soil, slowly on dry days; and with how much."""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.forage.plant import Days
from fencerow.science.weather.series import Bools, Floats

DRY_SHARE = 0.25
"""How fast seed moves in dry soil, of its pace in moist: it has drunk once; a judgement."""
NEVER = 10**6
"""The day on which something comes up that does not."""


@formula(
    "rate_lb_ac * seeding_factor / ground_share * up_share",
    unit="lb_ac",
    source="judgement",
    basis="from memory",
    valid={"rate_lb_ac": (0, 500), "seeding_factor": (0.1, 3), "ground_share": (0.01, 1),
           "up_share": (0, 1)},
)  # fmt: skip
def start_mass(
    rate_lb_ac: float, seeding_factor: float, ground_share: float, up_share: float
) -> float:
    """What stands as a seeding comes up, an acre of its own ground [lb/ac].

    A judgement: a seedling weighs about what its seed did. 150,000 soybeans at 0.15 g are 50 lb.

    Args:
        rate_lb_ac: live seed [lb/ac].
        seeding_factor: the person's factor on it.
        ground_share: share of the ground that the plant holds.
        up_share: of live seed that becomes a plant.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return rate_lb_ac * seeding_factor / ground_share * up_share


@formula(
    "the first day on which soil warmth above the base, a quarter of it on dry days, comes to it",
    unit="days",
    source="judgement",
    basis="from memory",
    valid={"sown_at": (-1_000, 100_000), "base_c": (-5, 25), "emerge_c_days": (1, 1000)},
    lookup=True,
)
def emergence(
    soil_c: Floats, moist: Bools, sown_at: int, base_c: float, emerge_c_days: float
) -> Days:
    """The day of emergence in each year, counted as the arrays are; `NEVER` where it does not.

    Args:
        soil_c: temperature of the soil at the seed [year, day] [°C].
        moist: whether the soil at the seed is moist [year, day].
        sown_at: the day of seeding; below 0 it was sown before the first.
        base_c: temperature below which seed waits [°C].
        emerge_c_days: warmth from seeding to emergence [°C-days].

    Raises:
        OutsideRange: an input is outside its range.
    """
    pace = np.where(moist, 1.0, DRY_SHARE)
    warm = pace * np.maximum(np.asarray(soil_c, dtype=float) - base_c, 0.0)
    warm[..., : max(0, sown_at)] = 0.0
    there = np.cumsum(warm, axis=-1) >= emerge_c_days
    return np.where(there.any(axis=-1), there.argmax(axis=-1), NEVER)

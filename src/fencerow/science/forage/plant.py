"""What the growth model takes: plants, how each stands on its ground, and the sky over all of them.

Days are counted from the first of the run. Masses are of an acre of the plant's own ground, which
is its share of the plot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from fencerow.science.weather.layer import Layer
from fencerow.science.weather.series import Floats, Times

Layers = Sequence[Layer]
Days: TypeAlias = np.ndarray[tuple[int, ...], np.dtype[np.int64]]


@dataclass(frozen=True)
class Plant:
    """A plant's growth by the tables `forage_growth_plants` and `forage_growth_habits`.

    `dies_f` is the night that ends an annual; None for one that winters.
    """

    clock: str
    base_c: float
    best_c: float
    hot_c: float
    top_c: float
    light_use: float
    extinction: float
    leaf_ratio: float
    root_mm: float
    seed_base_c: float
    emerge_c_days: float
    short_h: float
    long_h: float
    short_share: float
    bloom_c_days: float
    ripe_c_days: float
    after_share: float
    crown_lb_ac: float
    ceiling_lb_ac: float
    soft_f: float
    tops_f: float
    dies_f: float | None


@dataclass(frozen=True)
class Stand:
    """One plant on one plot: seeded on a day, or kept and there from the start; gone on a day.

    `layer` is the number of its plot's soil; `held_back` what pH and nitrogen leave of its growth.
    """

    plant: Plant
    layer: int
    sown_at: int
    gone_at: int
    kept: bool
    start_lb_ac: float
    held_back: float = 1.0


@dataclass(frozen=True)
class Settings:
    """What holds for all plants: rows of `forage_model`, `standing_loss` and `forage_shares`."""

    moist_share: float
    ready_share: float
    tops_lost_share: float
    ripening_loss_share: float
    killed_share: float
    month_loss_share: Sequence[float]


@dataclass(frozen=True, eq=False)
class Sky:
    """The weather of every year of a run [year, day]; the length of the day is the same in all."""

    days: Times
    mean_c: Floats
    tmin_f: Floats
    soil_c: Floats
    rain_mm: Floats
    eto_mm_day: Floats
    rs_mj_m2_day: Floats
    day_h: Floats

    @property
    def years(self) -> int:
        return int(self.mean_c.shape[0])


@dataclass(frozen=True, eq=False)
class Potential:
    """What each stand could grow if it caught all light, in every year [stand, year, day].

    `growth` is by the acre and day, `loss` the share of what stands that a day takes, `up` the day
    of emergence [stand, year]; `cage` is what stands where no deer come.
    """

    growth: Floats
    loss: Floats
    up: Days
    start: Floats
    cage: Floats


def column(stands: Sequence[Stand], name: str) -> Floats:
    """One figure of every stand's plant, as a column against years."""
    return np.array([getattr(s.plant, name) for s in stands], dtype=float)[:, None]

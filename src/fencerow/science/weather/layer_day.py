"""One day of the worked layer: rain in, some of the excess out, the surface evaporates.

FAO-56 chapter 7, equations 71, 74 and 77 to 79; one number is the state, the depletion: how much
water is lacking to field capacity [mm], below 0 while water still drains.
"""

from __future__ import annotations

import math
from typing import NamedTuple, TypeAlias

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.series import Floats

Cells: TypeAlias = float | Floats


class LayerDay(NamedTuple):
    """One day of a layer, in the columns of FAO-56 example 35."""

    start_mm: float
    kr: float
    ke: float
    evaporation_mm: float
    end_mm: float
    drained_mm: float
    spilled_mm: float


@formula(
    "FAO-56 equations 71, 74 and 77 to 79, with drainage at the pace of the plot",
    unit="",
    source=("fao56", "pyfao56", "swat"),
    lookup=True,
)
def layer_day(
    depletion_mm: float,
    water_mm: float,
    eto_mm_day: float,
    kcb: float,
    kc_max: float,
    few_share: float,
    rew_mm: float,
    tew_mm: float,
    room_mm: float,
    drain_h: float,
    rain_first: bool = True,
) -> LayerDay:
    """One day of the layer. Source: FAO-56 chapter 7, equations 71, 74 and 77 to 79.

    Args:
        depletion_mm: at the end of the day before [mm].
        water_mm: rain and irrigation less runoff, over the wetted share [mm].
        eto_mm_day: reference evapotranspiration [mm/day].
        kcb, kc_max, few_share: `kc_max`, `exposed_share` and the basal coefficient.
        rew_mm, tew_mm: readily and in all evaporable water [mm].
        room_mm: room for water above field capacity [mm].
        drain_h: `drain_time` [h].
        rain_first: the rain comes early and dampens the whole day, as in example 35; otherwise the
            surface dries as wet as it was before the rain.
    """
    soil = Columns(kcb, kc_max, few_share, rew_mm, tew_mm, room_mm, 1 - math.exp(-24 / drain_h))
    _, *day = step(depletion_mm, water_mm, eto_mm_day, soil, rain_first)
    return LayerDay(*(float(value) for value in day))


class Columns(NamedTuple):
    """What a day needs of each plot, as numbers or as columns [plot, 1]."""

    kcb: Cells
    kc_max: Cells
    few: Cells
    rew: Cells
    tew: Cells
    room: Cells
    gone: Cells


def step(
    depletion: Cells, water: Cells, eto: Cells, soil: Columns, rain_first: bool
) -> tuple[Cells, Cells, Cells, Cells, Cells, Cells, Cells, Cells]:
    """A day of many layers: wetted, start, Kr, Ke, evaporated, evening, drained, spilled."""
    wetted = depletion - water
    spilled = np.maximum(0.0, -soil.room - wetted)
    wetted = wetted + spilled
    drained_mm = np.maximum(0.0, -wetted) * soil.gone
    start = wetted + drained_mm
    rules = start if rain_first else depletion
    kr = np.clip((soil.tew - rules) / (soil.tew - soil.rew), 0.0, 1.0)
    ke = np.minimum(kr * (soil.kc_max - soil.kcb), soil.few * soil.kc_max)
    # the open ground gives it all, and no more than it has
    taken = np.minimum(ke * eto / soil.few, soil.tew - start)
    return wetted, start, kr, ke, taken * soil.few, start + taken, drained_mm, spilled

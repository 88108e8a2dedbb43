"""Whether the ground is fit: for tillage by a published wet limit, for wheels and feet by another.

The wet limit of tillage comes from the soil (organic matter and clay); what the layer must lack to
field capacity by midday follows from it, in mm, and is shown beside every verdict. A day has three
answers, fit, not fit and not known. These limits are uncertain by a day and more: a person's
offset for a plot, learned from 'too wet' and 'fine' in the field, goes before any of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.layer import BARE_KC
from fencerow.science.weather.layer_day import layer_day
from fencerow.science.weather.series import Bools, Floats
from fencerow.science.weather.snow import COVERED_MM
from fencerow.science.weather.soil_water import LayerWater
from fencerow.words import OutsideRange

_SHARE = (0.001, 0.8)
_LONGEST_DAYS = 90


@formula(
    "7.5 + 1.91 * om_pct + 0.34 * clay_pct",
    unit="pct",
    source="njas-1988",
    valid={"om_pct": (0, 8), "clay_pct": (0, 60)},
)
def wettest_tillage(om_pct: float, clay_pct: float) -> float:
    """The most water, by weight of dry soil, at which tillage leaves a seedbed [%].

    Source: Netherlands Journal of Agricultural Science 36 (1988); fitted on soils of Uruguay.

    Args:
        om_pct: organic matter by weight, to 8 [%].
        clay_pct: clay by weight, to 60 [%].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return 7.5 + 1.91 * om_pct + 0.34 * clay_pct


@formula(
    "water_pct / 100 * bulk_kg_m3 / 1000",
    unit="share",
    source="definition",
    basis="definition",
    valid={"water_pct": (0, 100), "bulk_kg_m3": (500, 2650)},
)
def by_volume(water_pct: float, bulk_kg_m3: float) -> float:
    """Water by weight of dry soil, as a share of the volume. By definition.

    Args:
        water_pct: water by weight [%].
        bulk_kg_m3: `bulk_density` [kg/m³].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return water_pct / 100 * bulk_kg_m3 / 1000


@formula(
    "min(limit_share, 0.95 * fc_share)",
    unit="share",
    source=("njas-1988", "judgement"),
    basis="common practice",
    valid={"limit_share": (0.001, 2), "fc_share": _SHARE},
)
def tillage_limit(limit_share: float, fc_share: float) -> float:
    """The wettest that a layer may be tilled or seeded, by volume.

    The published limit; and, a judgement, never wetter than 95 % of field capacity, which the limit
    passes on sands.

    Args:
        limit_share: `wettest_tillage`, `by_volume`.
        fc_share: water at field capacity, by volume.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return min(limit_share, 0.95 * fc_share)


@formula(
    "(fc_share - limit_share) * depth_mm + offset_mm",
    unit="mm",
    source="definition",
    basis="definition",
    valid={
        "fc_share": _SHARE, "limit_share": _SHARE, "depth_mm": (50, 300), "offset_mm": (-60, 60),
    },
)  # fmt: skip
def dryness_wanted(fc_share: float, limit_share: float, depth_mm: float, offset_mm: float) -> float:
    """The depletion from which on the layer is fit [mm]. By definition of the limit.

    Args:
        fc_share: water at field capacity, by volume.
        limit_share: `tillage_limit`; field capacity itself for wheels and feet.
        depth_mm: depth of the layer [mm].
        offset_mm: the person's own: above 0 where the plot must be drier than the limit says [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (fc_share - limit_share) * depth_mm + offset_mm


@formula(
    "whole days from the day of the rain to the first whose midday depletion is what is wanted",
    unit="days",
    source=("fao56", "swat"),
    lookup=True,
    valid={"start_mm": (-200, 200), "wanted_mm": (-60, 120), "eto_mm_day": (0, 15)},
)
def days_to_fit(
    start_mm: float,
    wanted_mm: float,
    eto_mm_day: float,
    rew_mm: float,
    tew_mm: float,
    room_mm: float,
    drain_h: float,
    kc_max: float = BARE_KC,
) -> float:
    """Whole days until bare ground is fit, when every day is like the other and none is wet [days].

    By `layer_day`. The day of the rain is day 0: what is above field capacity drains on it, and
    nothing evaporates. Midday lies halfway between morning and evening.

    Args:
        start_mm: depletion right after the rain, below 0 above field capacity [mm].
        wanted_mm: `dryness_wanted` [mm].
        eto_mm_day: reference evapotranspiration of each day [mm/day].
        rew_mm, tew_mm, room_mm, drain_h, kc_max: as in `layer_day`.

    Raises:
        OutsideRange: an input is outside its range, or 90 days are not enough.
    """
    soil = (0.0, kc_max, 1.0, rew_mm, tew_mm, room_mm, drain_h)
    evening = layer_day(start_mm, 0.0, 0.0, *soil).end_mm
    for day in range(1, _LONGEST_DAYS + 1):
        morning, evening = evening, layer_day(evening, 0.0, eto_mm_day, *soil).end_mm
        if (morning + evening) / 2 >= wanted_mm:
            return float(day)
    raise OutsideRange("soilwater-never-dry", days=_LONGEST_DAYS, wanted=wanted_mm)


class Verdict(NamedTuple):
    """For each cell, whether it is fit, and whether that is known; fit is only what is known."""

    fit: Bools
    known: Bools


def judged(surely: Bools, possibly: Bools) -> Verdict:
    """A verdict from what holds in the worst case and what holds in the best."""
    return Verdict(surely, surely | ~possibly)


def both(one: Verdict, other: Verdict) -> Verdict:
    """Fit where both are; known where both are fit, or where one is known not to be."""
    surely = one.fit & other.fit
    refused = (one.known & ~one.fit) | (other.known & ~other.fit)
    return Verdict(surely, surely | refused)


def dry_enough(water: LayerWater, wanted_mm: Sequence[float]) -> Verdict:
    """Where the layer is dry enough by midday [plot, year, day].

    Args:
        water: `layer_water` of the plots.
        wanted_mm: `dryness_wanted` of each [mm].
    """
    wanted = np.asarray(wanted_mm, dtype=np.float64)[:, None, None]
    return judged(water.wettest.midday_mm >= wanted, water.driest.midday_mm >= wanted)


def little_rain(rain_mm: Floats, most_rain_mm: float) -> Verdict:
    """Where less than so much rain falls on the day itself; NaN is not known.

    Args:
        rain_mm: rain of each day [mm].
        most_rain_mm: a row of `fit_limits` [mm].
    """
    return Verdict(rain_mm < most_rain_mm, ~np.isnan(rain_mm))


def ground_open(
    mean_c: Floats,
    snow_depth_mm: Floats,
    lying_mm: Floats | None = None,
    soil_c: Floats | None = None,
) -> Verdict:
    """Where the ground is neither frozen nor under snow.

    Snow: as it was read; else the water that is modelled to lie as snow; else, a judgement, not
    known until the mean of ten days is above 0 °C, and then there is none. Frozen: the modelled
    temperature of the soil; where it is not known, the mean of three days' air.

    Args:
        mean_c: mean temperature of each day, the last axis one after the other [°C].
        snow_depth_mm: snow on the ground; NaN where it was not read [mm].
        lying_mm: `snow_course`; NaN where it is not known, None where it was not run [mm].
        soil_c: `soil_temperatures` near the surface; likewise [°C].
    """
    unknown = np.full(mean_c.shape, np.nan)
    lying = unknown if lying_mm is None else lying_mm
    soil = unknown if soil_c is None else soil_c
    three, ten = _mean_of(mean_c, 3), _mean_of(mean_c, 10)
    warmth = np.where(np.isnan(soil), three, soil)
    thawed = Verdict(warmth > 0, ~np.isnan(warmth))
    read, run = ~np.isnan(snow_depth_mm), ~np.isnan(lying)
    bare = np.where(read, snow_depth_mm == 0, np.where(run, lying < COVERED_MM, ten > 0))
    return both(thawed, judged(bare, bare | (~read & ~run)))


def _mean_of(values: Floats, days: int) -> Floats:
    """The mean of each day and those before it; NaN where one of them is not known."""
    out = np.full(values.shape, np.nan)
    if values.shape[-1] >= days:
        windows = np.lib.stride_tricks.sliding_window_view(values, days, axis=-1)
        out[..., days - 1 :] = windows.mean(axis=-1)
    return out

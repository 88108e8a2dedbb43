"""Temperature of the soil, day by day, by the step that SWAT and APEX take.

Yesterday's temperature, today's surface and the mean of the year, mixed by depth. Models of this
kind are off by about 2 °C either way, more under mulch, snow or tall cover: a planting that hangs
on a degree wants a thermometer in the ground.
"""

from __future__ import annotations

import math

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.science.weather.series import Floats
from fencerow.science.weather.snow import snow_shelter
from fencerow.words import OutsideRange

ALBEDO = 0.23
"""Share of the light that the ground throws back: FAO-56's grass; bare wet soil is darker."""

_BULK = (800.0, 2000.0)
_C = (-60.0, 70.0)
_UNSURE_DAYS = 14  # 0.8 ** 14 is 4 %: a wrong day of 20 °C is then worth less than 1 °C


@on_arrays
@formula(
    "(tmax_c + tmin_c) / 2 + (tmax_c - tmin_c) / 2"
    " * (rs_mj_m2_day * (1 - albedo_share) - 14) / 20",
    unit="c",
    source=("swat", "apex-soil"),
    valid={
        "tmax_c": (-60, 60), "tmin_c": (-60, 60), "rs_mj_m2_day": (0, 50), "albedo_share": (0, 1),
    },
)  # fmt: skip
def bare_surface(tmax_c: Value, tmin_c: Value, rs_mj_m2_day: Value, albedo_share: Value) -> Value:
    """Temperature of a bare soil surface, mean of the day [°C]. Source: SWAT, eq. 2.3.9 and 10.

    Args:
        tmax_c, tmin_c: of the air [°C].
        rs_mj_m2_day: solar radiation [MJ/m²/day].
        albedo_share: light that the ground throws back.

    Raises:
        OutsideRange: an input is outside its range.
    """
    heat = (rs_mj_m2_day * (1 - albedo_share) - 14) / 20
    return (tmax_c + tmin_c) / 2 + (tmax_c - tmin_c) / 2 * heat


@formula(
    "1000 + 2500 * bulk_kg_m3 / (bulk_kg_m3 + 686000 * exp(-0.00563 * bulk_kg_m3))",
    unit="mm",
    source="swat",
    valid={"bulk_kg_m3": _BULK},
)
def deepest_damping(bulk_kg_m3: float) -> float:
    """Depth that the year's swing reaches in soil of this density, at most [mm]. SWAT, eq. 2.3.6.

    Args:
        bulk_kg_m3: `bulk_density`, 800 to 2000 [kg/m³].

    Raises:
        OutsideRange: the density is outside its range.
    """
    return 1000 + 2500 * bulk_kg_m3 / (bulk_kg_m3 + 686000 * math.exp(-0.00563 * bulk_kg_m3))


@formula(
    "soil_water_mm / ((0.356 - 0.000144 * bulk_kg_m3) * profile_mm)",
    unit="",
    source="swat",
    valid={"soil_water_mm": (0, 2000), "bulk_kg_m3": _BULK, "profile_mm": (100, 4000)},
)
def wetness(soil_water_mm: float, bulk_kg_m3: float, profile_mm: float) -> float:
    """How wet the whole profile is, on the scale that the damping wants. Source: SWAT, eq. 2.3.7.

    Args:
        soil_water_mm: water in the profile [mm].
        bulk_kg_m3: `bulk_density` [kg/m³].
        profile_mm: depth of the profile [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return soil_water_mm / ((0.356 - 0.000144 * bulk_kg_m3) * profile_mm)


@formula(
    "deepest_mm * exp(log(500 / deepest_mm) * ((1 - wetness) / (1 + wetness)) ** 2)",
    unit="mm",
    source="swat",
    valid={"deepest_mm": (1000, 3500), "wetness": (0, 20)},
)
def damping_depth(deepest_mm: float, wetness: float) -> float:
    """Depth that the year's swing reaches at this wetness [mm]. Source: SWAT, eq. 2.3.8.

    Args:
        deepest_mm: `deepest_damping` [mm].
        wetness: `wetness`.

    Raises:
        OutsideRange: an input is outside its range.
    """
    share = ((1 - wetness) / (1 + wetness)) ** 2
    return deepest_mm * math.exp(math.log(500 / deepest_mm) * share)


@formula(
    "depth_mm / damping_mm / (depth_mm / damping_mm + exp(-0.867 - 2.078 * depth_mm / damping_mm))",
    unit="share",
    source=("swat", "apex-soil"),
    valid={"depth_mm": (0, 4000), "damping_mm": (100, 4000)},
)
def depth_factor(depth_mm: float, damping_mm: float) -> float:
    """How much the mean of the year counts at a depth, 0 at the surface. Source: SWAT, eq. 2.3.4.

    Args:
        depth_mm: the depth that is asked about [mm].
        damping_mm: `damping_depth` [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    ratio = depth_mm / damping_mm
    return ratio / (ratio + math.exp(-0.867 - 2.078 * ratio))


@on_arrays
@formula(
    "0.8 * yesterday_c + 0.2 * (depth_factor * (year_c - surface_c) + surface_c)",
    unit="c",
    source=("swat", "apex-soil"),
    valid={"yesterday_c": _C, "surface_c": _C, "year_c": _C, "depth_factor": (0, 1)},
)
def soil_temperature(
    yesterday_c: Value, surface_c: Value, year_c: Value, depth_factor: Value
) -> Value:
    """Temperature of the soil at a depth, from the day before [°C]. Source: SWAT, eq. 2.3.3.

    Good to about 2 °C either way.

    Args:
        yesterday_c: at the same depth on the day before [°C].
        surface_c: `bare_surface` of the day [°C].
        year_c: mean air temperature of the year [°C].
        depth_factor: `depth_factor`.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return 0.8 * yesterday_c + 0.2 * (depth_factor * (year_c - surface_c) + surface_c)


def soil_temperatures(
    surface_c: Floats, year_c: float, depth_factor: float, snow_water_mm: Floats | None = None
) -> Floats:
    """`soil_temperature` through many days, the last axis one after the other [°C].

    Two weeks at the start, and after each day whose surface is not known, have no answer: by then
    the guess that stands in has worn off.

    Args:
        surface_c: `bare_surface` of each day; NaN where it is not known [°C].
        year_c: mean air temperature of the year [°C].
        depth_factor: `depth_factor`.
        snow_water_mm: water lying as snow each day, which shelters; None for bare ground [mm].

    Raises:
        OutsideRange: `depth_factor` is outside 0 to 1.
    """
    if not 0 <= depth_factor <= 1:
        raise OutsideRange("outside-range", name="depth_factor", value=depth_factor, low=0, high=1)
    out = np.empty(surface_c.shape)
    now = np.full(surface_c.shape[:-1], year_c)
    unsure = np.full(now.shape, _UNSURE_DAYS)
    shelter = None if snow_water_mm is None else np.asarray(snow_shelter(snow_water_mm))
    for day in range(surface_c.shape[-1]):
        surface = surface_c[..., day]
        if shelter is not None:
            kept = shelter[..., day]
            surface = kept * now + (1 - kept) * surface
        blank = np.isnan(surface)
        target = depth_factor * year_c + (1 - depth_factor) * surface
        now = np.where(blank, now, 0.8 * now + 0.2 * target)
        unsure = np.where(blank, _UNSURE_DAYS, np.maximum(unsure - 1, 0))
        out[..., day] = np.where(unsure > 0, np.nan, now)
    return out

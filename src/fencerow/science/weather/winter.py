"""Winter on the ground: snow and the warmth of the soil together, of a record or of coming days."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fencerow.science.weather.radiation import (
    radiation_above,
    solar_inland,
)
from fencerow.science.weather.seasons import SideBySide
from fencerow.science.weather.series import DailySeries, Floats, Times
from fencerow.science.weather.snow import snow_course
from fencerow.science.weather.soil_temperature import (
    ALBEDO,
    bare_surface,
    damping_depth,
    deepest_damping,
    depth_factor,
    soil_temperatures,
)

FROZEN_AT_MM = 50.0
"""Ground counts as frozen by its temperature at this depth: what a wheel or a disk meets first."""

_SHALLOW = depth_factor(FROZEN_AT_MM, damping_depth(deepest_damping(1400.0), 1.3))
"""A soil of middling density and wetness; at so little depth soils differ by a hundredth."""


class Winter(NamedTuple):
    """What reaches the ground [mm], water lying as snow [mm], the soil at `FROZEN_AT_MM` [°C]."""

    reaching_mm: Floats
    lying_mm: Floats
    soil_c: Floats


def winter_course(
    rain_mm: Floats, mean_c: Floats, surface_c: Floats, snow_depth_mm: Floats | None, year_c: float
) -> Winter:
    """Snow and soil day by day, the last axis one after the other.

    Args:
        rain_mm, mean_c, snow_depth_mm: as `snow_course` takes them.
        surface_c: `bare_surface` of each day [°C].
        year_c: mean air temperature of the year [°C].
    """
    snow = snow_course(rain_mm, mean_c, snow_depth_mm)
    return Winter(
        snow.reaching_mm,
        snow.lying_mm,
        soil_temperatures(surface_c, year_c, _SHALLOW, snow.lying_mm),
    )


def record_winter(daily: DailySeries) -> Winter:
    """The winters of a whole record, side by side from 1 September on, when no snow is lying."""
    # outside the record nothing falls, so that a record that begins in winter begins bare
    years = SideBySide(daily.times, month=9)
    course = winter_course(
        years.rows(daily.rain_mm, 0.0),
        years.rows((daily.tmax_c + daily.tmin_c) / 2, 10.0),
        years.rows(surface_of(daily), np.nan),
        years.rows(daily.snow_depth_mm, np.nan),
        mean_of_year(daily),
    )
    return Winter(*(years.back(values) for values in course))


def mean_of_year(daily: DailySeries) -> float:
    """The mean air temperature over the record [°C]; 10 where none is known."""
    mean = (daily.tmax_c + daily.tmin_c) / 2
    return 10.0 if np.isnan(mean).all() else float(np.nanmean(mean))


def surface_of(daily: DailySeries) -> Floats:
    """`bare_surface` of each day; where the latitude is not known, the mean of the air [°C]."""
    latitude = daily.station.latitude_deg
    if latitude is None:
        mean: Floats = (daily.tmax_c + daily.tmin_c) / 2
        return mean
    above = np.asarray(radiation_above(latitude, _day_of_year(daily.times)))
    solar = solar_inland(daily.station.elevation_m, daily.tmax_c, daily.tmin_c, above)
    surface: Floats = np.asarray(bare_surface(daily.tmax_c, daily.tmin_c, solar, ALBEDO))
    return surface


def _day_of_year(times: Times) -> Floats:
    days: Floats = ((times - times.astype("datetime64[Y]")).astype(int) + 1).astype(np.float64)
    return days

"""Reference evapotranspiration: how much water a well-watered short grass would use.

FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes and Smith, 1998), by equation number.
Numbers give a number; arrays give an array, NaN where an input is not known or out of range. The
wind is wanted at 2 m: airport masts stand at 10 m, fire-weather ones at 20 ft.
"""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, above, on_arrays
from fencerow.science.weather.humidity import (
    air_pressure,
    mean_saturation,
    psychrometric_constant,
    saturation_pressure,
    saturation_slope,
    vapour_deficit,
)
from fencerow.science.weather.radiation import (
    clear_sky_radiation,
    net_longwave,
    net_shortwave,
    relative_solar,
)

_T = (-60, 60)


@on_arrays
@formula(
    "wind_m_s * 4.87 / log(67.8 * height_m - 5.42)",
    unit="m_s",
    source=("fao56", "ncl-crop"),
    valid={"wind_m_s": (0, 100), "height_m": (1, 20)},
)
def wind_at_2m(wind_m_s: Value, height_m: Value) -> Value:
    """Wind speed brought down to 2 m over short grass [m/s]. Source: FAO-56 equation 47.

    Args:
        wind_m_s: measured speed, 0 to 100 [m/s].
        height_m: height of the instrument, 1 to 20 [m].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return wind_m_s * 4.87 / np.log(67.8 * height_m - 5.42)


@on_arrays
@formula(
    "(0.408 * slope_kpa_c * net_heat_mj_m2_day + psychrometric_kpa_c * 900 / (temp_c + 273)"
    " * wind_2m_m_s * deficit_kpa)"
    " / (slope_kpa_c + psychrometric_kpa_c * (1 + 0.34 * wind_2m_m_s))",
    unit="mm_day",
    source=("fao56", "ncl-crop"),
    valid={
        "slope_kpa_c": (0, 2),
        "net_heat_mj_m2_day": (-20, 40),
        "psychrometric_kpa_c": (0.02, 0.08),
        "temp_c": _T,
        "wind_2m_m_s": (0, 60),
        "deficit_kpa": (0, 15),
    },
)
def penman_monteith(
    slope_kpa_c: Value,
    net_heat_mj_m2_day: Value,
    psychrometric_kpa_c: Value,
    temp_c: Value,
    wind_2m_m_s: Value,
    deficit_kpa: Value,
) -> Value:
    """Reference evapotranspiration of short grass [mm/day]. Source: FAO-56 equation 6.

    A deficit below 0 gives no answer: humidity and temperature then do not belong together.

    Args:
        slope_kpa_c: `saturation_slope` [kPa/°C].
        net_heat_mj_m2_day: net radiation less what the soil takes up (0 over a day) [MJ/m²/day].
        psychrometric_kpa_c: `psychrometric_constant` [kPa/°C].
        temp_c: mean temperature, -60 to 60 [°C].
        wind_2m_m_s: wind at 2 m, 0 to 60 [m/s].
        deficit_kpa: `vapour_deficit`, 0 to 15 [kPa].

    Raises:
        OutsideRange: an input is outside its range.
    """
    radiation = 0.408 * slope_kpa_c * net_heat_mj_m2_day
    air = psychrometric_kpa_c * 900 / (temp_c + 273) * wind_2m_m_s * deficit_kpa
    return (radiation + air) / (slope_kpa_c + psychrometric_kpa_c * (1 + 0.34 * wind_2m_m_s))


@on_arrays
@formula(
    "max(0, 0.0023 * ((tmax_c + tmin_c) / 2 + 17.8) * sqrt(tmax_c - tmin_c)"
    " * 0.408 * ra_mj_m2_day)",
    unit="mm_day",
    source=("fao56", "ncl-crop"),
    valid={"tmax_c": _T, "tmin_c": _T, "ra_mj_m2_day": (0, 50)},
)
def hargreaves(tmax_c: Value, tmin_c: Value, ra_mj_m2_day: Value) -> Value:
    """Reference evapotranspiration from temperature alone [mm/day]. Source: FAO-56 equation 52.

    It tends to run high where the air is humid: say which way was taken beside the answer. Below a
    mean of -17.8 °C the formula would go under 0, and 0 is given.

    Args:
        tmax_c: the day's maximum, -60 to 60 [°C].
        tmin_c: the day's minimum [°C].
        ra_mj_m2_day: `extraterrestrial_radiation` [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    mean_c, spread_c = (tmax_c + tmin_c) / 2, above(tmax_c, tmin_c, "tmin_c")
    return np.maximum(0.0, 0.0023 * (mean_c + 17.8) * np.sqrt(spread_c) * 0.408 * ra_mj_m2_day)


@on_arrays
@formula(
    "penman_monteith, with pressure, saturation, slope and net radiation worked from the weather",
    unit="mm_day",
    source=("fao56", "ncl-crop"),
    lookup=True,
)
def daily_reference_et(
    tmax_c: Value,
    tmin_c: Value,
    ea_kpa: Value,
    rs_mj_m2_day: Value,
    wind_2m_m_s: Value,
    ra_mj_m2_day: Value,
    elevation_m: Value,
) -> Value:
    """`penman_monteith` of a day from its weather, all steps in one [mm/day]. FAO-56 chapter 4.

    Args:
        tmax_c: the day's maximum [°C].
        tmin_c: the day's minimum [°C].
        ea_kpa: vapour pressure by the best way there is [kPa].
        rs_mj_m2_day: solar radiation by the best way there is [MJ/m²/day].
        wind_2m_m_s: wind at 2 m [m/s].
        ra_mj_m2_day: `radiation_above` [MJ/m²/day].
        elevation_m: height of the station [m].

    Raises:
        OutsideRange: a single number is outside its range; in an array it gives NaN.
    """
    mean_c = (tmax_c + tmin_c) / 2
    es = mean_saturation(saturation_pressure(tmax_c), saturation_pressure(tmin_c))
    clear = relative_solar(rs_mj_m2_day, clear_sky_radiation(elevation_m, ra_mj_m2_day))
    net = net_shortwave(rs_mj_m2_day) - net_longwave(tmax_c, tmin_c, ea_kpa, clear)
    return penman_monteith(
        saturation_slope(mean_c),
        net,
        psychrometric_constant(air_pressure(elevation_m)),
        mean_c,
        wind_2m_m_s,
        vapour_deficit(es, ea_kpa),
    )

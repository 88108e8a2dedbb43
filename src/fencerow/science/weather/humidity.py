"""Air pressure and the water in the air, as reference evapotranspiration wants them.

FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes and Smith, 1998), by equation number. The
ways to the vapour pressure stand from best to worst: dew point, highest and lowest humidity, mean
humidity, wet bulb, the night's low.
"""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, above, on_arrays

_T = (-60, 60)
_E = (0, 20)


@on_arrays
@formula(
    "101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26",
    unit="kpa",
    source=("fao56", "ncl-crop"),
    valid={"elevation_m": (-500, 6000)},
)
def air_pressure(elevation_m: Value) -> Value:
    """Mean air pressure at a height above the sea [kPa]. Source: FAO-56 equation 7.

    Args:
        elevation_m: height above the sea, -500 to 6000 [m].

    Raises:
        OutsideRange: the height is outside its range.
    """
    return 101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26


@on_arrays
@formula(
    "0.000665 * pressure_kpa",
    unit="kpa_c",
    source="fao56",
    valid={"pressure_kpa": (40, 110)},
)
def psychrometric_constant(pressure_kpa: Value) -> Value:
    """Psychrometric constant [kPa/°C]. Source: FAO-56 equation 8.

    Args:
        pressure_kpa: `air_pressure`, 40 to 110 [kPa].

    Raises:
        OutsideRange: the pressure is outside its range.
    """
    return 0.000665 * pressure_kpa


@on_arrays
@formula(
    "0.6108 * exp(17.27 * temp_c / (temp_c + 237.3))",
    unit="kpa",
    source=("fao56", "ncl-crop"),
    valid={"temp_c": _T},
)
def saturation_pressure(temp_c: Value) -> Value:
    """Vapour pressure of saturated air [kPa]. Source: FAO-56 equation 11.

    Args:
        temp_c: air temperature, -60 to 60 [°C].

    Raises:
        OutsideRange: the temperature is outside its range.
    """
    return 0.6108 * np.exp(17.27 * temp_c / (temp_c + 237.3))


@on_arrays
@formula(
    "(e_tmax_kpa + e_tmin_kpa) / 2",
    unit="kpa",
    source=("fao56", "ncl-crop"),
    valid={"e_tmax_kpa": _E, "e_tmin_kpa": _E},
)
def mean_saturation(e_tmax_kpa: Value, e_tmin_kpa: Value) -> Value:
    """Mean saturation vapour pressure of a day [kPa]. Source: FAO-56 equation 12.

    Never of the mean temperature: the curve bends, and that would come out too low.

    Args:
        e_tmax_kpa: `saturation_pressure` at the day's maximum, 0 to 20 [kPa].
        e_tmin_kpa: the same at the minimum [kPa].

    Raises:
        OutsideRange: a pressure is outside its range.
    """
    return (e_tmax_kpa + e_tmin_kpa) / 2


@on_arrays
@formula(
    "4098 * 0.6108 * exp(17.27 * temp_c / (temp_c + 237.3)) / (temp_c + 237.3) ** 2",
    unit="kpa_c",
    source=("fao56", "ncl-crop"),
    valid={"temp_c": _T},
)
def saturation_slope(temp_c: Value) -> Value:
    """Slope of the saturation curve at the day's mean temperature [kPa/°C]. FAO-56 equation 13.

    Args:
        temp_c: mean of the day's maximum and minimum, -60 to 60 [°C].

    Raises:
        OutsideRange: the temperature is outside its range.
    """
    return 4098 * 0.6108 * np.exp(17.27 * temp_c / (temp_c + 237.3)) / (temp_c + 237.3) ** 2


@on_arrays
@formula(
    "0.6108 * exp(17.27 * dewpoint_c / (dewpoint_c + 237.3))",
    unit="kpa",
    source="fao56",
    valid={"dewpoint_c": _T},
)
def vapour_from_dewpoint(dewpoint_c: Value) -> Value:
    """Vapour pressure of the air from its dew point, the best way [kPa]. FAO-56 equation 14.

    Args:
        dewpoint_c: dew point, -60 to 60 [°C].

    Raises:
        OutsideRange: the dew point is outside its range.
    """
    return 0.6108 * np.exp(17.27 * dewpoint_c / (dewpoint_c + 237.3))


@on_arrays
@formula(
    "(e_tmin_kpa * rh_max_pct + e_tmax_kpa * rh_min_pct) / 200",
    unit="kpa",
    source=("fao56", "ncl-crop"),
    valid={"e_tmin_kpa": _E, "e_tmax_kpa": _E, "rh_max_pct": (0, 100), "rh_min_pct": (0, 100)},
)
def vapour_from_humidity_range(
    e_tmin_kpa: Value, e_tmax_kpa: Value, rh_max_pct: Value, rh_min_pct: Value
) -> Value:
    """Vapour pressure from the day's highest and lowest humidity [kPa]. FAO-56 equation 17.

    Args:
        e_tmin_kpa: `saturation_pressure` at the day's minimum, 0 to 20 [kPa].
        e_tmax_kpa: the same at the maximum [kPa].
        rh_max_pct: highest relative humidity, near dawn, 0 to 100 [%].
        rh_min_pct: lowest relative humidity, in the afternoon, 0 to 100 [%].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (e_tmin_kpa * rh_max_pct + e_tmax_kpa * rh_min_pct) / 200


@on_arrays
@formula(
    "es_kpa * rh_mean_pct / 100",
    unit="kpa",
    source="fao56",
    valid={"es_kpa": _E, "rh_mean_pct": (0, 100)},
)
def vapour_from_mean_humidity(es_kpa: Value, rh_mean_pct: Value) -> Value:
    """Vapour pressure from the mean humidity alone, less exact [kPa]. FAO-56 equation 19.

    Args:
        es_kpa: `mean_saturation`, 0 to 20 [kPa].
        rh_mean_pct: mean relative humidity, 0 to 100 [%].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return es_kpa * rh_mean_pct / 100


@on_arrays
@formula(
    "e_wet_kpa - 0.000662 * pressure_kpa * (dry_bulb_c - wet_bulb_c)",
    unit="kpa",
    source="fao56",
    valid={"e_wet_kpa": _E, "pressure_kpa": (40, 110), "dry_bulb_c": _T, "wet_bulb_c": _T},
)
def vapour_from_wet_bulb(
    e_wet_kpa: Value, pressure_kpa: Value, dry_bulb_c: Value, wet_bulb_c: Value
) -> Value:
    """Vapour pressure by a wet and a dry bulb in moving air [kPa]. FAO-56 equations 15, 16.

    Args:
        e_wet_kpa: `saturation_pressure` at the wet bulb, 0 to 20 [kPa].
        pressure_kpa: `air_pressure`, 40 to 110 [kPa].
        dry_bulb_c: the dry bulb, -60 to 60 [°C].
        wet_bulb_c: the wet bulb, no warmer than the dry one [°C].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return e_wet_kpa - 0.000662 * pressure_kpa * above(dry_bulb_c, wet_bulb_c, "wet_bulb_c")


@on_arrays
@formula(
    "0.6108 * exp(17.27 * tmin_c / (tmin_c + 237.3))",
    unit="kpa",
    source="fao56",
    valid={"tmin_c": _T},
)
def vapour_from_tmin(tmin_c: Value) -> Value:
    """Vapour pressure where no humidity was measured [kPa]. FAO-56 equation 48.

    It takes the night's low for the dew point: fair in humid country, too moist in dry country.

    Args:
        tmin_c: the day's minimum temperature, -60 to 60 [°C].

    Raises:
        OutsideRange: the temperature is outside its range.
    """
    return 0.6108 * np.exp(17.27 * tmin_c / (tmin_c + 237.3))


@on_arrays
@formula("es_kpa - ea_kpa", unit="kpa", source="fao56", valid={"es_kpa": _E, "ea_kpa": _E})
def vapour_deficit(es_kpa: Value, ea_kpa: Value) -> Value:
    """How far the air is from saturated [kPa]; below 0 the humidity does not fit the temperature.

    Args:
        es_kpa: `mean_saturation`, 0 to 20 [kPa].
        ea_kpa: vapour pressure by the best way there is, 0 to 20 [kPa].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return es_kpa - ea_kpa

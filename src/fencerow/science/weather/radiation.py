"""Sun and sky over a day: radiation above the air, at the ground, and what short grass keeps of it.

FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes and Smith, 1998), by equation number.
Beyond 55 degrees of latitude its daily formulas hold poorly in winter: no answer is given there.
"""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, above, on_arrays
from fencerow.science.weather.series import Floats

_LATITUDE = (-55, 55)
_DECLINATION = (-0.41, 0.41)
_ANGLE = (0, 3.1416)
_R = (0, 50)
_T = (-60, 60)
INLAND = 0.16
"""k_rs away from a coast (FAO-56 equation 50)."""


@on_arrays
@formula(
    "1 + 0.033 * cos(2 * pi * day_of_year / 365)",
    unit="",
    source="fao56",
    valid={"day_of_year": (1, 366)},
)
def inverse_sun_distance(day_of_year: Value) -> Value:
    """How near the sun is, relative to its mean distance, inverse. FAO-56 equation 23.

    Args:
        day_of_year: 1 to 366.

    Raises:
        OutsideRange: the day is outside its range.
    """
    return 1 + 0.033 * np.cos(2 * np.pi * day_of_year / 365)


@on_arrays
@formula(
    "0.409 * sin(2 * pi * day_of_year / 365 - 1.39)",
    unit="rad",
    source="fao56",
    valid={"day_of_year": (1, 366)},
)
def sun_declination(day_of_year: Value) -> Value:
    """Declination of the sun, good for daily radiation [rad]. FAO-56 equation 24.

    Args:
        day_of_year: 1 to 366.

    Raises:
        OutsideRange: the day is outside its range.
    """
    return 0.409 * np.sin(2 * np.pi * day_of_year / 365 - 1.39)


@on_arrays
@formula(
    "acos(-tan(radians(latitude_deg)) * tan(declination_rad))",
    unit="rad",
    source="fao56",
    valid={"latitude_deg": _LATITUDE, "declination_rad": _DECLINATION},
)
def sunset_angle(latitude_deg: Value, declination_rad: Value) -> Value:
    """Hour angle of the sunset on a flat horizon [rad]. FAO-56 equation 25.

    Args:
        latitude_deg: north positive, -55 to 55 [°].
        declination_rad: `sun_declination`, -0.41 to 0.41 [rad].

    Raises:
        OutsideRange: an input is outside its range.
    """
    cosine: Value = -np.tan(np.radians(latitude_deg)) * np.tan(declination_rad)
    return np.arccos(cosine)


@on_arrays
@formula(
    "24 * 60 / pi * 0.0820 * inverse_sun_distance * (sunset_angle_rad * sin(radians(latitude_deg))"
    " * sin(declination_rad)"
    " + cos(radians(latitude_deg)) * cos(declination_rad) * sin(sunset_angle_rad))",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop"),
    valid={
        "inverse_sun_distance": (0.96, 1.04),
        "sunset_angle_rad": _ANGLE,
        "latitude_deg": _LATITUDE,
        "declination_rad": _DECLINATION,
    },
)
def extraterrestrial_radiation(
    inverse_sun_distance: Value,
    sunset_angle_rad: Value,
    latitude_deg: Value,
    declination_rad: Value,
) -> Value:
    """Radiation of a day above the air [MJ/m²/day]. Source: FAO-56 equation 21.

    Args:
        inverse_sun_distance: `inverse_sun_distance`, 0.96 to 1.04.
        sunset_angle_rad: `sunset_angle` [rad].
        latitude_deg: north positive, -55 to 55 [°].
        declination_rad: `sun_declination` [rad].

    Raises:
        OutsideRange: an input is outside its range.
    """
    latitude: Value = np.radians(latitude_deg)
    day: Value = sunset_angle_rad * np.sin(latitude) * np.sin(declination_rad)
    noon: Value = np.cos(latitude) * np.cos(declination_rad) * np.sin(sunset_angle_rad)
    return 24 * 60 / np.pi * 0.0820 * inverse_sun_distance * (day + noon)


@on_arrays
@formula(
    "extraterrestrial_radiation, with the declination, distance and sunset angle of the day",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop"),
    lookup=True,
)
def radiation_above(latitude_deg: Value, day_of_year: Value) -> Value:
    """`extraterrestrial_radiation` of a place and day, all steps in one [MJ/m²/day].

    Args:
        latitude_deg: north positive, -55 to 55 [°].
        day_of_year: 1 to 366.

    Raises:
        OutsideRange: a single number is outside its range; in an array it gives NaN.
    """
    declination = sun_declination(day_of_year)
    sunset = sunset_angle(latitude_deg, declination)
    return extraterrestrial_radiation(
        inverse_sun_distance(day_of_year), sunset, latitude_deg, declination
    )


@on_arrays
@formula(
    "24 / pi * sunset_angle_rad",
    unit="h",
    source=("fao56", "ncl-crop"),
    valid={"sunset_angle_rad": _ANGLE},
)
def daylight_hours(sunset_angle_rad: Value) -> Value:
    """Hours from sunrise to sunset, the sun a point and the horizon flat [h]. FAO-56 equation 34.

    Args:
        sunset_angle_rad: `sunset_angle` [rad].

    Raises:
        OutsideRange: the angle is outside its range.
    """
    return 24 / np.pi * sunset_angle_rad


@on_arrays
@formula(
    "(0.75 + 0.00002 * elevation_m) * ra_mj_m2_day",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop"),
    valid={"elevation_m": (-500, 6000), "ra_mj_m2_day": _R},
)
def clear_sky_radiation(elevation_m: Value, ra_mj_m2_day: Value) -> Value:
    """Solar radiation of a day without clouds [MJ/m²/day]. Source: FAO-56 equation 37.

    Args:
        elevation_m: height above the sea, -500 to 6000 [m].
        ra_mj_m2_day: `extraterrestrial_radiation` [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (0.75 + 0.00002 * elevation_m) * ra_mj_m2_day


@on_arrays
@formula(
    "(0.25 + 0.50 * sunshine_h / daylight_h) * ra_mj_m2_day",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop"),
    valid={"sunshine_h": (0, 24), "daylight_h": (1, 24), "ra_mj_m2_day": _R},
)
def solar_from_sunshine(sunshine_h: Value, daylight_h: Value, ra_mj_m2_day: Value) -> Value:
    """Solar radiation of a day from hours of bright sun [MJ/m²/day]. FAO-56 equation 35.

    Args:
        sunshine_h: hours of bright sunshine [h].
        daylight_h: `daylight_hours` [h].
        ra_mj_m2_day: `extraterrestrial_radiation` [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (0.25 + 0.50 * sunshine_h / daylight_h) * ra_mj_m2_day


@on_arrays
@formula(
    "min(k_rs * sqrt(tmax_c - tmin_c) * ra_mj_m2_day, rso_mj_m2_day)",
    unit="mj_m2_day",
    source="fao56",
    valid={
        "k_rs": (0.16, 0.19),
        "tmax_c": _T,
        "tmin_c": _T,
        "ra_mj_m2_day": _R,
        "rso_mj_m2_day": _R,
    },
)
def solar_from_range(
    k_rs: Value, tmax_c: Value, tmin_c: Value, ra_mj_m2_day: Value, rso_mj_m2_day: Value
) -> Value:
    """Solar radiation where only temperature was measured [MJ/m²/day]. FAO-56 equation 50.

    Args:
        k_rs: 0.16 inland, 0.19 by the coast.
        tmax_c: the day's maximum, -60 to 60 [°C].
        tmin_c: the day's minimum [°C].
        ra_mj_m2_day: `extraterrestrial_radiation` [MJ/m²/day].
        rso_mj_m2_day: `clear_sky_radiation`, the most that there can be [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    spread_c = above(tmax_c, tmin_c, "tmin_c")
    return np.minimum(k_rs * np.sqrt(spread_c) * ra_mj_m2_day, rso_mj_m2_day)


def solar_inland(
    elevation_m: float | None, tmax_c: Floats, tmin_c: Floats, ra_mj_m2_day: Floats
) -> Floats:
    """Solar radiation away from a coast, by the day's range of temperature alone [MJ/m²/day].

    FAO-56 equations 37 and 50, k_Rs 0.16. A station that gives no height is taken to lie at the
    sea: each 100 m higher, a clear sky gives 0.3 % more.

    Args:
        elevation_m: height of the station [m].
        tmax_c, tmin_c: highest and lowest of the day [°C].
        ra_mj_m2_day: the sun's above the air, `radiation_above` [MJ/m²/day].
    """
    clear = np.asarray(clear_sky_radiation(elevation_m or 0.0, ra_mj_m2_day))
    return np.asarray(solar_from_range(INLAND, tmax_c, tmin_c, ra_mj_m2_day, clear))


@on_arrays
@formula(
    "0.77 * rs_mj_m2_day",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop"),
    valid={"rs_mj_m2_day": _R},
)
def net_shortwave(rs_mj_m2_day: Value) -> Value:
    """What short grass keeps of the solar radiation [MJ/m²/day]. FAO-56 equation 38, albedo 0.23.

    Args:
        rs_mj_m2_day: solar radiation, measured or by a fallback, 0 to 50 [MJ/m²/day].

    Raises:
        OutsideRange: the radiation is outside its range.
    """
    return 0.77 * rs_mj_m2_day


@on_arrays
@formula(
    "min(1, max(0.3, rs_mj_m2_day / rso_mj_m2_day))",
    unit="",
    source=("fao56", "refet"),
    valid={"rs_mj_m2_day": _R, "rso_mj_m2_day": (0.1, 50)},
)
def relative_solar(rs_mj_m2_day: Value, rso_mj_m2_day: Value) -> Value:
    """How clear the day was, 0.3 to 1. Source: FAO-56 for the top, ASCE-EWRI 2005 for the floor.

    Args:
        rs_mj_m2_day: solar radiation [MJ/m²/day].
        rso_mj_m2_day: `clear_sky_radiation` [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return np.clip(rs_mj_m2_day / rso_mj_m2_day, 0.3, 1.0)


@on_arrays
@formula(
    "4.903e-9 * ((tmax_c + 273.16) ** 4 + (tmin_c + 273.16) ** 4) / 2"
    " * (0.34 - 0.14 * sqrt(ea_kpa)) * (1.35 * relative_solar - 0.35)",
    unit="mj_m2_day",
    source=("fao56", "ncl-crop", "refet"),
    valid={"tmax_c": _T, "tmin_c": _T, "ea_kpa": (0, 20), "relative_solar": (0.3, 1)},
)
def net_longwave(tmax_c: Value, tmin_c: Value, ea_kpa: Value, relative_solar: Value) -> Value:
    """Heat that the ground loses to the sky [MJ/m²/day]. Source: FAO-56 equation 39.

    Args:
        tmax_c: the day's maximum, -60 to 60 [°C].
        tmin_c: the day's minimum [°C].
        ea_kpa: vapour pressure, 0 to 20 [kPa].
        relative_solar: `relative_solar`, 0.3 to 1.

    Raises:
        OutsideRange: an input is outside its range.
    """
    black = 4.903e-9 * ((tmax_c + 273.16) ** 4 + (tmin_c + 273.16) ** 4) / 2
    return black * (0.34 - 0.14 * np.sqrt(ea_kpa)) * (1.35 * relative_solar - 0.35)

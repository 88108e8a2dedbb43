"""How fast a droplet dries: the air less its wet bulb."""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.science.weather.humidity import saturation_pressure, vapour_from_wet_bulb

SEA_LEVEL_KPA = 101.3
_HALVINGS = 40


@on_arrays
@formula(
    "the air less the wet bulb whose vapour is that of the air, by FAO-56 equations 11, 15 and 16",
    unit="c",
    source="fao56",
    valid={"temp_c": (-10, 55), "rh_pct": (1, 100), "pressure_kpa": (60, 110)},
    lookup=True,
)
def delta_t(temp_c: Value, rh_pct: Value, pressure_kpa: Value = SEA_LEVEL_KPA) -> Value:
    """Dry bulb less wet bulb, the measure of evaporation in spraying [°C]. FAO-56, 11, 15, 16.

    The wet bulb lies between 60 °C below the air and the air itself, and is found by halving.

    Args:
        temp_c: air temperature, -10 to 55 [°C].
        rh_pct: relative humidity, 1 to 100 [%].
        pressure_kpa: air pressure, 60 to 110 [kPa].

    Raises:
        OutsideRange: an input is outside its range.
    """
    vapour = saturation_pressure(temp_c) * rh_pct / 100
    low, high = np.zeros_like(vapour), np.full_like(vapour, 60.0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        wet = np.maximum(temp_c - middle, -60.0)
        moister = vapour_from_wet_bulb(saturation_pressure(wet), pressure_kpa, temp_c, wet) > vapour
        low, high = np.where(moister, middle, low), np.where(moister, high, middle)
    found: Value = (low + high) / 2
    return found if isinstance(found, np.ndarray) and found.ndim else float(found)

"""Snow: what falls as snow is stored, and reaches the ground as it melts by the warmth of the day.

The degree-day method with a threshold between rain and snow. How much is lying is water [mm], as
the gauge melts it. A day whose precipitation is not known, and which was cold, leaves the pack not
known until it is read as gone, or ten warm days in a row have melted it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.science.weather.series import Floats

SNOW_AT_C = 1.0
"""At or below this daily mean it snows: the usual value of the weather service's river models."""

COVERED_MM = 2.5
"""Less water than this hides no ground; a judgement: an inch of fresh snow at ten to one."""

_GONE_DAYS = 10
_BOUND = (-60.0, 60.0)


@on_arrays
@formula(
    "min(snow_water_mm, 3.51 * max(0, mean_c))",
    unit="mm",
    source=("kuusisto-1980", "nws-snow"),
    valid={"snow_water_mm": (0, 5000), "mean_c": _BOUND},
)
def melted(snow_water_mm: Value, mean_c: Value) -> Value:
    """What melts of a snow cover on open ground in a day [mm]. Source: Kuusisto 1980.

    3.51 mm for each degree, the mean of open sites in Finland over twenty years; base 0 °C.

    Args:
        snow_water_mm: water in the snow on the ground [mm].
        mean_c: mean temperature of the day [°C].

    Raises:
        OutsideRange: an input is outside its range.
    """
    if isinstance(snow_water_mm, np.ndarray) or isinstance(mean_c, np.ndarray):
        return np.minimum(snow_water_mm, 3.51 * np.maximum(0.0, mean_c))
    return min(snow_water_mm, 3.51 * max(0.0, mean_c))


@on_arrays
@formula(
    "snow_water_mm / (snow_water_mm + exp(6.055 - 0.3002 * snow_water_mm))",
    unit="share",
    source="swat",
    basis="from memory",
    valid={"snow_water_mm": (0, 5000)},
)
def snow_shelter(snow_water_mm: Value) -> Value:
    """How far snow keeps the soil's surface at yesterday's warmth, 0 to 1. Source: SWAT, bcv.

    Args:
        snow_water_mm: water in the snow on the ground [mm].

    Raises:
        OutsideRange: the snow is outside its range.
    """
    # np.exp of a large negative number is 0, and of 0 snow the share is 0
    shelter: Value = snow_water_mm / (snow_water_mm + np.exp(6.055 - 0.3002 * snow_water_mm))
    return shelter


class Snow(NamedTuple):
    """Water lying as snow each evening, and water that reached the ground, each day [mm]."""

    lying_mm: Floats
    reaching_mm: Floats


@formula(
    "snow falls at or below 1 °C, is stored, and melts by the degrees of the day",
    unit="mm",
    source=("nws-snow", "kuusisto-1980"),
    lookup=True,
)
def snow_course(rain_mm: Floats, mean_c: Floats, snow_depth_mm: Floats | None = None) -> Snow:
    """Snow day by day, the last axis one after the other, from bare ground on.

    Sources: NWS river forecasting (rain or snow at 1 °C), Kuusisto 1980 (melt).

    Where the temperature is not known, what fell counts as rain. Snow that was read as gone reaches
    the ground that day.

    Args:
        rain_mm: rain and melted snow that fell; NaN where it is not known [mm].
        mean_c: mean temperature of the day; NaN where it is not known [°C].
        snow_depth_mm: snow as it was read; NaN where it was not. None for none read at all [mm].
    """
    rain, mean = np.asarray(rain_mm, dtype=np.float64), np.asarray(mean_c, dtype=np.float64)
    read = np.full(rain.shape, np.nan) if snow_depth_mm is None else np.asarray(snow_depth_mm)
    lying, reaching = np.empty(rain.shape), np.empty(rain.shape)
    pack = np.zeros(rain.shape[:-1])
    unknown, warm = np.zeros(pack.shape, dtype=bool), np.zeros(pack.shape)
    for day in range(rain.shape[-1]):
        fell, air = rain[..., day], mean[..., day]
        cold, blank = air <= SNOW_AT_C, np.isnan(fell)
        pack = pack + np.where(cold & ~blank, fell, 0.0)
        melt = np.minimum(pack, 3.51 * np.fmax(0.0, air))
        reached = np.where(cold, 0.0, fell) + melt
        pack = pack - melt
        warm = np.where(air > 0, warm + 1, 0)
        unknown |= (cold & blank) | (np.isnan(air) & (pack > 0))
        melts_unseen = unknown & ~(air <= 0)
        gone = (read[..., day] == 0) | (unknown & (warm >= _GONE_DAYS))
        reached = np.where(gone, reached + pack, reached)
        pack = np.where(gone, 0.0, pack)
        reaching[..., day] = np.where(melts_unseen, np.nan, reached)
        unknown = unknown & ~gone
        lying[..., day] = np.where(unknown, np.nan, pack)
    return Snow(lying, reaching)

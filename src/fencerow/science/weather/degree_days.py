"""Growing degree days: warmth that counts for growth, added up day by day."""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays

_F = (-80, 140)


@on_arrays
@formula(
    "(min(86, max(50, tmax_f)) + min(86, max(50, tmin_f))) / 2 - 50",
    unit="f_days",
    source=("osu-degree-days", "isu-degree-days", "mrcc-degree-days"),
    valid={"tmax_f": _F, "tmin_f": _F},
)
def corn_degree_days(tmax_f: Value, tmin_f: Value) -> Value:
    """Degree days of a day by the 86/50 method, for corn and the like [°F-days].

    Each temperature is held between 50 and 86 °F before the mean is taken, not after.
    Source: Iowa State University, Agronomy 541, rules 1 and 2; Ohio State University Extension.

    Args:
        tmax_f: the day's maximum, -80 to 140 [°F].
        tmin_f: the day's minimum [°F].

    Raises:
        OutsideRange: a temperature is outside its range.
    """
    held: Value = np.clip(tmax_f, 50, 86) + np.clip(tmin_f, 50, 86)
    return held / 2 - 50


@on_arrays
@formula(
    "max(0, (tmax_c + tmin_c) / 2 - base_c)",
    unit="c_days",
    source="from-memory",
    basis="from memory",
    valid={"tmax_c": (-60, 60), "tmin_c": (-60, 60), "base_c": (-10, 20)},
)
def degree_days(tmax_c: Value, tmin_c: Value, base_c: Value) -> Value:
    """Degree days of a day above a base temperature [°C-days].

    The simple method of the handbooks, from memory.

    Args:
        tmax_c: the day's maximum, -60 to 60 [°C].
        tmin_c: the day's minimum [°C].
        base_c: temperature below which the plant does not grow, -10 to 20 [°C].

    Raises:
        OutsideRange: a temperature is outside its range.
    """
    return np.maximum(0.0, (tmax_c + tmin_c) / 2 - base_c)

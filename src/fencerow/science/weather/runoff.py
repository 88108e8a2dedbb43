"""Runoff of a day's rain by the curve number of the Natural Resources Conservation Service.

The method is for the total of a day; laid on hours it gives too little. A curve number below 30
counts as 30. Rows of `curve_numbers` give it by cover and hydrologic soil group.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value, on_arrays
from fencerow.words import OutsideRange

_CN = (30.0, 100.0)


@on_arrays
@formula(
    "25400 / curve_number - 254", unit="mm", source="nrcs-curve-number", valid={"curve_number": _CN}
)
def storage(curve_number: Value) -> Value:
    """The most that the ground can take up from a storm [mm]. Source: NRCS, TR-55, equation 2-4.

    Args:
        curve_number: 30 to 100; 100 takes up nothing.

    Raises:
        OutsideRange: the curve number is outside its range.
    """
    return 25400 / curve_number - 254


@on_arrays
@formula(
    "0 if rain_mm <= 0.2 * storage_mm else"
    " (rain_mm - 0.2 * storage_mm) ** 2 / (rain_mm + 0.8 * storage_mm)",
    unit="mm",
    source="nrcs-curve-number",
    valid={"rain_mm": (0, 2000), "storage_mm": (0, 600)},
)
def runoff(rain_mm: Value, storage_mm: Value) -> Value:
    """What runs off of a day's rain [mm]. Source: NRCS, TR-55, equation 2-3.

    Nothing runs off until a fifth of the storage is filled.

    Args:
        rain_mm: the day's total, 0 to 2000 [mm].
        storage_mm: `storage` [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    beyond = np.maximum(0.0, rain_mm - 0.2 * storage_mm)
    # without rain on ground that takes up nothing, 0 / 0 would stand here
    return beyond**2 / np.maximum(rain_mm + 0.8 * storage_mm, 1e-12)


@on_arrays
@formula(
    "curve_number / (2.281 - 0.01281 * curve_number)",
    unit="",
    source="asce-70",
    valid={"curve_number": _CN},
)
def dry_curve_number(curve_number: Value) -> Value:
    """The curve number after a dry spell, condition I. Source: ASCE Manual 70 (2016), eq. 14-14.

    Args:
        curve_number: of the average condition, II.

    Raises:
        OutsideRange: the curve number is outside its range.
    """
    return curve_number / (2.281 - 0.01281 * curve_number)


@on_arrays
@formula(
    "curve_number / (0.427 + 0.00573 * curve_number)",
    unit="",
    source="asce-70",
    valid={"curve_number": _CN},
)
def wet_curve_number(curve_number: Value) -> Value:
    """The curve number on wet ground, condition III. Source: ASCE Manual 70 (2016), eq. 14-15.

    Args:
        curve_number: of the average condition, II.

    Raises:
        OutsideRange: the curve number is outside its range.
    """
    return curve_number / (0.427 + 0.00573 * curve_number)


@formula(
    "the mean of the curve numbers, each weighed by its area",
    unit="",
    source="nrcs-curve-number",
    lookup=True,
)
def composite_curve_number(areas_ac: Sequence[float], curve_numbers: Sequence[float]) -> float:
    """One curve number for ground of several kinds; TR-55 rounds it to a whole number.

    Source: NRCS, TR-55, worksheet 2.

    Args:
        areas_ac: the area of each kind [ac].
        curve_numbers: its curve number, 30 to 100.

    Raises:
        OutsideRange: the lists differ in length, an area is negative, or there is no ground.
    """
    whole = sum(areas_ac)
    if len(areas_ac) != len(curve_numbers) or whole <= 0 or min(areas_ac) < 0:
        raise OutsideRange("soilwater-no-areas", areas=len(areas_ac), numbers=len(curve_numbers))
    return sum(a * cn for a, cn in zip(areas_ac, curve_numbers, strict=True)) / whole

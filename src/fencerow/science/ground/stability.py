"""How well air mixes: the stability class of an hour, A (stirred) to F (still), by Turner's method.

Dawn and dusk are in the still part: night runs from an hour before sunset to an hour after sunrise.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

CLASSES = "ABCDEF"
A, B, C, D, E, F = range(6)
KNOT_M_S = 1852 / 3600

_UPPER_KNOTS = (1, 3, 5, 6, 7, 9, 10, 11)
"""Last whole knot of each row of the table; the ninth row is all above."""
_CLASS = np.array([
    [1, 1, 2, 3, 4, 6, 7],
    [1, 2, 2, 3, 4, 6, 7],
    [1, 2, 3, 4, 4, 5, 6],
    [2, 2, 3, 4, 4, 5, 6],
    [2, 2, 3, 4, 4, 4, 5],
    [2, 3, 3, 4, 4, 4, 5],
    [3, 3, 4, 4, 4, 4, 5],
    [3, 3, 4, 4, 4, 4, 4],
    [3, 4, 4, 4, 4, 4, 4],
])  # fmt: skip
"""By wind down and net radiation index 4 to -2 across; 7 is taken for 6."""


def insolation(altitude_deg: ArrayLike) -> NDArray[np.int_]:
    """Turner's insolation number, 1 weak to 4 strong, of a clear sky.

    Source: EPA-454/R-99-005, table 6-5: above 60, 35 and 15 degrees of the sun's height.

    Args:
        altitude_deg: height of the sun [deg].
    """
    return 1 + np.searchsorted([15.0, 35.0, 60.0], np.asarray(altitude_deg, float), side="left")


def radiation_index(
    night: ArrayLike, altitude_deg: ArrayLike, cloud: ArrayLike, ceiling_m: ArrayLike = np.inf
) -> NDArray[np.int_]:
    """Net radiation index of an hour, 4 (strong sun) to -2 (clear night).

    Source: EPA-454/R-99-005, section 6.4.1. Overcast below 7,000 ft is 0 by day and by night; a
    night with at most four tenths of cloud is -2, else -1. That cloud over five tenths by day
    lowers the number (by 2 under 7,000 ft, by 1 under 16,000 ft, by 1 when overcast; never below
    1) is from memory.

    Args:
        night: an hour before sunset to an hour after sunrise.
        altitude_deg: height of the sun [deg].
        cloud: share of the sky covered, 0 to 1.
        ceiling_m: height of its base [m].
    """
    tenths = np.round(10 * np.asarray(cloud, float), 6)
    feet = np.asarray(ceiling_m, float) / 0.3048
    overcast = (tenths >= 10) & (feet < 7000)
    lowered = np.select(
        [(tenths > 5) & (feet < 7000), (tenths > 5) & (feet < 16000), tenths >= 10], [2, 1, 1], 0
    )
    day = np.maximum(insolation(altitude_deg) - lowered, 1)
    dark = np.where(tenths <= 4, -2, -1)
    return np.asarray(np.where(overcast, 0, np.where(np.asarray(night, bool), dark, day)))


def stability(wind_m_s: ArrayLike, index: ArrayLike) -> NDArray[np.int_]:
    """The class of an hour, 0 for A to 5 for F.

    Source: EPA-454/R-99-005, table 6-4 (Turner's method); its class 7 is taken for 6, as it says.
    The wind is read in whole knots, as the table has it.

    Args:
        wind_m_s: wind at 10 m [m/s].
        index: net radiation index, 4 to -2.
    """
    knots = np.round(np.asarray(wind_m_s, float) / KNOT_M_S)
    row = np.searchsorted(_UPPER_KNOTS, knots, side="left")
    return np.asarray(np.minimum(_CLASS[row, 4 - np.asarray(index, int)], 6) - 1)

"""How fast a person walks on a slope."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fencerow.science.ground.grid import Floats


def tobler_km_h(rise: ArrayLike) -> Floats:
    """Walking speed on a path [km/h]; fastest a little downhill.

    Source: Tobler 1993, 6 exp(-3.5 |S + 0.05|).

    Args:
        rise: of the way walked, per unit of distance; below 0 is downhill.
    """
    return np.asarray(6 * np.exp(-3.5 * np.abs(np.asarray(rise, float) + 0.05)))

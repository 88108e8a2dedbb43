"""Steepness of a whole grid, compiled where that is at hand."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.compiled import Kernel, strips, together
from fencerow.science.ground.loops_terrain import SLOPE, slope_rows
from fencerow.science.ground.slope import horn_gradient, slope_deg

_SLOPE = Kernel(slope_rows, SLOPE)


def steepness_deg(elevation_m: ArrayLike, cell_m: float, threads: int = 1) -> NDArray[np.float32]:
    """Horn's slope of every cell [deg]; NaN on the border and beside what is not known.

    Source: Horn 1981. The compiled arc tangent is right to 0.0001 degree; single
    precision adds its own.

    Args:
        elevation_m: rows from north to south; NaN where not known [m].
        cell_m: side of a cell [m].
        threads: how many work at it.
    """
    ground = np.ascontiguousarray(elevation_m, np.float32)
    run = _SLOPE.at_hand()
    if run is None or min(ground.shape) < 3:
        return slope_deg(*horn_gradient(ground, cell_m)).astype(np.float32)
    out = np.empty_like(ground)
    out[0] = out[-1] = out[:, 0] = out[:, -1] = np.nan
    part = np.float32(1 / (8 * cell_m))
    rows = strips(ground.shape[0] - 2, threads)
    together([partial(run, ground, part, a + 1, b + 1, out) for a, b in rows], threads)
    return out

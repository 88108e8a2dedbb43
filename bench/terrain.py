"""Slope and topographic position beside GDAL and SciPy; run `python bench/terrain.py`."""

from __future__ import annotations

import numpy as np
from beside import fractal, report, sizes
from gdal_here import Raster, gdal, version
from scipy.ndimage import uniform_filter

from fencerow.science.ground.compiled import warm
from fencerow.science.ground.position import position_m
from fencerow.science.ground.slope import horn_gradient, slope_deg
from fencerow.science.ground.terrain import steepness_deg

CELL_M = 3.0


def by_numpy(z: np.ndarray) -> np.ndarray:
    return slope_deg(*horn_gradient(z, CELL_M))


def slope(size: int, runs: int) -> None:
    z = fractal(size)
    ways = {
        "NumPy": lambda: by_numpy(z),
        "compiled": lambda: steepness_deg(z, CELL_M),
        "compiled, two threads": lambda: steepness_deg(z, CELL_M, 2),
    }
    if gdal is not None:
        raster = Raster(z, CELL_M)
        theirs, ours = raster.slope().cells(), steepness_deg(z, CELL_M)
        assert np.abs(theirs - ours)[1:-1, 1:-1].max() < 0.005
        ways = {f"GDAL {version()}, in memory": raster.slope, **ways}
    report(f"slope, {size} x {size} cells", ways, runs, next(iter(ways)))


def position(size: int, runs: int) -> None:
    z = fractal(size).astype(float)
    ways = {
        "SciPy, a square of 61 cells": lambda: z - uniform_filter(z, 61),
        "a ring of 30 cells": lambda: position_m(z, 1, 30),
    }
    report(f"position, {size} x {size} cells", ways, runs, next(iter(ways)))


def main() -> None:
    asked = sizes(__doc__, [1000, 3000])
    warm()
    for size in asked.sizes:
        slope(size, asked.runs)
    position(asked.sizes[0], asked.runs)


if __name__ == "__main__":
    main()

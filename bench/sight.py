"""Sight over a whole grid and in windows, beside GDAL; run `python bench/sight.py`.

The quick answer must be GDAL's own cell for cell, but for a handful, before a time counts; the
exact answers must agree with each other.
"""

from __future__ import annotations

import numpy as np
from beside import fractal, report, sizes
from gdal_here import Raster, gdal, version

from fencerow.science.ground.compiled import warm
from fencerow.science.ground.sight import fall_per_m2, in_sight, sweep_plain
from fencerow.science.ground.sight_lines import (
    Land,
    Look,
    add_plain,
    brush_kappa,
    lines_of_sight,
    summed_sight,
)

CELL_M, EYE_M, TARGET_M, WINDOW_M = 3.0, 6.0, 1.0, 300.0
GDAL_EARTH_M, GDAL_LIGHT = 6_378_137.0, 0.85714
FALL = fall_per_m2(GDAL_LIGHT, GDAL_EARTH_M)


def whole(size: int, runs: int) -> None:
    z = fractal(size)
    middle = size // 2
    level = float(z[middle, middle]) + EYE_M
    at = z, CELL_M, middle, middle, EYE_M, TARGET_M, FALL
    ways = {
        "NumPy": lambda: sweep_plain(z, middle, middle, level, TARGET_M, FALL * CELL_M**2),
        "compiled": lambda: in_sight(*at),
        "compiled, two threads": lambda: in_sight(*at, threads=2),
    }
    assert (ways["NumPy"]() != in_sight(*at)).sum() <= 1e-6 * size * size + 1
    if gdal is not None:
        raster = Raster(z, CELL_M)
        theirs = raster.viewshed(middle, middle, EYE_M, TARGET_M, GDAL_LIGHT).cells() > 0
        differ = int((theirs != in_sight(*at)).sum())
        assert differ <= 5e-6 * size * size + 1, differ
        print(f"{differ} of {size * size:,} cells differ from GDAL's")
        ways = {
            f"GDAL {version()}, in memory": lambda: raster.viewshed(
                middle, middle, EYE_M, TARGET_M, GDAL_LIGHT
            ),
            **ways,
        }
    report(f"in sight, {size} x {size} cells", ways, runs, next(iter(ways)))


def window(size: int, runs: int) -> None:
    z = fractal(size)
    middle = size // 2
    land = Land.of(z, CELL_M, screen_m=1.5, kappa=brush_kappa(90, 61))
    look = Look(EYE_M, TARGET_M, min(WINDOW_M, CELL_M * (middle - 1)), FALL)
    bare = Land.of(z, CELL_M)
    plain = np.zeros(z.shape)
    add_plain(land, middle, middle, 1.0, look, plain)
    assert np.abs(plain - lines_of_sight(land, middle, middle, look)).max() < 1e-9
    rows, columns = np.random.default_rng(6).integers(size // 3, 2 * size // 3, (2, 20))
    ones = np.ones(20)
    ways = {
        "NumPy, exact and through brush": lambda: add_plain(
            land, middle, middle, 1.0, look, np.zeros(z.shape)
        ),
        "compiled, exact, no brush": lambda: lines_of_sight(bare, middle, middle, look),
        "compiled, exact and through brush": lambda: lines_of_sight(land, middle, middle, look),
        "the same, 20 eyes": lambda: summed_sight(land, rows, columns, ones, look),
        "the same, 20 eyes, two threads": lambda: summed_sight(land, rows, columns, ones, look, 2),
    }
    if gdal is not None:
        raster = Raster(z, CELL_M)
        near = middle, middle, EYE_M, TARGET_M, GDAL_LIGHT, look.reach_m
        approximate = f"GDAL {version()}, its approximation, no brush"
        ways = {approximate: lambda: raster.viewshed(*near), **ways}
    report(f"a window of {look.reach_m:g} m in cells of {CELL_M:g} m", ways, runs, next(iter(ways)))


def main() -> None:
    asked = sizes(__doc__, [1000, 3000])
    warm()
    for size in asked.sizes:
        whole(size, asked.runs)
    window(asked.sizes[0], asked.runs)


if __name__ == "__main__":
    main()

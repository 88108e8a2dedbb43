"""Slope, and the way the ground faces, by Horn's eight neighbours.

Directions are degrees clockwise from north and say which way the ground falls; flat ground faces
nowhere (NaN, or "not known" for a place). A cell with an unknown neighbour has no slope.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.ground.grid import Floats, LocalGrid
from fencerow.science.ground.measure import ShapeLike, as_geometry
from fencerow.words import OutsideRange

FLAT_PCT = 0.1
"""Below this the ground is called flat: a foot in a thousand is within any survey's noise."""
ONE_WAY_SHARE = 0.2
"""Below this share of the slopes left after they cancel out, a place faces no one way."""


class Gradient(NamedTuple):
    """Rise per unit of distance toward the east and toward the south, as Horn's window runs."""

    east: Floats
    south: Floats


def horn_gradient(elevation_m: ArrayLike, cell_m: float) -> Gradient:
    """The gradient at each cell; NaN on the border and beside what is not known.

    Source: Horn 1981: neighbours in line count twice those across a corner, over eight cells.

    Args:
        elevation_m: rows from north to south [m].
        cell_m: side of a cell [m].
    """
    z = np.asarray(elevation_m, dtype=float)
    z = np.where(np.isfinite(z), z, np.nan)
    columns = z[:-2] + 2 * z[1:-1] + z[2:]
    rows = z[:, :-2] + 2 * z[:, 1:-1] + z[:, 2:]
    rise_east = (columns[:, 2:] - columns[:, :-2]) / (8 * cell_m)
    rise_south = (rows[2:] - rows[:-2]) / (8 * cell_m)
    # each sum leaves out the centre and a line of three: a gap there must spoil it all the same
    gaps = 0.0 * (rise_east + rise_south + z[1:-1, 1:-1])
    east, south = np.full_like(z, np.nan), np.full_like(z, np.nan)
    east[1:-1, 1:-1], south[1:-1, 1:-1] = rise_east + gaps, rise_south + gaps
    return Gradient(east, south)


@formula("100 * sqrt(rise_east**2 + rise_south**2)", unit="pct", source="horn-1981")
def slope_pct(rise_east: ArrayLike, rise_south: ArrayLike) -> Floats:
    """Slope in the direction of the steepest fall [%].

    Source: Horn 1981.

    Args:
        rise_east, rise_south: `horn_gradient`, rise per unit of distance.
    """
    return 100 * np.hypot(rise_east, rise_south)


def slope_deg(rise_east: ArrayLike, rise_south: ArrayLike) -> Floats:
    """Slope as an angle [deg]. Source: Horn 1981.

    Args:
        rise_east, rise_south: `horn_gradient`, rise per unit of distance.
    """
    return np.degrees(np.arctan(np.hypot(rise_east, rise_south)))


def aspect_deg(rise_east: ArrayLike, rise_south: ArrayLike) -> Floats:
    """The way the ground falls, clockwise from north, 0 to below 360 [deg]; NaN where it is flat.

    Source: Horn 1981.

    Args:
        rise_east, rise_south: `horn_gradient`, rise per unit of distance.
    """
    east, south = np.asarray(rise_east, float), np.asarray(rise_south, float)
    bearing = np.degrees(np.arctan2(-east, south)) % 360.0 % 360.0
    return np.where((east == 0) & (south == 0), np.nan, bearing)


@formula(
    "mean of Horn's slope over the cells of the elevation grid whose centres lie in the outline "
    "(Horn 1981)",
    unit="pct",
    source="horn-1981",
    lookup=True,
)
def mean_slope_pct(grid: LocalGrid | Mapping[str, Any], shape: ShapeLike) -> float:
    """Mean slope of a place over the cells that lie in it [%].

    Source: Horn 1981 for a cell. A line or a point takes the cells it passes or stands in.

    Args:
        grid: a `LocalGrid`, or a mapping of its fields.
        shape: the place's outline, lon/lat.

    Raises:
        OutsideRange: less than half of the place has a known slope.
    """
    return float(np.mean(slope_pct(*_gradient_in(grid, shape))))


@formula(
    "direction of the mean fall over the cells whose centres lie in the outline: each cell's "
    "direction counts by its slope (Horn 1981)",
    unit="deg",
    source="horn-1981",
    lookup=True,
)
def mean_aspect_deg(grid: LocalGrid | Mapping[str, Any], shape: ShapeLike) -> float:
    """The way a place faces, clockwise from north, 0 to below 360 [deg].

    Source: Horn 1981 for a cell. Steep cells count for more than level ones.

    Args:
        grid: a `LocalGrid`, or a mapping of its fields.
        shape: the place's outline, lon/lat.

    Raises:
        OutsideRange: less than half of the place has a known slope, it is flat, or it falls so
            many ways that no one of them is its own.
    """
    gradient = _gradient_in(grid, shape)
    east, south = (float(np.mean(part)) for part in gradient)
    steepness = float(np.mean(slope_pct(*gradient)))
    if steepness < FLAT_PCT:
        raise OutsideRange("ground-flat", slope=f"{steepness:.2g}")
    if slope_pct(east, south) < ONE_WAY_SHARE * steepness:
        raise OutsideRange("ground-every-way")
    return float(aspect_deg(east, south))


def _gradient_in(grid: LocalGrid | Mapping[str, Any], shape: ShapeLike) -> Gradient:
    local = LocalGrid.of(grid)
    i, j = local.cells_of(as_geometry(shape))
    if not i.size:
        raise OutsideRange("ground-no-elevation")
    # the window of the place and one cell around it holds all that its slopes need
    top, left = max(0, i.min() - 1), max(0, j.min() - 1)
    window = local.elevation_m[top : i.max() + 2, left : j.max() + 2]
    east, south = (part[i - top, j - left] for part in horn_gradient(window, local.cell_m))
    known = np.isfinite(east)
    if known.sum() * 2 < known.size:
        raise OutsideRange("ground-no-elevation")
    return Gradient(east[known], south[known])

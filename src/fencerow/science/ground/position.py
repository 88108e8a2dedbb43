"""Where a cell lies on the ground around it: valley, bench, saddle, ridge; and how rough it is.

A cell is compared with a ring around it, and what comes out depends on how wide that ring is: a
knoll in a valley is a ridge to a small one and valley to a large one. Pick it on purpose.
"""

from __future__ import annotations

from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.slope import horn_gradient


class Position(IntEnum):
    """Where a cell lies on its slope; 0 where it is not known."""

    UNKNOWN = 0
    VALLEY = 1
    LOWER_SLOPE = 2
    FLAT = 3
    MIDDLE_SLOPE = 4
    UPPER_SLOPE = 5
    RIDGE = 6
    BENCH = 7
    SADDLE = 8


FLAT_DEG = 5.0
"""Ground less steep than this is flat (Weiss 2001, from memory)."""
SADDLE_RISE = 0.02
"""A neighbour counts as higher or lower from this rise per unit of distance; our judgement."""


def position_m(elevation_m: ArrayLike, inner: float, outer: float) -> Floats:
    """How far a cell lies above the mean of the ring around it [m]: topographic position (TPI).

    Source: Weiss 2001, a ring (annulus) of neighbours; from memory. `inner=1, outer=1.5` is the
    window of 3 x 3. A ring is cut off at the edge of the grid, and leaves out what is not known.

    Args:
        elevation_m: rows from north to south; NaN where not known [m].
        inner, outer: radii of the ring, both included; the cell itself never counts [cells].

    Raises:
        ValueError: a ring that holds nothing.
    """
    if not 0 < inner <= outer or outer < 1:
        raise ValueError("a ring has an inner radius above 0 and an outer one of at least 1 cell")
    z = np.asarray(elevation_m, float)
    known = np.isfinite(z)
    base = float(z[known].mean()) if known.any() else 0.0  # sums keep their digits near 0
    heights = np.where(known, z - base, 0.0)
    total = _in_circle(heights, outer, True) - _in_circle(heights, inner, False)
    count = _in_circle(known.astype(float), outer, True)
    count -= _in_circle(known.astype(float), inner, False)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(known & (count > 0.5), z - base - total / count, np.nan)


def _in_circle(values: Floats, radius: float, rim: bool) -> Floats:
    """Sum over the circle around each cell, with its rim or without, by running sums of rows."""
    rows, columns = values.shape
    most = int(radius)
    sums = np.zeros((rows, columns + 2 * most + 1))
    sums[:, most + 1 :] = np.pad(np.cumsum(values, axis=1), ((0, 0), (0, most)), mode="edge")
    total = np.zeros_like(values)
    for down in range(-most, most + 1):
        left = radius * radius - down * down
        wide = int(np.sqrt(left))
        if not rim and wide * wide == left:
            wide -= 1
        if wide < 0:
            continue
        source = slice(max(down, 0), rows + min(down, 0))
        target = slice(max(-down, 0), rows + min(-down, 0))
        right, before = most + wide + 1, most - wide
        total[target] += (
            sums[source, right : right + columns] - sums[source, before : before + columns]
        )
    return total


def ruggedness_m(elevation_m: ArrayLike) -> Floats:
    """Root of the summed squares of the steps to the eight neighbours [m].

    Source: the terrain ruggedness index, Riley and others 1999, by its definition. NaN on the
    border and beside what is not known.

    Args:
        elevation_m: rows from north to south [m].
    """
    z = np.asarray(elevation_m, float)
    squares = np.full_like(z, np.nan)
    rows, columns = z.shape
    middle = z[1:-1, 1:-1]
    squares[1:-1, 1:-1] = sum(
        (z[i : rows - 2 + i, j : columns - 2 + j] - middle) ** 2 for i in range(3) for j in range(3)
    )
    return np.asarray(np.sqrt(squares))


def positions(
    elevation_m: ArrayLike, slope_deg: ArrayLike, cell_m: float, inner: float, outer: float
) -> NDArray[np.uint8]:
    """The `Position` of each cell.

    Source: slope positions of Weiss 2001, from memory: above +1 standard deviation of `position_m`
    ridge, above +1/2 upper slope, between the halves flat or middle slope by 5 degrees, then lower
    slope, below -1 valley. Two come before them: a saddle, and a bench, which by our definition is
    flat ground that rises above itself and falls below itself, each by 5 degrees or more as far as
    the ring is wide, along the way that the ground as a whole falls.

    Args:
        elevation_m: rows from north to south; NaN where not known [m].
        slope_deg: steepness of each cell [deg].
        cell_m: side of a cell [m].
        inner, outer: the ring, as for `position_m` [cells].
    """
    z, slope = np.asarray(elevation_m, float), np.asarray(slope_deg, float)
    place = position_m(z, inner, outer)
    known = np.isfinite(place) & np.isfinite(slope)
    spread = float(place[known].std()) if known.any() else 0.0
    share = place / spread if spread > 0 else np.zeros_like(place)
    flat = slope <= FLAT_DEG
    bands = [
        (flat & _on_a_fall(z, z - place, cell_m, outer), Position.BENCH),
        (share <= -1, Position.VALLEY),
        (share <= -0.5, Position.LOWER_SLOPE),
        (share >= 1, Position.RIDGE),
        (share >= 0.5, Position.UPPER_SLOPE),
        (flat, Position.FLAT),
    ]
    found = np.select([b for b, _ in bands], [p for _, p in bands], Position.MIDDLE_SLOPE)
    found[saddles(z, cell_m, max(1, round(inner)))] = Position.SADDLE
    return np.where(known, found, Position.UNKNOWN).astype(np.uint8)


def _on_a_fall(z: Floats, broad: Floats, cell_m: float, far: float) -> Mask:
    """Where the ground stands higher up the broad fall and lower down it."""
    east, south = horn_gradient(broad, cell_m)
    length = np.hypot(east, south)
    rows, columns = np.indices(z.shape)
    least = far * cell_m * np.tan(np.radians(FLAT_DEG))
    falls = np.isfinite(length) & (length > 0)
    for way in (1, -1):
        step = way * far / np.where(falls, length, 1.0)
        i = rows + np.rint(np.where(falls, south, 0.0) * step).astype(int)
        j = columns + np.rint(np.where(falls, east, 0.0) * step).astype(int)
        inside = (i >= 0) & (i < z.shape[0]) & (j >= 0) & (j < z.shape[1])
        there = z[np.where(inside, i, 0), np.where(inside, j, 0)]
        falls &= inside & (way * (there - z) >= least)
    return np.asarray(falls)


def saddles(elevation_m: ArrayLike, cell_m: float, off: int) -> Mask:
    """Cells where the ground rises two opposite ways and falls the two ways between.

    Source: a pass is where the neighbours, gone round once, turn from higher to lower and back
    twice (Peucker and Douglas 1975, from memory). Neighbours that are nearly level are passed over.

    Args:
        elevation_m: rows from north to south [m].
        cell_m: side of a cell [m].
        off: how far off the eight neighbours stand [cells].
    """
    z = np.asarray(elevation_m, float)
    rows, columns = z.shape
    found = np.zeros(z.shape, np.bool_)
    if min(rows, columns) <= 2 * off:
        return found
    middle = z[off : rows - off, off : columns - off]
    round_ = [(-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1)]
    last = np.zeros(middle.shape, np.int8)
    first, turns = last.copy(), last.copy()
    for i, j in round_:
        there = z[off * (1 + i) : rows - off * (1 - i), off * (1 + j) : columns - off * (1 - j)]
        rise = (there - middle) / (off * cell_m * np.hypot(i, j))
        sign = np.where(rise > SADDLE_RISE, 1, np.where(rise < -SADDLE_RISE, -1, 0))
        turns += (sign * last < 0).astype(np.int8)
        first = np.where(first == 0, sign, first).astype(np.int8)
        last = np.where(sign == 0, last, sign).astype(np.int8)
    turns += (first * last < 0).astype(np.int8)
    found[off : rows - off, off : columns - off] = turns >= 4
    return found

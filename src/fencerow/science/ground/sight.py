"""What is in sight from a point: quickly for a whole tract, ring by ring, or exactly in a window.

A height is of ground, never of trees; `eye_m` and `target_m` stand above it. Unknown ground hides
nothing and is never in sight. The Earth falls away as d²/(2 R), of which light gives back a seventh
as it bends (k = 6/7); over a tract it hardly matters, and it costs nothing.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.compiled import Kernel, together
from fencerow.science.ground.grid import Mask
from fencerow.science.ground.loops_sight import ROWS, WEDGE, sweep_rows, sweep_wedge

EARTH_M = 6_371_008.8
"""Mean radius (Moritz 2000), as geodesy rounds it [m]."""
LIGHT = 6 / 7
"""Share of the Earth's curve that is left when light has bent; 1 is none, 0 is flat ground."""
DEEP_M = 1e4
"""How far below the eye unknown ground is taken to lie: it hides nothing."""

Singles = NDArray[np.float32]
_ROWS, _WEDGE = Kernel(sweep_rows, ROWS), Kernel(sweep_wedge, WEDGE)


def fall_per_m2(bending: float = LIGHT, earth_m: float = EARTH_M) -> float:
    """How far ground sinks below the level of the eye for each squared metre of distance [1/m].

    Args:
        bending: share of the curve that is left, `LIGHT` for light.
        earth_m: radius of the Earth [m].
    """
    return bending / (2 * earth_m)


def horizon_m(eye_m: float, bending: float = LIGHT, earth_m: float = EARTH_M) -> float:
    """How far an eye sees over level ground [m].

    Source: the tangent to a circle, with the radius stretched by the bending of light.

    Args:
        eye_m: height of the eye [m].
        bending, earth_m: as for `fall_per_m2`.
    """
    return float(np.sqrt(eye_m / fall_per_m2(bending, earth_m)))


def in_sight(
    elevation_m: ArrayLike,
    cell_m: float,
    row: int,
    column: int,
    eye_m: float,
    target_m: float,
    fall: float | None = None,
    threads: int = 1,
) -> Mask:
    """Cells of the whole grid where a target can be seen from above one cell.

    The ring sweep of Wang, Robinson and White 2000: each ring's sight line is blended from the
    ring before it. It is close, not exact: about 1 cell in 10 of rough ground differs from
    `lines_of_sight`. The cells beside the eye are in sight.

    Args:
        elevation_m: rows from north to south; NaN where not known [m].
        cell_m: side of a cell [m].
        row, column: cell of the eye.
        eye_m, target_m: heights above the ground [m].
        fall: `fall_per_m2`, by default for light [1/m].
        threads: how many work at it, at most two.

    Raises:
        ValueError: the ground under the eye is not known.
    """
    fall = fall_per_m2() if fall is None else fall
    ground = np.ascontiguousarray(elevation_m, np.float32)
    if not np.isfinite(ground[row, column]):
        raise ValueError("the ground under the eye is not known")
    level = float(ground[row, column]) + eye_m
    rows, wedge = _ROWS.at_hand(), _WEDGE.at_hand()
    if rows is None or wedge is None:
        return sweep_plain(ground, row, column, level, target_m, fall * cell_m**2)
    seen = np.empty(ground.shape, np.uint8)
    seen[row, column] = 1
    eye = (ground, row, column, np.float32(level), np.float32(target_m))
    sink = np.float32(fall * cell_m**2)

    def half(down: int) -> None:
        rows(*eye, sink, down, seen)
        wedge(*eye, sink, down, 1, seen)
        wedge(*eye, sink, down, -1, seen)

    # the row of the eye lies in both halves; each writes the same into it
    together([lambda: half(1), lambda: half(-1)], threads)
    shown = seen.view(np.bool_)
    near = (slice(max(row - 1, 0), row + 2), slice(max(column - 1, 0), column + 2))
    shown[near] &= np.isfinite(ground[near])
    return shown


def sweep_plain(
    ground: Singles, row: int, column: int, level: float, target_m: float, fall: float
) -> Mask:
    """`in_sight` in NumPy, ring by ring, a quarter of the grid at a time.

    Args:
        ground: heights [m].
        row, column: cell of the eye.
        level, target_m: height of the eye, and of the target above the ground [m].
        fall: sinking for each squared cell of distance [m].
    """
    seen = np.zeros(ground.shape, np.bool_)
    known = np.isfinite(ground)
    height = np.where(known, ground - np.float32(level), np.float32(-DEEP_M)).astype(np.float32)
    for turn in (False, True):
        for flip in (1, -1):
            # north, south, west and east are one case: rows that lead away from the eye
            part, shown = (height.T, seen.T) if turn else (height, seen)
            away, aside = (column, row) if turn else (row, column)
            away = away if flip == 1 else part.shape[0] - 1 - away
            _quarter(part[::flip], shown[::flip], away, aside, target_m, fall)
    seen[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2] = True
    return seen & known


def _quarter(
    height: Singles, seen: Mask, row: int, column: int, target_m: float, fall: float
) -> None:
    """The quarter of the grid that opens toward its last row.

    A ring is known by the slope of its sight line: height per cell of the way out. At `i` cells
    aside of `j` out the line runs between two of the ring before, at `i/j` from the outer one.
    """
    columns = height.shape[1]
    aside = np.arange(columns, dtype=np.float32) - column
    sinks = (fall * aside * aside).astype(np.float32)
    line = np.zeros(columns, np.float32)
    for j in range(1, height.shape[0] - row):
        left, right = max(column - j, 0), min(column + j + 1, columns)
        here = slice(left, right)
        sunk = height[row + j, here] - (sinks[here] + np.float32(fall * j * j))
        if j == 1:
            line[here] = sunk
            continue
        share = np.abs(aside[here]) / j
        middle = column - left
        before, inner = line[here], np.empty(right - left, np.float32)
        inner[: middle + 1] = line[left + 1 : column + 2] if right > column + 1 else np.append(
            line[left + 1 : column + 1], np.float32(0))  # fmt: skip
        inner[middle + 1 :] = line[column : right - 1]
        blended = before + (inner - before) * share
        seen[row + j, here] |= sunk + target_m >= blended * j
        line[here] = np.maximum(sunk / j, blended)

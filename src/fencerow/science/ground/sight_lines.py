"""Sight line by line: each target in a window has a line of its own, over ground and through brush.

A line is followed from row to row (or column to column, whichever it crosses more of); between two
cells ground runs straight. Brush is no wall: of what is to be seen a share exp(-kappa d) is left
after `d` metres below the top of the screening layer. A line goes both ways: what a deer sees of a
person is what the person, at the same two heights, sees of the deer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.compiled import Kernel, strips, together
from fencerow.science.ground.grid import Floats, Index
from fencerow.science.ground.loops_lines import LINES, add_lines
from fencerow.science.ground.sight import DEEP_M, fall_per_m2

Singles = NDArray[np.float32]
_LINES = Kernel(add_lines, LINES)


def brush_kappa(hidden_pct: float, hidden_at_m: float) -> float:
    """How fast brush hides, from a reading of a cover board [1/m].

    Source: hiding cover hides 90 % of a standing deer at 61 m or less (Thomas 1979); that what is
    left falls by the same share with each metre is our model of it.

    Args:
        hidden_pct: share of the board that is hidden [%].
        hidden_at_m: distance of the board [m].
    """
    return math.log(100 / (100 - hidden_pct)) / hidden_at_m


def left_in_sight(kappa: float, through_m: float) -> float:
    """The share of something that is still to be seen through brush.

    Args:
        kappa: how fast the brush hides, `brush_kappa` [1/m].
        through_m: length of the line below the top of the brush [m].
    """
    return math.exp(-kappa * through_m)


class Land(NamedTuple):
    """Ground and what screens it, cell by cell, ready for lines: all known, in one block each."""

    ground: Singles
    top: Singles
    kappa: Singles
    cell_m: float

    @classmethod
    def of(
        cls,
        elevation_m: ArrayLike,
        cell_m: float,
        screen_m: ArrayLike = 0.0,
        kappa: ArrayLike = 0.0,
    ) -> Land:
        """Land from arrays of one shape; unknown ground hides nothing and holds no brush.

        Args:
            elevation_m: rows from north to south; NaN where not known [m].
            cell_m: side of a cell [m].
            screen_m: top of the screening layer above the ground, 0 or more [m].
            kappa: how fast it hides [1/m].
        """
        ground = np.array(elevation_m, np.float32)
        known = np.isfinite(ground)
        ground[~known] = -np.float32(DEEP_M)
        top = np.where(known, ground + np.asarray(screen_m, np.float32), ground)
        brush = np.where(known, np.broadcast_to(np.asarray(kappa, np.float32), ground.shape), 0)
        return cls(ground, top.astype(np.float32), brush.astype(np.float32), float(cell_m))

    @property
    def known(self) -> NDArray[np.bool_]:
        return self.ground > -DEEP_M


class Look(NamedTuple):
    """How one looks: heights above ground, and how far."""

    eye_m: float
    target_m: float
    reach_m: float
    fall: float = fall_per_m2()


def lines_of_sight(land: Land, row: int, column: int, look: Look) -> Floats:
    """The share of a target, 0 to 1, that is in sight from above one cell, exactly.

    Args:
        land: ground and brush.
        row, column: cell of the eye.
        look: heights and reach.

    Returns:
        a share for every cell of the grid; 0 beyond the reach and on unknown ground.

    Raises:
        ValueError: the ground under the eye is not known.
    """
    return summed_sight(land, [row], [column], [1.0], look)


def summed_sight(
    land: Land,
    rows: ArrayLike,
    columns: ArrayLike,
    weights: ArrayLike,
    look: Look,
    threads: int = 1,
) -> Floats:
    """`lines_of_sight` from many cells, each by its weight, added up.

    With deer as the eyes (all of cover, say) and a person as the target it is how much a person is
    looked at, wherever he stands or walks.

    Args:
        land: ground and brush.
        rows, columns: cells of the eyes.
        weights: how much each counts.
        look: heights and reach.
        threads: how many share the eyes.

    Raises:
        ValueError: the ground under an eye is not known.
    """
    i, j = np.asarray(rows, np.int64), np.asarray(columns, np.int64)
    if not (land.ground[i, j] > -DEEP_M).all():
        raise ValueError("the ground under the eye is not known")
    weight = np.asarray(weights, np.float64)
    run = _LINES.at_hand()
    if run is None:
        total = np.zeros(land.ground.shape)
        for eye in zip(i.tolist(), j.tolist(), weight.tolist(), strict=True):
            add_plain(land, *eye, look, total)
        return total
    shares = strips(i.size, threads)
    totals = [np.zeros(land.ground.shape) for _ in shares]
    grids = tuple(grid.reshape(-1) for grid in land[:3])
    how = (look.eye_m, look.target_m, look.reach_m / land.cell_m, look.fall * land.cell_m**2)
    jobs = [
        partial(run, *grids, *land.ground.shape, land.cell_m, i[a:b], j[a:b], weight[a:b], *how, t)
        for (a, b), t in zip(shares, totals, strict=True)
    ]
    together(jobs, threads)
    return sum(totals[1:], totals[0])


def add_plain(land: Land, row: int, column: int, weight: float, look: Look, total: Floats) -> None:
    """Add what one eye sees, in NumPy: all targets equally many steps off side by side.

    Args:
        land, row, column, weight, look: as for `summed_sight`.
        total: is added to.
    """
    total[row, column] += weight
    eye = float(land.ground[row, column]) + look.eye_m
    for steps, di, dj in _rings(land, row, column, look.reach_m / land.cell_m):
        squares = (di * di + dj * dj).astype(float)
        sink = look.fall * land.cell_m**2 * squares
        end = land.ground[row + di, column + dj] - sink + look.target_m
        hidden = np.zeros(di.size, np.bool_)
        deep = np.zeros(di.size)
        for s in range(steps + 1):
            part = s / steps
            line = eye + part * (end - eye)
            below = sink * part * part
            # of the two cells that a crossing lies between, by the rest of a whole division
            a_i, b_i, a_j, b_j, share = _between(di, dj, s, steps)
            a, b = (row + a_i, column + a_j), (row + b_i, column + b_j)
            if 0 < s < steps:
                ground = (1 - share) * land.ground[a] + share * land.ground[b].astype(float)
                hidden |= ground - below > line
            half = 0.5 if s in (0, steps) else 1.0
            for cell, by in ((a, 1 - share), (b, share)):
                deep += half * by * np.where(line < land.top[cell] - below, land.kappa[cell], 0.0)
        seen = np.exp(-deep * (land.cell_m / steps) * np.sqrt(squares))
        np.add.at(total, (row + di, column + dj), weight * np.where(hidden, 0.0, seen))


def _rings(land: Land, row: int, column: int, reach: float) -> Iterator[tuple[int, Index, Index]]:
    """Offsets of known targets within the reach, by how many steps off they are."""
    most, (rows, columns) = int(reach), land.ground.shape
    i, j = np.mgrid[
        max(-most, -row) : min(most, rows - 1 - row) + 1,
        max(-most, -column) : min(most, columns - 1 - column) + 1,
    ]
    inside = (i * i + j * j <= reach * reach) & land.known[row + i, column + j]
    di, dj = i[inside], j[inside]
    steps = np.maximum(np.abs(di), np.abs(dj))
    order = np.argsort(steps, kind="stable")
    counts = np.bincount(steps)
    for n, part in enumerate(np.split(order, np.cumsum(counts)[:-1])):
        if n > 0 and part.size:
            yield n, di[part], dj[part]


def _between(di: Index, dj: Index, s: int, steps: int) -> tuple[Index, Index, Index, Index, Floats]:
    """The two cells that a line passes between at a step, and the share of the second."""
    a_i, rest_i = np.divmod(di * s, steps)
    a_j, rest_j = np.divmod(dj * s, steps)
    share = (rest_i + rest_j) / steps
    return a_i, a_i + (rest_i > 0), a_j, a_j + (rest_j > 0), share

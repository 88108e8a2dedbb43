"""Sight line by line: each target in a window has a line of its own, over ground and through brush.

A line is followed from row to row (or column to column, whichever it crosses more of); between two
cells ground runs straight. Brush is no wall: of what is to be seen a share exp(-kappa d) is left
after `d` metres below the top of the screening layer. A line goes both ways: what a deer sees of a
person is what the person, at the same two heights, sees of the deer.
"""

from __future__ import annotations

import math
from functools import lru_cache, partial
from itertools import product
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
    i, j = np.ascontiguousarray(rows, np.int64), np.ascontiguousarray(columns, np.int64)
    if not (land.ground[i, j] > -DEEP_M).all():
        raise ValueError("the ground under the eye is not known")
    weight = np.ascontiguousarray(weights, np.float64)
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
    """Add what one eye sees, in NumPy: all crossings of all lines of an eighth side by side.

    Args:
        land, row, column, weight, look: as for `summed_sight`.
        total: is added to.
    """
    reach = look.reach_m / land.cell_m
    most, fan = int(reach), _fan(reach)
    wide, eye = 2 * most + 1, float(land.ground[row, column]) + look.eye_m
    near = _Near(*(_around(grid, row, column, most) for grid in land[:3]))
    seen = np.zeros(wide * wide)
    seen[seen.size // 2] = 1.0
    for along, over in product((-1, 1), (-1, 1)):
        # straight lines and diagonals lie in two of the eighths, and count in the first
        for strides, ends in (
            ((along * wide, over), (0 if over > 0 else fan.straight, fan.out.size)),
            ((along, over * wide), (0 if over > 0 else fan.straight, fan.diagonal)),
        ):
            _add_eighth(near, land.cell_m, eye, look, fan, slice(*ends), strides, seen)
    rows, columns = land.ground.shape
    here, there = _overlap(row, most, rows), _overlap(column, most, columns)
    total[here[0], there[0]] += weight * seen.reshape(wide, wide)[here[1], there[1]]


class _Near(NamedTuple):
    """Ground and brush around an eye, in one row each, the eye in the middle."""

    ground: Singles
    top: Singles
    kappa: Singles


class _Fan(NamedTuple):
    """An eighth of all lines within a reach: their ends, and their crossings one after another."""

    out: Index
    aside: Index
    straight: int
    """So many lines, the first, go straight out."""
    diagonal: int
    """From here on they are diagonals."""
    start: Index
    """Of each line its first crossing, and the count of all."""
    step: Index
    whole: Index
    """Cells aside of each crossing, and whether it lies between that cell and the next."""
    next: Index
    share: Floats
    part: Floats
    """How far the next cell counts, and how much of the line lies behind."""


@lru_cache(maxsize=2)
def _fan(reach: float) -> _Fan:
    most = int(reach)
    out, aside = (part.ravel() for part in np.mgrid[1 : most + 1, : most + 1])
    inside = (aside <= out) & (out * out + aside * aside <= reach * reach)
    out, aside = out[inside], aside[inside]
    kind = np.where(aside == 0, 0, np.where(aside == out, 2, 1))
    order = np.argsort(kind, kind="stable")
    out, aside = out[order], aside[order]
    start = np.concatenate(([0], np.cumsum(out)))
    line = np.repeat(np.arange(out.size), out)
    step = np.arange(start[-1]) - start[line] + 1
    # of the two cells that a crossing lies between, by the rest of a whole division
    whole, rest = np.divmod(aside[line] * step, out[line])
    return _Fan(
        out, aside, int((kind == 0).sum()), int((kind < 2).sum()), start, step, whole,
        (rest > 0).astype(int), rest / out[line], step / out[line],
    )  # fmt: skip


def _add_eighth(
    near: _Near, cell_m: float, eye: float, look: Look, fan: _Fan, lines: slice,
    strides: tuple[int, int], seen: Floats,
) -> None:  # fmt: skip
    """What is seen along the lines of one eighth, whose steps out and aside are the strides."""
    if lines.start == lines.stop:
        return
    (along, over), middle = strides, seen.size // 2
    out, aside = fan.out[lines], fan.aside[lines]
    squares = (out * out + aside * aside).astype(float)
    goal = middle + out * along + aside * over
    sink = look.fall * cell_m**2 * squares
    climb = near.ground[goal] - sink + look.target_m - eye
    first, last = fan.start[lines.start], fan.start[lines.stop]
    crossing = slice(first, last)
    share, part, begin = fan.share[crossing], fan.part[crossing], fan.start[lines] - first
    a = middle + fan.step[crossing] * along + fan.whole[crossing] * over
    b = a + fan.next[crossing] * over
    line = eye + part * (np.repeat(climb, out) + np.repeat(sink, out) * part)
    inner = part < 1
    ground = (1 - share) * near.ground[a] + share * near.ground[b]
    hidden = np.logical_or.reduceat((ground > line) & inner, begin)
    deep = (1 - share) * np.where(line < near.top[a], near.kappa[a], 0.0)
    deep += share * np.where(line < near.top[b], near.kappa[b], 0.0)
    deep *= np.where(inner, 1.0, 0.5)
    through = np.add.reduceat(deep, begin)
    if eye < near.top[middle]:
        through += 0.5 * near.kappa[middle]
    shown = (near.ground[goal] > -DEEP_M) & ~hidden
    seen[goal] = np.where(shown, np.exp(-through * (cell_m / out) * np.sqrt(squares)), 0.0)


def _around(grid: Singles, row: int, column: int, most: int) -> Singles:
    """A square of a grid around a cell, in one row; nothing is known beyond the grid's edge."""
    square = np.full((2 * most + 1, 2 * most + 1), -DEEP_M, np.float32)
    rows, columns = grid.shape
    here, there = _overlap(row, most, rows), _overlap(column, most, columns)
    square[here[1], there[1]] = grid[here[0], there[0]]
    return square.reshape(-1)


def _overlap(at: int, most: int, size: int) -> tuple[slice, slice]:
    """Of the cells so far from one those that there are, counted in the grid and in the square."""
    first, end = max(at - most, 0), min(at + most + 1, size)
    return slice(first, end), slice(first - at + most, end - at + most)

"""Where deer travel between cover, food and water; what sign adds to it; where it is pinched.

Published studies say which way deer lean (cover by day, level ground, shy of roads), not by how
much: what a metre costs a deer is a row of ours, to be changed. Corridors are ranked, not counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.position import position_m
from fencerow.science.ground.travel import cheapest, corridor

Cells = tuple[NDArray[np.int_], NDArray[np.int_]]


def deer_cost(cost: ArrayLike, slope_deg: ArrayLike) -> Floats:
    """What a metre costs a deer, dearer where it is steep: times 1 + 8 tan² of the slope.

    Source: a judgement; that deer keep to flatter ground is published, by how much is not.

    Args:
        cost: by cover, 1 in woods.
        slope_deg: steepness; NaN counts as level [deg].
    """
    rise = np.tan(np.radians(np.nan_to_num(np.asarray(slope_deg, float))))
    return np.asarray(np.asarray(cost, float) * (1 + 8 * rise * rise))


def patches(mask: Mask, most: int) -> list[Cells]:
    """The largest patches of cells that hang together by their sides, the largest first.

    Args:
        mask: the cells that count.
        most: how many patches at most.
    """
    from scipy.ndimage import label

    numbers, count = label(mask)
    sizes = np.bincount(numbers.ravel(), minlength=count + 1)[1:]
    largest = np.argsort(-sizes, kind="stable")[:most]
    return [cells_in(numbers == n + 1) for n in largest]


def cells_in(mask: Mask) -> Cells:
    """Rows and columns of the cells of a mask."""
    rows, columns = np.nonzero(mask)
    return rows, columns


def travelled(
    cost: ArrayLike,
    cell_m: float,
    cover: Sequence[Cells],
    goals: Sequence[Cells],
    slack: float,
    apart_m: float = np.inf,
) -> Floats:
    """How much each cell is on the way from cover to food and water, 0 to 1.

    A cell on the cheapest way of a pair counts 1 for it, and less the more a way by that cell
    costs, none from `slack` of the cheapest. Pairs are added up, then scaled so that the most
    travelled cell has 1.

    Args:
        cost: for each metre [1/m].
        cell_m: side of a cell [m].
        cover, goals: cells of each place.
        slack: share of the cheapest way's cost.
        apart_m: places whose middles lie farther apart are no pair [m].
    """
    price = np.asarray(cost, float)
    spent = [cheapest(price, cell_m, *cells) for cells in cover]
    total = np.zeros(price.shape)
    for goal in goals:
        paired = [
            s for s, c in zip(spent, cover, strict=True) if _apart(c, goal) * cell_m <= apart_m
        ]
        there = cheapest(price, cell_m, *goal) if paired else price
        for here in paired:
            least = float((here + there).min(initial=np.inf))
            if np.isfinite(least) and least > 0:
                total += np.clip(1 - corridor(here, there) / (slack * least), 0, 1)
    most = float(total.max(initial=0.0))
    return total / most if most > 0 else total


def _apart(one: Cells, other: Cells) -> float:
    """Between the middles of two places [cells]."""
    (a, b), (c, d) = ([part.mean() for part in cells] for cells in (one, other))
    return float(np.hypot(a - c, b - d))


def signed(
    weight: ArrayLike, cell_m: float, sign: Iterable[tuple[float, float, float]], wide_m: float
) -> Floats:
    """A weight raised or lowered around sign, never below 0.

    Args:
        weight: of each cell.
        cell_m: side of a cell [m].
        sign: row and column of each, and what it adds where it lies.
        wide_m: as far off it adds exp(-1/2) of that [m].
    """
    raised = np.array(weight, float)
    rows, columns = np.indices(raised.shape)
    for row, column, adds in sign:
        off = np.square(rows - row) + np.square(columns - column)
        raised += adds * np.exp(-0.5 * off * (cell_m / wide_m) ** 2)
    return np.asarray(np.maximum(raised, 0.0))


def pinched(travel: ArrayLike, cell_m: float, wide_m: float) -> Floats:
    """How much a cell is travelled beyond the ground around it: where ways draw together.

    Args:
        travel: `travelled`, 0 to 1.
        cell_m: side of a cell [m].
        wide_m: radius of the ground around [m].
    """
    ring = max(wide_m / cell_m, 1.0)
    return np.maximum(position_m(np.asarray(travel, float), min(1.0, ring), ring), 0.0)


def near(weight: ArrayLike, cell_m: float, reach_m: float, rows: ArrayLike, columns: ArrayLike
         ) -> Floats:  # fmt: skip
    """The weight that lies within reach of each of some cells, added up [m² at weight 1].

    Args:
        weight: of each cell.
        cell_m: side of a cell [m].
        reach_m: radius [m].
        rows, columns: the cells.
    """
    values = np.asarray(weight, float)
    most = int(reach_m / cell_m)
    padded = np.pad(values, most)
    i, j = np.asarray(rows, int) + most, np.asarray(columns, int) + most
    total = np.zeros(i.shape)
    for down in range(-most, most + 1):
        for right in range(-most, most + 1):
            if np.hypot(down, right) * cell_m <= reach_m:
                total += padded[i + down, j + right]
    return np.asarray(total * cell_m**2)

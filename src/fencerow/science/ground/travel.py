"""The cheapest way over ground, and the corridor between two places.

A step to one of the eight neighbours costs its length times the mean of the two cells' cost for a
metre. On foot it costs minutes: the length by Tobler's speed for the rise, times the same mean. A
way of eight directions is up to 8 % longer than the straight one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.compiled import Kernel
from fencerow.science.ground.grid import Floats
from fencerow.science.ground.loops_travel import SPREAD, spread
from fencerow.science.ground.walking import tobler_km_h

STEPS = ((-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1))
STEEPEST = 1.0
"""Nobody walks up or down a greater rise per unit of distance than this; our judgement."""
_METRES_A_MINUTE = 1000 / 60
_FASTEST = 6 * _METRES_A_MINUTE
_MOST_BUCKETS = 1 << 17
Singles = NDArray[np.float32]
_SPREAD = Kernel(spread, SPREAD)


def cheapest(
    cost: ArrayLike,
    cell_m: float,
    rows: ArrayLike,
    columns: ArrayLike,
    elevation_m: ArrayLike | None = None,
) -> Singles:
    """What the cheapest way costs from the nearest of some cells to every cell; inf where none is.

    Args:
        cost: for each metre, above 0; not finite where nobody goes.
        cell_m: side of a cell [m].
        rows, columns: cells to start from.
        elevation_m: with it a step costs minutes on foot, times the cost; unknown ground is not
            walked [m].

    Raises:
        ValueError: a cost of 0 or less.
    """
    price = np.array(cost, np.float32)
    ground = None if elevation_m is None else np.asarray(elevation_m, np.float32)
    open_ = np.isfinite(price) if ground is None else np.isfinite(price + ground)
    price[~open_] = np.inf
    if price.min(initial=np.inf) <= 0:
        raise ValueError("a cost for each metre is above 0")
    starts = np.ravel_multi_index(
        (np.atleast_1d(np.asarray(rows)), np.atleast_1d(np.asarray(columns))), price.shape
    )
    dearest = float(price.max(where=open_, initial=0))
    run, buckets = _SPREAD.at_hand(), _buckets(float(price.min()), dearest, ground is not None)
    if run is None or buckets > _MOST_BUCKETS:
        return cheapest_plain(price, cell_m, starts, ground)
    rows_, wide = price.shape[0] + 2, price.shape[1] + 2
    cells = np.full((rows_, wide, 2), np.inf, np.float32)
    fastest = 1.0 if ground is None else _FASTEST
    np.multiply(price, np.float32(cell_m / 2 / fastest), out=cells[1:-1, 1:-1, 1])
    land = np.zeros((1, 1), np.float32) if ground is None else np.pad(ground, 1, mode="edge")
    i, j = np.divmod(np.unique(starts), price.shape[1])
    least = float(price.min()) * cell_m / fastest
    run(
        cells.reshape(-1, 2), land.reshape(-1), wide, np.float32(cell_m), (i + 1) * wide + j + 1,
        ground is not None, np.float32(STEEPEST), np.float32(least), buckets,
    )  # fmt: skip
    return np.ascontiguousarray(cells[1:-1, 1:-1, 0])


def _buckets(cheapest_m: float, dearest_m: float, on_foot: bool) -> int:
    """How many buckets hold the dearest step, as a power of two."""
    if dearest_m == 0:
        return 2
    steps = float(np.sqrt(2)) * dearest_m / cheapest_m
    if on_foot:
        steps *= 6 / float(tobler_km_h(STEEPEST))
    return 1 << int(np.ceil(np.log2(steps + 3)))


def cheapest_plain(
    price: Singles,
    cell_m: float,
    starts: NDArray[np.int_],
    ground: Singles | None,
) -> Singles:
    """`cheapest` by SciPy's own search over the graph of all steps.

    Args:
        price, cell_m, ground: as `cost`, `cell_m` and `elevation_m` of `cheapest`.
        starts: cells to start from, counted through the rows.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import dijkstra

    cells = np.arange(price.size).reshape(price.shape)
    rows, columns = price.shape
    tails, heads, lengths = [], [], []
    for i, j in STEPS:
        here = (
            slice(max(0, -i), rows - max(0, i)),
            slice(max(0, -j), columns - max(0, j)),
        )
        there = (
            slice(max(0, i), rows - max(0, -i)),
            slice(max(0, j), columns - max(0, -j)),
        )
        step = step_cost(
            price[here], price[there], cell_m * float(np.hypot(i, j)),
            None if ground is None else (ground[there].astype(float) - ground[here]),
        )  # fmt: skip
        open_ = np.isfinite(step)
        tails.append(cells[here][open_])
        heads.append(cells[there][open_])
        lengths.append(step[open_])
    graph = coo_array(
        (np.concatenate(lengths), (np.concatenate(tails), np.concatenate(heads))),
        shape=(price.size, price.size),
    ).tocsr()
    found = dijkstra(graph, indices=np.unique(starts), min_only=True)
    return np.asarray(found, np.float32).reshape(price.shape)


def step_cost(
    price_here: ArrayLike, price_there: ArrayLike, length_m: float, climb_m: ArrayLike | None
) -> Floats:
    """What one step costs.

    Args:
        price_here, price_there: cost of the two cells for each metre.
        length_m: of the step [m].
        climb_m: rise of the ground from here to there; with it the cost is minutes on foot, and a
            step steeper than `STEEPEST` is not walked [m].
    """
    mean = (np.asarray(price_here, float) + np.asarray(price_there, float)) / 2
    if climb_m is None:
        return np.asarray(mean * length_m)
    rise = np.asarray(climb_m, float) / length_m
    with np.errstate(invalid="ignore"):
        walked = np.isfinite(mean) & (np.abs(rise) <= STEEPEST)
        return np.where(walked, mean * length_m / (tobler_km_h(rise) * _METRES_A_MINUTE), np.inf)


def corridor(from_here: ArrayLike, from_there: ArrayLike) -> Floats:
    """What the cheapest way by each cell, place to place, costs over the cheapest of all.

    0 on the cheapest way itself; inf where there is none.

    Args:
        from_here, from_there: `cheapest` from each of the two places.
    """
    total = np.asarray(from_here, float) + np.asarray(from_there, float)
    least = float(total.min(initial=np.inf))
    return np.asarray(total - least if np.isfinite(least) else total)


def way_to(
    spent: Singles,
    cost: ArrayLike,
    cell_m: float,
    row: int,
    column: int,
    elevation_m: ArrayLike | None = None,
) -> list[tuple[int, int]]:
    """The cells of the cheapest way, from where it starts to a cell; empty where none leads there.

    Args:
        spent: `cheapest`, of the same ground.
        cost, cell_m, elevation_m: as for `cheapest`.
        row, column: the cell to reach.
    """
    price = np.asarray(cost, np.float32)
    ground = None if elevation_m is None else np.asarray(elevation_m, np.float32)
    if not np.isfinite(spent[row, column]):
        return []
    way = [(row, column)]
    while spent[way[-1]] > 0:
        way.append(_before(spent, price, cell_m, way[-1], ground))
    return way[::-1]


def _before(
    spent: Singles,
    price: Singles,
    cell_m: float,
    at: tuple[int, int],
    ground: Singles | None,
) -> tuple[int, int]:
    """The neighbour that the cheapest way comes from."""
    best, found = np.inf, at
    for i, j in STEPS:
        k, m = at[0] + i, at[1] + j
        if not (0 <= k < price.shape[0] and 0 <= m < price.shape[1]) or spent[k, m] >= spent[at]:
            continue
        climb = None if ground is None else float(ground[at]) - float(ground[k, m])
        step = float(step_cost(price[k, m], price[at], cell_m * float(np.hypot(i, j)), climb))
        if spent[k, m] + step < best:
            best, found = float(spent[k, m]) + step, (k, m)
    return found

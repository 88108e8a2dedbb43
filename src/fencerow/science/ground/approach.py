"""The way in on foot that is least seen and least smelled, and how exposed it is.

A minute on ground where the walker is seen from cover, or where his scent reaches deer ground,
counts for more minutes; the cheapest way by that count is taken. The way out is the same way back.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.grid import Floats
from fencerow.science.ground.travel import STEPS, cheapest, step_cost


class Ways(NamedTuple):
    """The cheapest ways from the gates to every cell."""

    counted_min: Floats
    """Minutes, exposed ones counted for more; inf where no way leads [min]."""
    before: NDArray[np.int_]
    """The cell before each on its way, counted through the rows; -1 at a gate."""


class Walked(NamedTuple):
    """One way: its cells from gate to sit, its minutes, and those of them that are exposed."""

    cells: tuple[tuple[int, int], ...]
    minutes: float
    exposed_min: float


def exposed(reached: ArrayLike, most: float) -> Floats:
    """How exposed a walker is, 0 to 1: fully from as much deer ground as a sitter may reach."""
    return np.clip(np.asarray(reached, float) / most, 0.0, 1.0)


def ways(
    slowness: ArrayLike, exposure: ArrayLike, weight: float, cell_m: float, elevation_m: ArrayLike,
    rows: ArrayLike, columns: ArrayLike,
) -> Ways:  # fmt: skip
    """The cheapest ways from some gates.

    Args:
        slowness: how much longer a metre takes than on a path; not finite where nobody walks.
        exposure: 0 to 1.
        weight: minutes that a fully exposed minute counts beyond itself.
        cell_m: side of a cell [m].
        elevation_m: of the ground [m].
        rows, columns: cells of the gates.
    """
    price = np.asarray(slowness, float) * (1 + weight * np.asarray(exposure, float))
    spent = cheapest(price, cell_m, rows, columns, elevation_m).astype(float)
    best = np.full(spent.shape, np.inf)
    before = np.full(spent.shape, -1)
    cells = np.arange(spent.size).reshape(spent.shape)
    ground = np.asarray(elevation_m, float)
    for down, right in STEPS:
        here, there = _shifted(spent.shape, down, right)
        step = step_cost(price[there], price[here], cell_m * float(np.hypot(down, right)),
                         ground[here] - ground[there])  # fmt: skip
        by = np.where(spent[there] < spent[here], spent[there] + step, np.inf)
        better = by < best[here]
        best[here] = np.where(better, by, best[here])
        before[here] = np.where(better, cells[there], before[here])
    return Ways(spent, before)


def _shifted(
    shape: tuple[int, ...], down: int, right: int
) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Each cell with a neighbour so far off, and that neighbour."""
    rows, columns = shape
    here = (slice(max(0, -down), rows - max(0, down)),
            slice(max(0, -right), columns - max(0, right)))  # fmt: skip
    there = (slice(max(0, down), rows - max(0, -down)),
             slice(max(0, right), columns - max(0, -right)))  # fmt: skip
    return here, there


@formula(
    "the way from a gate that takes the fewest minutes on foot, exposed minutes counted for more",
    unit="min",
    source=("tobler-1993", "judgement"),
    basis="common practice",
    lookup=True,
)
def walked(
    found: Ways, slowness: ArrayLike, exposure: ArrayLike, cell_m: float, elevation_m: ArrayLike,
    row: int, column: int,
) -> Walked | None:  # fmt: skip
    """The way to one cell; None where none leads there.

    Minutes by Tobler's walking speed for the rise, times how slow the ground is; a judgement what
    an exposed minute counts.

    Args:
        found: `ways`, of the same ground.
        slowness, exposure, cell_m, elevation_m: as for `ways`.
        row, column: the cell to reach.
    """
    counted, before = (np.asarray(part) for part in found)
    if not np.isfinite(counted[row, column]):
        return None
    at = row * before.shape[1] + column
    through = [at]
    flat = before.reshape(-1)
    while (at := int(flat[at])) >= 0:
        through.append(at)
    i, j = np.divmod(np.array(through[::-1]), before.shape[1])
    if i.size == 1:
        return Walked(((row, column),), 0.0, 0.0)
    slow, seen = np.asarray(slowness, float)[i, j], np.asarray(exposure, float)[i, j]
    length = cell_m * np.hypot(np.diff(i), np.diff(j))
    climb = np.diff(np.asarray(elevation_m, float)[i, j])
    # a step of some length costs what one of a metre does, that much dearer
    minutes = step_cost(slow[:-1] * length, slow[1:] * length, 1.0, climb / length)
    share = (slow[:-1] * seen[:-1] + slow[1:] * seen[1:]) / (slow[:-1] + slow[1:])
    cells = tuple(zip(i.tolist(), j.tolist(), strict=True))
    return Walked(cells, float(minutes.sum()), float((minutes * share).sum()))


class ServiceWay(NamedTuple):
    """The least exposed way to a place: its minutes, those exposed, and the winds to go in."""

    minutes: float
    exposed_min: float
    winds: Arcs


@formula(
    "of the ways in each eighth of the compass the one with the fewest exposed minutes, and all "
    "winds whose way has no more of them, to a tenth of a minute",
    unit="min",
    source=("tobler-1993", "judgement"),
    basis="common practice",
    lookup=True,
)
def service_way(minutes: ArrayLike, exposed_min: ArrayLike, from_deg: ArrayLike) -> ServiceWay:
    """The winds in which a place is best looked after, and what the walk is then.

    Args:
        minutes, exposed_min: `walked` in each wind [min].
        from_deg: the winds, each an eighth of the compass [deg].
    """
    exposed = np.asarray(exposed_min, float)
    good = np.flatnonzero(exposed <= exposed.min() + 0.1)
    best = int(good[0])
    arcs = Arcs.of((float(np.asarray(from_deg)[k]) - 22.5, 45.0) for k in good)
    return ServiceWay(
        float(np.asarray(minutes, float)[best]), float(exposed[best]), Arcs(arcs.spans, inward=True)
    )

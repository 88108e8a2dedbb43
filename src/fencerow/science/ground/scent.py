"""The ground that scent reaches, for every cell and every class of wind.

Hourly winds repeat: a season's hours hold a few hundred classes. In one class the ground that a
plume reaches has one shape, wherever the person is: for each row, runs of cells. Deer ground is
summed along its rows once; then what a plume reaches is two numbers taken from each other for each
run, however many cells lie in it. A wind that is calm reaches a disc of half the reach.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.compiled import Kernel, strips, together
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.loops_scent import EVERYWHERE, PLACES, sum_everywhere, sum_places
from fencerow.science.ground.plume import Air, concentration, extent_m, threshold

Counts = NDArray[np.int32]
Places = NDArray[np.int64]
_PLACES, _EVERYWHERE = Kernel(sum_places, PLACES), Kernel(sum_everywhere, EVERYWHERE)


class Winds(NamedTuple):
    """Classes of wind: where it blows from, how fast, how stirred."""

    from_deg: Floats
    wind_m_s: Floats
    stability: NDArray[np.int_]


class Runs(NamedTuple):
    """Runs of cells that each class of wind reaches, off the person's cell.

    Those of class `k` are `start[k]` to `start[k + 1]`; a run is `down[n]` rows to the south, and
    from `first[n]` to before `end[n]` columns to the east.
    """

    start: Counts
    down: Counts
    first: Counts
    end: Counts
    reach: int
    """No run lies farther off than this, in cells."""


def distinct(
    from_deg: ArrayLike, wind_m_s: ArrayLike, stability: ArrayLike
) -> tuple[Winds, NDArray[np.int_]]:
    """The classes of wind that hours hold, and which of them each hour has.

    Args:
        from_deg: where the wind blows from, one figure for each hour; any for a calm [deg].
        wind_m_s: its speed [m/s].
        stability: 0 for A to 5 for F.
    """
    speed = np.asarray(wind_m_s, float)
    direction = np.where(speed > 0, np.asarray(from_deg, float) % 360, 0.0)
    rows = np.column_stack((direction, speed, np.asarray(stability, float)))
    classes, which = np.unique(rows, axis=0, return_inverse=True)
    winds = Winds(classes[:, 0], classes[:, 1], classes[:, 2].astype(int))
    return winds, which.reshape(-1)


class Reached(NamedTuple):
    """The ground that a plume reaches, cut out; its first cell lies so far from the person's."""

    mask: Mask
    down: int
    right: int


def reached(
    from_deg: float,
    air: Air,
    how: tuple[int, float],
    size: tuple[float, float],
    cell_m: float,
    least: float,
) -> Reached:
    """The ground that one class of wind reaches, from the person's cell on.

    Args:
        from_deg: where the wind blows from [deg].
        air: heights and settings.
        how: stability and wind [m/s].
        size: how far the plume reaches ahead and to one side, `extent_m` [m].
        cell_m: side of a cell [m].
        least: `plume.threshold` [s/m³].
    """
    far, wide = size[0] + 1, size[1] + cell_m
    to = np.radians(from_deg + 180)
    ahead, aside = np.array([0, 0, far, far]), np.array([-wide, wide, -wide, wide])
    corners_down = (aside * np.sin(to) - ahead * np.cos(to)) / cell_m
    corners_right = (aside * np.cos(to) + ahead * np.sin(to)) / cell_m
    top, left = int(corners_down.min()) - 1, int(corners_right.min()) - 1
    bottom, right = int(corners_down.max()) + 2, int(corners_right.max()) + 2
    south, east = (np.mgrid[top:bottom, left:right] * cell_m).astype(float)
    ahead, aside = along_wind(south, east, from_deg)
    mask = (ahead > 0) & (ahead <= far) & (np.abs(aside) <= wide)
    mask[mask] = concentration(*how, ahead[mask], aside[mask], air) >= least
    mask[-top, -left] = True  # his own cell
    return Reached(mask, top, left)


def disc(radius_m: float, cell_m: float) -> Reached:
    """The ground that scent reaches in a calm.

    Args:
        radius_m: how far [m].
        cell_m: side of a cell [m].
    """
    n = int(radius_m / cell_m) + 1
    south, east = np.mgrid[-n : n + 1, -n : n + 1] * cell_m
    return Reached(np.hypot(south, east) <= radius_m, -n, -n)


def along_wind(south_m: Floats, east_m: Floats, from_deg: float) -> tuple[Floats, Floats]:
    """How far ahead on the wind, and how far aside of it, an offset lies [m].

    Args:
        south_m, east_m: the offset [m].
        from_deg: where the wind blows from [deg].
    """
    to = np.radians(from_deg + 180)
    return east_m * np.sin(to) - south_m * np.cos(to), east_m * np.cos(to) + south_m * np.sin(to)


def runs_of(winds: Winds, cell_m: float, reach: float, air: Air) -> Runs:
    """The runs of every class of wind.

    Args:
        winds: the classes.
        cell_m: side of a cell [m].
        reach: how far scent carries on a steady, cloudy day with 3 m/s, the person's setting [m].
        air: heights and settings.
    """
    least, sizes = threshold(reach, air), dict[tuple[int, float], tuple[float, float]]()
    shapes = []
    for from_deg, speed, stability in zip(*(part.tolist() for part in winds), strict=True):
        if speed < air.calm_m_s:
            shapes.append(disc(reach / 2, cell_m))
            continue
        how = stability, speed
        if how not in sizes:
            sizes[how] = extent_m(*how, least, air)
        shapes.append(reached(from_deg, air, how, sizes[how], cell_m, least))
    return _packed([list(_runs(shape)) for shape in shapes])


def _runs(shape: Reached) -> Iterator[tuple[int, int, int]]:
    edges = np.diff(np.pad(shape.mask, ((0, 0), (1, 1))).view(np.int8), axis=1)
    begins, ends = np.argwhere(edges == 1), np.argwhere(edges == -1)
    for (row, first), (_, end) in zip(begins.tolist(), ends.tolist(), strict=True):
        yield row + shape.down, first + shape.right, end + shape.right


def _packed(classes: list[list[tuple[int, int, int]]]) -> Runs:
    start = np.cumsum([0, *(len(c) for c in classes)]).astype(np.int32)
    rows = np.array([run for c in classes for run in c], np.int32).reshape(-1, 3)
    down, first, end = (np.ascontiguousarray(part) for part in rows.T)
    reach = int(np.abs(rows).max(initial=0))
    return Runs(start, down, first, end, reach)


class Field(NamedTuple):
    """Deer ground, summed along its rows, with a margin that no run leaves."""

    sums: Floats
    margin: int
    shape: tuple[int, int]

    @classmethod
    def of(cls, weights: ArrayLike, margin: int) -> Field:
        """A field of what each cell counts as deer ground.

        Args:
            weights: rows from north to south; 0 where no deer is.
            margin: `Runs.reach` or more [cells].
        """
        weight = np.asarray(weights, float)
        rows, columns = weight.shape
        sums = np.zeros((rows + 2 * margin, columns + 2 * margin + 1))
        inner = sums[margin : margin + rows]
        np.cumsum(weight, axis=1, out=inner[:, margin + 1 : margin + 1 + columns])
        inner[:, margin + 1 + columns :] = inner[:, margin + columns, None]
        return cls(sums, margin, (rows, columns))


def exposure(
    field: Field, runs: Runs, rows: ArrayLike, columns: ArrayLike, threads: int = 1
) -> Floats:
    """How much deer ground a person at each place reaches in each class of wind.

    Args:
        field: deer ground; its margin is at least `runs.reach`.
        runs: of the classes.
        rows, columns: cells of the places.
        threads: how many share the places.

    Returns:
        places by classes.
    """
    i, j = np.ascontiguousarray(rows, np.int64), np.ascontiguousarray(columns, np.int64)
    total = np.empty((i.size, runs.start.size - 1))
    run = _PLACES.at_hand()
    if run is None:
        return exposure_plain(field, runs, i, j)
    jobs = [
        partial(run, field.sums, field.margin, *runs[:4], i[a:b], j[a:b], total[a:b])
        for a, b in strips(i.size, threads)
    ]
    together(jobs, threads)
    return total


def exposure_plain(field: Field, runs: Runs, rows: Places, columns: Places) -> Floats:
    """`exposure` in NumPy, place by place: both ends of all runs at once, then added up by class.

    Args:
        field, runs, rows, columns: as for `exposure`.
    """
    total = np.zeros((rows.size, runs.start.size - 1))
    held = np.flatnonzero(np.diff(runs.start))
    if not held.size:
        return total
    sums, wide = field.sums.reshape(-1), field.sums.shape[1]
    left = runs.down.astype(np.int64) * wide + runs.first
    right = runs.down.astype(np.int64) * wide + runs.end
    places = (rows + field.margin) * wide + columns + field.margin
    for n, at in enumerate(places.tolist()):
        each = sums[at + right] - sums[at + left]
        total[n, held] = np.add.reduceat(each, runs.start[held])
    return total


def exposure_everywhere(field: Field, runs: Runs, k: int, threads: int = 1) -> Floats:
    """How much deer ground a person on each cell of the grid reaches in one class of wind.

    Args:
        field, runs: as for `exposure`.
        k: the class.
        threads: how many share the rows.
    """
    chosen = slice(int(runs.start[k]), int(runs.start[k + 1]))
    own = runs.down[chosen], runs.first[chosen], runs.end[chosen]
    run = _EVERYWHERE.at_hand()
    if run is None:
        return everywhere_plain(field, *own)
    total = np.empty(field.shape)
    jobs = [
        partial(run, field.sums, field.margin, *own, a, b, total)
        for a, b in strips(field.shape[0], threads)
    ]
    together(jobs, threads)
    return total


def everywhere_plain(field: Field, down: Counts, first: Counts, end: Counts) -> Floats:
    """`exposure_everywhere` in NumPy, run by run.

    Args:
        field: as for `exposure`.
        down, first, end: the runs of the class.
    """
    rows, columns = field.shape
    total = np.zeros(field.shape)
    for d, a, b in zip(down.tolist(), first.tolist(), end.tolist(), strict=True):
        part = field.sums[field.margin + d : field.margin + d + rows]
        left, right = field.margin + a, field.margin + b
        total += part[:, right : right + columns] - part[:, left : left + columns]
    return total

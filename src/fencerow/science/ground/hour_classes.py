"""Hours of wind as classes: direction in tens of degrees, speed in steps, how well the air mixes.

Records come in tens of degrees, so an hour keeps its direction; where the ground turns the wind it
is rounded to the nearest. With ten degrees between classes the wander of a wind is a step to the
class beside it. The ground a class reaches is worked for winds from 0 to 45 degrees and turned or
mirrored for the rest, so that no direction is favoured by rounding.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.grid import Floats, Index, Mask
from fencerow.science.ground.plume import Air, extent_m, threshold
from fencerow.science.ground.scent import Reached, Runs, disc, reached
from fencerow.science.ground.stability import D

STEP_DEG = 10
WAYS = 360 // STEP_DEG
"""Directions of a class."""
SPEEDS = np.array([0.0, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0])
"""Speeds that hours are rounded to; 0 stands for a calm [m/s]."""


class Airs(NamedTuple):
    """Speeds and stabilities that hours have: each with all directions makes `WAYS` classes."""

    wind_m_s: Floats
    stability: Index


class HourClass(NamedTuple):
    """Which of the airs an hour has, and which direction; one shape."""

    air: Index
    way: Index


def airs_of(*, calm_m_s: float = 0.5) -> Airs:
    """Every air that an hour may have: a calm, then each speed with each stability."""
    moving = SPEEDS[calm_m_s < SPEEDS]
    return Airs(
        np.concatenate(([0.0], np.repeat(moving, 6))),
        np.concatenate(([D], np.tile(np.arange(6), moving.size))),
    )


def classed(
    from_deg: ArrayLike, wind_m_s: ArrayLike, stability: ArrayLike, calm_m_s: float = 0.5
) -> tuple[Airs, HourClass]:
    """The airs that hours hold, each once, and the class of every hour.

    Args:
        from_deg: where the wind blows from, any for a calm; any shape [deg].
        wind_m_s: its speed, of the same shape [m/s].
        stability: 0 for A to 5 for F, of the same shape or one that fits it.
        calm_m_s: below this a wind has no direction [m/s].
    """
    speed = np.asarray(wind_m_s, float)
    direction = np.where(np.isfinite(from_deg), np.asarray(from_deg, float), 0.0)
    calm = speed < calm_m_s
    moving = SPEEDS[calm_m_s < SPEEDS]
    nearest = np.abs(np.log(np.where(calm, 1.0, speed))[..., None] - np.log(moving)).argmin(-1)
    code = np.where(calm, 0, 1 + nearest * 6 + np.asarray(stability, int))
    held, air = np.unique(code, return_inverse=True)
    every = airs_of(calm_m_s=calm_m_s)
    way = np.where(calm, 0, np.floor(direction / STEP_DEG + 0.5).astype(int) % WAYS)
    return Airs(every.wind_m_s[held], every.stability[held]), HourClass(air.reshape(way.shape), way)


Rows = tuple[NDArray[np.int32], ...]
"""For each direction of an air its runs: rows down, first and end columns."""


@lru_cache(maxsize=128)
def air_rows(wind_m_s: float, stability: int, cell_m: float, reach_m: float, air: Air) -> Rows:
    """The runs of cells that scent reaches in one air, direction by direction; to be read alone.

    Args:
        wind_m_s: 0 for a calm [m/s].
        stability: 0 for A to 5 for F.
        cell_m: side of a cell [m].
        reach_m: how far scent carries on a steady, cloudy day with 3 m/s: the person's [m].
        air: heights and settings.
    """
    if wind_m_s < air.calm_m_s:
        masks = [around(disc(reach_m / 2, cell_m))] * 5
    else:
        how, least = (stability, wind_m_s), threshold(reach_m, air)
        size = extent_m(*how, least, air)
        masks = [
            around(reached(from_deg, air, how, size, cell_m, least))
            for from_deg in (0.0, 10.0, 20.0, 30.0, 40.0)
        ]
    return tuple(_runs(turned(masks, way)) for way in range(WAYS))


def around(shape: Reached) -> Mask:
    """Ground that is reached as a square with the person in its middle."""
    rows, columns = shape.mask.shape
    n = max(-shape.down, -shape.right, shape.down + rows, shape.right + columns)
    square = np.zeros((2 * n + 1, 2 * n + 1), bool)
    top, left = n + shape.down, n + shape.right
    square[top : top + rows, left : left + columns] = shape.mask
    return square


def runs_together(airs: list[Rows]) -> Runs:
    """The runs of several airs, one after another, as `scent.exposure` takes them."""
    packed = [rows for air in airs for rows in air]
    every = np.concatenate(packed) if packed else np.empty((0, 3), np.int32)
    start = np.cumsum([0, *(len(p) for p in packed)]).astype(np.int32)
    down, first, end = (np.ascontiguousarray(part) for part in every.T)
    return Runs(start, down, first, end, int(np.abs(every).max(initial=0)))


def disc_runs(radius_m: float, cell_m: float) -> Runs:
    """The runs of all cells within a radius, as one class.

    Args:
        radius_m: how far [m].
        cell_m: side of a cell [m].
    """
    return runs_together([(_runs(around(disc(radius_m, cell_m))),)])


def turned(masks: list[Mask], way: int) -> Mask:
    """What a wind from `way` times ten degrees reaches, from those of 0 to 40 degrees.

    Args:
        masks: for winds from 0, 10, 20, 30 and 40 degrees, the person in the middle.
        way: the direction, in tens of degrees.
    """
    quarter, rest = divmod(way, WAYS // 4)
    # north is up and east is right: to change the two is to mirror at the line to the north-east
    mask = masks[rest] if rest < 5 else masks[WAYS // 4 - rest][::-1, ::-1].T
    return np.rot90(mask, -quarter)


def _runs(mask: Mask) -> NDArray[np.int32]:
    """Rows down, first and end columns of a mask's runs, from its middle."""
    size = mask.shape[0]
    # with a column of nothing at its end each row's runs begin and end within it
    cells = np.zeros((size, size + 1), np.bool_)
    cells[:, :-1] = mask
    flat = cells.reshape(-1)
    edges = np.flatnonzero(np.concatenate((flat[:1], flat[1:] != flat[:-1])))
    (rows, first), end = np.divmod(edges[::2], size + 1), edges[1::2] % (size + 1)
    return np.stack((rows, first, end), axis=1).astype(np.int32) - np.int32(size // 2)

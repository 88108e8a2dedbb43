"""How high the ground stands around a cell, and when the sun looks over it.

A ridge holds the sun back and hides it early. What stands on the ground (trees) is not in it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.grid import Floats, Mask


class Horizon(NamedTuple):
    """Height of the horizon in evenly spaced directions, from north clockwise."""

    altitude_deg: NDArray[np.float32]
    """directions, rows, columns [deg]."""

    def toward(self, azimuth_deg: float) -> Floats:
        """Height of each cell's horizon in a direction, between the two nearest that are known.

        Args:
            azimuth_deg: clockwise from north [deg].
        """
        count = self.altitude_deg.shape[0]
        at = (azimuth_deg % 360) / 360 * count
        low, part = int(at) % count, at - int(at)
        a, b = self.altitude_deg[low], self.altitude_deg[(low + 1) % count]
        return np.asarray(a * (1 - part) + b * part, float)


def horizon(elevation_m: ArrayLike, cell_m: float, reach_m: float, directions: int = 36) -> Horizon:
    """The height of the ground on the sky, seen from each cell, never below level.

    Each direction is followed from row to row (or column to column), ground running straight
    between two cells, as sight lines are. Unknown ground hides nothing.

    Args:
        elevation_m: rows from north to south; NaN where not known [m].
        cell_m: side of a cell [m].
        reach_m: how far is looked [m].
        directions: how many, evenly from north.
    """
    z = np.asarray(elevation_m, np.float32)
    steepest = np.zeros((directions, *z.shape), np.float32)
    for n in range(directions):
        turn = 2 * np.pi * n / directions
        south, east = -np.cos(turn), np.sin(turn)
        longest = max(abs(south), abs(east))
        for step in range(1, int(reach_m * longest / cell_m) + 1):
            far = step / longest
            _raise(steepest[n], z, far * south, far * east, np.float32(far * cell_m))
    return Horizon(np.degrees(np.arctan(steepest)))


def _raise(
    steepest: NDArray[np.float32],
    z: NDArray[np.float32],
    south: float,
    east: float,
    far_m: np.float32,
) -> None:
    """One step of one direction, for all cells at once."""
    south, east = round(south, 9), round(east, 9)
    i, j = int(np.floor(south)), int(np.floor(east))
    share = np.float32((south - i) + (east - j))  # one of the two is whole
    k, m = (i + 1, j) if south > i else (i, j + 1) if east > j else (i, j)
    rows, columns = z.shape
    top, bottom = max(0, -i, -k), rows - max(0, i, k)
    left, right = max(0, -j, -m), columns - max(0, j, m)
    if top >= bottom or left >= right:
        return
    a = z[top + i : bottom + i, left + j : right + j]
    b = z[top + k : bottom + k, left + m : right + m]
    here = z[top:bottom, left:right]
    part = steepest[top:bottom, left:right]
    np.fmax(part, (a + (b - a) * share - here) / far_m, out=part)


def sunlit(horizon_: Horizon, azimuth_deg: float, altitude_deg: float) -> Mask:
    """Cells on which the middle of the sun shines.

    Args:
        horizon_: of the cells.
        azimuth_deg, altitude_deg: where the sun stands, as it appears [deg].
    """
    return np.asarray(horizon_.toward(azimuth_deg) < altitude_deg)


def sun_hours(
    horizon_: Horizon, hours: ArrayLike, azimuth_deg: ArrayLike, altitude_deg: ArrayLike
) -> tuple[Floats, Floats]:
    """The first and the last of some moments at which the sun shines on each cell; NaN for none.

    Args:
        horizon_: of the cells.
        hours: the moments in order, in any count of time.
        azimuth_deg, altitude_deg: where the sun stands at each, as it appears [deg].
    """
    shape = horizon_.altitude_deg.shape[1:]
    first, last = np.full(shape, np.nan), np.full(shape, np.nan)
    moments = zip(
        *(np.atleast_1d(np.asarray(a, float)) for a in (hours, azimuth_deg, altitude_deg)),
        strict=True,
    )
    for hour, azimuth, altitude in moments:
        if altitude <= 0:
            continue
        lit = sunlit(horizon_, float(azimuth), float(altitude))
        first[lit & np.isnan(first)] = hour
        last[lit] = hour
    return first, last

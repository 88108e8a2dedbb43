"""What the air does in an hour at a place: how well it mixes, and whether the sun is on the slope.

Night, for stability, runs from an hour before sunset to an hour after sunrise. When the sun came
onto a slope, or left it, is looked up by the half hour.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.spa import HORIZON_DEG, SunPosition, sun_position
from fencerow.science.ground.stability import radiation_index, stability

Times = NDArray[np.datetime64]
BACK_H = 0.5 * np.arange(5)
"""How far back the sun is looked up [h]; more than the slope's wind takes to grow."""
_HOUR = np.timedelta64(3_600_000, "ms")


def night(times: Times, longitude_deg: float, latitude_deg: float) -> Mask:
    """Whether each moment is night for the stability of air: the sun is not up an hour off.

    Source: EPA-454/R-99-005, section 6.4.1; flat horizon.

    Args:
        times: UTC, datetime64.
        longitude_deg, latitude_deg: east and north positive [deg].
    """
    when = np.asarray(times, "datetime64[ms]")
    up = [
        sun_position(when + step, longitude_deg, latitude_deg).true_altitude_deg >= HORIZON_DEG
        for step in (-_HOUR, _HOUR)
    ]
    return np.asarray(~(up[0] & up[1]))


def stabilities(
    times: Times, longitude_deg: float, latitude_deg: float, wind_m_s: ArrayLike,
    cloud: ArrayLike, ceiling_m: ArrayLike,
) -> NDArray[np.int_]:  # fmt: skip
    """The stability class of each hour, 0 for A to 5 for F.

    Args:
        times: middles of the hours, UTC.
        longitude_deg, latitude_deg: east and north positive [deg].
        wind_m_s: wind of the record [m/s].
        cloud: share of the sky covered, 0 to 1.
        ceiling_m: height of its base, infinite under an open sky [m].
    """
    sun = sun_position(np.asarray(times, "datetime64[ms]"), longitude_deg, latitude_deg)
    dark = night(times, longitude_deg, latitude_deg)
    return stability(wind_m_s, radiation_index(dark, sun.altitude_deg, cloud, ceiling_m))


class Since(NamedTuple):
    """For each place and hour: how long the sun is on it, or has left it; NaN for the other [h]."""

    sun_h: Floats
    shade_h: Floats


def suns(times: Times, longitude_deg: float, latitude_deg: float) -> list[SunPosition]:
    """Where the sun stands at each moment, and each half hour before it."""
    when = np.asarray(times, "datetime64[ms]")
    return [
        sun_position(when - np.timedelta64(round(h * 3_600_000), "ms"), longitude_deg, latitude_deg)
        for h in BACK_H
    ]


def since_sun(horizon_deg: ArrayLike, looked: list[SunPosition]) -> Since:
    """How long the sun has been on places, or off them.

    Args:
        horizon_deg: height of the horizon in even directions from north: directions by places.
        looked: `suns` of the hours.
    """
    profile = np.asarray(horizon_deg, float)
    lit = np.stack([_lit(profile, sun) for sun in looked])
    same = np.cumprod(lit == lit[0], axis=0).sum(axis=0)  # how many looks back it was the same
    gone = (same - 0.5) * 0.5
    return Since(np.where(lit[0], gone, np.nan), np.where(lit[0], np.nan, gone))


def _lit(profile: Floats, sun: SunPosition) -> Mask:
    """Places by moments: whether the middle of the sun stands above the horizon."""
    count = profile.shape[0]
    at = (np.asarray(sun.azimuth_deg) % 360) / 360 * count
    low = at.astype(int) % count
    part = (at - np.floor(at))[:, None]
    height = profile[low] * (1 - part) + profile[(low + 1) % count] * part
    return np.asarray(np.asarray(sun.altitude_deg)[:, None] > height).T

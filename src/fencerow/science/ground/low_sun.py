"""Low sun at a camera: which ways to face keep clear of it, and on how many days it does not.

A sun that stands low within the picture, or little beside it, washes the picture out. The sun's
place is NREL's; how low and how far beside counts is the caller's. Flat horizon: a ridge or a wood
behind the lane hides a low sun, which nothing here knows of.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache
from math import atan, degrees, radians, tan

import numpy as np

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.grid import Floats
from fencerow.science.ground.spa import HORIZON_DEG, sun_position

_PLACE = {"longitude_deg": (-180, 180), "latitude_deg": (-65, 65)}
_ANGLES = {"view_deg": (1, 180), "low_deg": (0, 90), "beside_deg": (0, 90)}
_STEP_MIN = 10
_STEPS = 24 * 60 // _STEP_MIN


@formula(
    "the directions that lie farther than half the view and the margin beside it from every place "
    "of the low sun, each tenth minute from the first day to the last",
    unit="text",
    source="nrel-spa",
    valid=_PLACE | _ANGLES,
    lookup=True,
)
def clear_facings(
    first_date: date, last_date: date, longitude_deg: float, latitude_deg: float,
    view_deg: float, low_deg: float, beside_deg: float,
) -> Arcs:  # fmt: skip
    """The ways that a camera may face so that the low sun never stands in its picture.

    Source: the sun's place by NREL SPA; what counts as low and beside is the caller's.

    Args:
        first_date, last_date: of the season.
        longitude_deg, latitude_deg: east and north positive [deg].
        view_deg: how wide the camera sees [deg].
        low_deg: the sun is low below this height [deg].
        beside_deg: it spoils the picture within this of its edge [deg].

    Raises:
        OutsideRange: a position or an angle outside its range.
    """
    half = view_deg / 2 + beside_deg
    low = _low_azimuths(first_date, last_date, longitude_deg, latitude_deg, low_deg)
    # to the tenth of a degree, so that thousands of places are a few hundred arcs
    ways = np.unique(np.round(low[np.isfinite(low)], 1))
    return Arcs.of([(float(way) - half, 2 * half) for way in ways]).rest()


@formula(
    "of the days from the first to the last, those on which the low sun stands within half the "
    "view and the margin beside it, each tenth minute",
    unit="pct",
    source="nrel-spa",
    valid=_PLACE | _ANGLES | {"facing_deg": (0, 360)},
    lookup=True,
)
def low_sun_days_pct(
    first_date: date, last_date: date, longitude_deg: float, latitude_deg: float,
    facing_deg: float, view_deg: float, low_deg: float, beside_deg: float,
) -> float:  # fmt: skip
    """The share of a season's days on which the low sun stands in a camera's picture [%].

    Source: the sun's place by NREL SPA; what counts as low and beside is the caller's.

    Args:
        first_date, last_date: of the season.
        longitude_deg, latitude_deg: east and north positive [deg].
        facing_deg: where the camera looks [deg].
        view_deg: how wide it sees [deg].
        low_deg: the sun is low below this height [deg].
        beside_deg: it spoils the picture within this of its edge [deg].

    Raises:
        OutsideRange: a position or an angle outside its range.
    """
    low = _low_azimuths(first_date, last_date, longitude_deg, latitude_deg, low_deg)
    away = np.abs((low - facing_deg + 180) % 360 - 180)
    spoiled = np.nan_to_num(away, nan=np.inf) <= view_deg / 2 + beside_deg
    return float(100 * np.mean(spoiled.any(axis=1)))


@formula("2 * distance_yd * tan(radians(view_deg / 2))", unit="yd", source="definition",
         basis="definition", valid={"distance_yd": (0, 200), "view_deg": (1, 150)})  # fmt: skip
def view_width_yd(distance_yd: float, view_deg: float) -> float:
    """How wide a camera sees square across its middle at a distance [yd].

    Args:
        distance_yd: from the camera [yd].
        view_deg: how wide it sees [deg].

    Raises:
        OutsideRange: a distance or a view that is none of a camera's.
    """
    return 2 * distance_yd * tan(radians(view_deg / 2))


@formula("abs((bearing_deg - facing_deg + 180) % 360 - 180)", unit="deg", source="definition",
         basis="definition",
         valid={"bearing_deg": (0, 360), "facing_deg": (0, 360)})  # fmt: skip
def off_facing_deg(bearing_deg: float, facing_deg: float) -> float:
    """The angle between where something lies and where a camera looks, 0 to 180 [deg].

    Args:
        bearing_deg: where it lies [deg].
        facing_deg: where the camera looks [deg].

    Raises:
        OutsideRange: a direction outside 0 to 360.
    """
    return abs((bearing_deg - facing_deg + 180) % 360 - 180)


@formula("180 / pi * atan((height_ft - aim_ft) / (3 * distance_yd))", unit="deg",
         source="definition", basis="definition",
         valid={"height_ft": (0, 50), "aim_ft": (0, 10), "distance_yd": (1, 200)})  # fmt: skip
def tilt_deg(height_ft: float, aim_ft: float, distance_yd: float) -> float:
    """How far down from level a camera looks to have a deer in the middle of its picture [deg].

    Level ground; below 0 it looks up.

    Args:
        height_ft: of the camera above the ground [ft].
        aim_ft: height on a deer that it is aimed at [ft].
        distance_yd: of the deer [yd].

    Raises:
        OutsideRange: a height or a distance that is none of a camera's.
    """
    return degrees(atan((height_ft - aim_ft) / (3 * distance_yd)))


@lru_cache(maxsize=32)
def _low_azimuths(
    first: date, last: date, longitude_deg: float, latitude_deg: float, low_deg: float
) -> Floats:
    """The sun's direction at each step of each day, a row to a day; NaN while it is not low."""
    days = (last - first + timedelta(days=1)).days
    # a day begins at midnight by the sun, so that no evening falls on another row
    start = np.datetime64(first, "m") - np.timedelta64(round(longitude_deg * 4), "m")
    times = start + np.arange(days * _STEPS) * np.timedelta64(_STEP_MIN, "m")
    sun = sun_position(times, longitude_deg, latitude_deg)
    low = (sun.true_altitude_deg >= HORIZON_DEG) & (sun.altitude_deg < low_deg)
    found: Floats = np.where(low, sun.azimuth_deg, np.nan).reshape(days, _STEPS)
    found.setflags(write=False)
    return found

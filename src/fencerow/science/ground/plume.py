"""How thin scent is downwind of a person: a steady plume over ground that gives it back.

Shape is the published part; how far a deer smells is not. `threshold` takes the one figure that the
person sets, the reach on a steady, cloudy day with 3 m/s, and the rest scales from it. Sigmas are
means over 10 minutes to an hour: gusts carry scent in shreds, so compare, never count grams.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.science.ground.grid import Floats
from fencerow.science.ground.stability import D

_BRIGGS_Y = np.array([0.22, 0.16, 0.11, 0.08, 0.06, 0.04])
_BRIGGS_Z = np.array([0.20, 0.12, 0.08, 0.06, 0.03, 0.016])
_BEND_Z = np.array([0.0, 0.0, 0.0002, 0.0015, 0.0003, 0.0003])
_POWER_Z = np.array([0.0, 0.0, -0.5, -0.5, -1.0, -1.0])

_PG_ANGLE = np.array([
    [24.167, 2.5334], [18.333, 1.8096], [12.5, 1.0857],
    [8.3333, 0.72382], [6.25, 0.54287], [4.1667, 0.36191],
])  # fmt: skip
_PG_Z = {
    1: [(0.2, 90.673, 0.93198), (0.4, 98.483, 0.98332), (35.0, 109.3, 1.0971)],
    2: [(np.inf, 61.141, 0.91465)],
    3: [(0.3, 34.459, 0.86974), (1.0, 32.093, 0.81066), (3.0, 32.093, 0.64403),
        (10.0, 33.504, 0.60486)],
}  # fmt: skip
"""Distance up to which a fit holds [km], and its two numbers, for B, C and D."""


class Air(NamedTuple):
    """What the person and the tract set for every plume."""

    source_m: float = 1.0
    """Height that scent leaves from [m]."""
    nose_m: float = 1.0
    """Height of a deer's nose [m]."""
    body_m: float = 1.0
    """Spread that the plume starts with: a person and the tree behind [m]; our judgement."""
    sway_m_s: float = 0.3
    """How fast a light wind sways across itself [m/s]: 0.2 to 0.5 have been used."""
    sway_full_m_s: float = 1.0
    """At and below this wind all of the sway counts [m/s]; our judgement."""
    sway_none_m_s: float = 2.5
    """At and above it none: the sigmas hold what a steady wind sways; our judgement."""
    calm_m_s: float = 0.5
    """Below this a wind has no direction, and scent goes everywhere [m/s]."""
    least_m_s: float = 1.0
    """Steady plumes are not worked for less wind than this (EPA-454/R-99-005) [m/s]."""


class Spread(NamedTuple):
    """Sigmas of a plume, across it and up [m]."""

    y_m: Floats
    z_m: Floats


def briggs(stability: ArrayLike, downwind_m: ArrayLike) -> Spread:
    """Spread over open country, by class.

    Source: Briggs 1973, for 100 m to 10 km; nearer is our use of it.

    Args:
        stability: 0 for A to 5 for F.
        downwind_m: distance downwind [m].
    """
    k, x = np.asarray(stability, int), np.asarray(downwind_m, float)
    y = _BRIGGS_Y[k] * x / np.sqrt(1 + 0.0001 * x)
    return Spread(y, _BRIGGS_Z[k] * x * (1 + _BEND_Z[k] * x) ** _POWER_Z[k])


def pasquill_gifford(stability: int, downwind_m: float) -> Spread:
    """Spread by the curves of Pasquill and Gifford, for classes B to D.

    Source: fits printed in Fundamentals of Air Pollution, third edition, tables 19-4 and 19-5.

    Args:
        stability: 1 for B to 3 for D.
        downwind_m: distance downwind [m].

    Raises:
        ValueError: a class, or a distance, that the fits do not give.
    """
    km = downwind_m / 1000
    start, turn = _PG_ANGLE[stability]
    y = 465.116 * km * np.tan(np.radians(start - turn * np.log(km)))
    for most, a, b in _PG_Z.get(stability, []):
        if km < most:
            return Spread(np.asarray(y), np.asarray(a * km**b))
    raise ValueError("the fits are for classes B to D, D to 10 km and B to 35 km")


def gauss(
    spread: Spread, wind_m_s: ArrayLike, aside_m: ArrayLike, source_m: float, nose_m: float
) -> Floats:
    """Concentration for each unit released a second [s/m³], with the ground giving back.

    Source: Turner 1970, chapter 3; the equation from memory. A mirror plume stands for the ground.

    Args:
        spread: sigmas at the place [m].
        wind_m_s: wind that carries the plume [m/s].
        aside_m: distance from the middle of the plume [m].
        source_m, nose_m: heights above the ground [m].
    """
    y, z = (np.asarray(s, float) for s in spread)
    up = np.exp(-((nose_m - source_m) ** 2) / (2 * z * z))
    mirrored = np.exp(-((nose_m + source_m) ** 2) / (2 * z * z))
    across = np.exp(-np.square(aside_m) / (2 * y * y))
    return np.asarray(across * (up + mirrored) / (2 * np.pi * np.asarray(wind_m_s) * y * z))


def sway_share(wind_m_s: ArrayLike, air: Air) -> Floats:
    """How much of the sway counts in a wind, 0 to 1."""
    wind = np.asarray(wind_m_s, float)
    return np.clip((air.sway_none_m_s - wind) / (air.sway_none_m_s - air.sway_full_m_s), 0, 1)


def concentration(
    stability: ArrayLike, wind_m_s: ArrayLike, downwind_m: ArrayLike, aside_m: ArrayLike, air: Air
) -> Floats:
    """Concentration for each unit released a second, downwind of a person [s/m³]; 0 upwind.

    Briggs' sigmas with the starting size added in quadrature, and across the plume, in light wind,
    the sway: `sway_m_s / wind` of the distance.

    Args:
        stability: 0 for A to 5 for F.
        wind_m_s: wind at the place [m/s]; less than `air.least_m_s` is taken for that.
        downwind_m, aside_m: where, along the wind and across it [m].
        air: heights and settings.
    """
    x = np.asarray(downwind_m, float)
    wind = np.maximum(np.asarray(wind_m_s, float), air.least_m_s)
    spread = spread_of(stability, wind, np.where(x > 0, x, 1.0), air)
    return np.where(x > 0, gauss(spread, wind, aside_m, air.source_m, air.nose_m), 0.0)


def spread_of(stability: ArrayLike, wind_m_s: ArrayLike, downwind_m: ArrayLike, air: Air) -> Spread:
    """Sigmas of a person's plume: Briggs', the starting size, and across it the sway.

    Args:
        stability, wind_m_s, downwind_m, air: as for `concentration`; downwind is above 0.
    """
    x, wind = np.asarray(downwind_m, float), np.asarray(wind_m_s, float)
    y, z = briggs(stability, x)
    sway = sway_share(wind, air) * air.sway_m_s / wind * x
    return Spread(np.sqrt(y * y + sway * sway + air.body_m**2), np.hypot(z, air.body_m))


def threshold(reach_m: float, air: Air) -> float:
    """The concentration at the reach that the person sets [s/m³].

    The day that it is set for: steady, cloudy (class D), 3 m/s, scent and nose at 1 m. No published
    figure says what a deer smells; this is the one setting, and all else scales from it.

    Args:
        reach_m: how far scent carries on that day [m].
        air: settings; its heights are left out, for that day is said of a person standing.
    """
    ground = air._replace(source_m=1.0, nose_m=1.0)
    return float(concentration(D, 3.0, reach_m, 0.0, ground))


def extent_m(
    stability: int, wind_m_s: float, least: float, air: Air, most_m: float = 5000
) -> tuple[float, float]:
    """The farthest that a plume is as thick as `least`, ahead and to one side [m]; 0 where nowhere.

    Read off every metre of the way.

    Args:
        stability: 0 for A to 5 for F.
        wind_m_s: wind at the place [m/s].
        least: `threshold` [s/m³].
        air: heights and settings.
        most_m: beyond this is not looked [m].
    """
    x = np.arange(1.0, most_m + 1)
    middle = concentration(stability, wind_m_s, x, 0.0, air)
    thick = middle >= least
    if not thick.any():
        return 0.0, 0.0
    x, middle = x[thick], middle[thick]
    wind = max(wind_m_s, air.least_m_s)
    aside = spread_of(stability, wind, x, air).y_m * np.sqrt(2 * np.log(middle / least))
    return float(x[-1]), float(aside.max())

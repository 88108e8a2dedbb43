"""The wind at a place: the record's, slowed by cover, and what the slope adds in light air.

A slope in the sun draws air up; once the sun is off it the air above it cools and slides down, a
few feet deep. Both show only where the wind is light, the sky fairly clear and the slope steep
enough. They begin and end with the sun on that slope, not with the almanac's. The figures are those
of fire handbooks of steep western ground: eastern hills may well have less.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.science.ground.grid import Floats


class SlopeWind(NamedTuple):
    """Settings of the slope's own wind; each is the person's to change."""

    up_m_s: float = 2.0
    """In full sun: 1.3 to 3.6 is published (PMS 437) [m/s]."""
    down_m_s: float = 1.5
    """In shade: 0.9 to 2.2 is published (PMS 437) [m/s]."""
    still_h: float = 0.5
    """Between the two the air stands: after the sun leaves the slope, and after it comes [h]."""
    grow_h: float = 1.0
    """From then until the up-slope wind is full [h]; our judgement."""
    full_m_s: float = 2.0
    """With less wind than this all of it shows [m/s]; our judgement."""
    none_m_s: float = 4.0
    """With more than this none of it [m/s]; our judgement."""
    least_slope_deg: float = 3.0
    """Ground less steep has none [deg]; our judgement."""
    most_cloud: float = 0.5
    """Under more cloud there is none, share of the sky; our judgement."""


def canopy_share(height_m: ArrayLike, canopy_m: ArrayLike, drag: ArrayLike = 2.0) -> Floats:
    """Wind inside a wood as a share of that at the top of its canopy.

    Source: u(z) = u(h) exp(a (z / h - 1)) (Inoue and Cionco's form; that the exponential fits is
    published, Zhu and others 2004; a of 2 to 3 is from memory). Above the canopy it is 1.

    Args:
        height_m: height above ground, more than 0 [m].
        canopy_m: top of the canopy; 0 in the open [m].
        drag: a, larger in a thicker wood.
    """
    z, h = np.asarray(height_m, float), np.asarray(canopy_m, float)
    inside = z / np.maximum(z, h)
    return np.asarray(np.exp(np.asarray(drag, float) * (inside - 1)))


def open_share(height_m: float, rough_m: float, mast_m: float = 10.0) -> float:
    """Wind in the open at a height as a share of that at the mast.

    Source: the logarithmic profile of neutral air.

    Args:
        height_m: height above ground [m].
        rough_m: roughness length: 0.03 for grass, 0.1 for crops [m].
        mast_m: height of the mast [m].
    """
    return float(np.log(height_m / rough_m) / np.log(mast_m / rough_m))


def slope_strength(since_sun_h: ArrayLike, since_shade_h: ArrayLike, settings: SlopeWind) -> Floats:
    """The slope's own wind [m/s]: up is above 0, down below.

    Air stands for `still_h` once the sun leaves the slope, then slides down until the sun has been
    on it for as long; then up-slope grows.

    Args:
        since_sun_h: since the sun came onto the slope; NaN where it is not on it [h].
        since_shade_h: since it left; NaN where it is on it [h].
        settings: of the slope's wind.
    """
    sun, shade = np.asarray(since_sun_h, float), np.asarray(since_shade_h, float)
    rising = np.clip((sun - settings.still_h) / settings.grow_h, 0, 1) * settings.up_m_s
    sliding = -np.where(shade >= settings.still_h, settings.down_m_s, 0.0)
    lit = np.where(sun < settings.still_h, -settings.down_m_s, rising)
    return np.where(np.isfinite(sun), lit, np.where(np.isfinite(shade), sliding, 0.0))


class Wind(NamedTuple):
    """Where it blows from [deg], and how fast [m/s]."""

    from_deg: Floats
    wind_m_s: Floats


def wind_at(
    from_deg: ArrayLike,
    wind_m_s: ArrayLike,
    cloud: ArrayLike,
    falls_to_deg: ArrayLike,
    slope_deg: ArrayLike,
    strength_m_s: ArrayLike,
    share: ArrayLike,
    settings: SlopeWind,
) -> Wind:
    """The wind at a place: the record's times a share, and the slope's own added as an arrow.

    Args:
        from_deg, wind_m_s: of the record; any direction for a calm [deg, m/s].
        cloud: share of the sky covered, 0 to 1.
        falls_to_deg: the way the smoothed ground falls; NaN on flat ground [deg].
        slope_deg: how steep it is [deg].
        strength_m_s: `slope_strength` [m/s].
        share: what is left of the record's wind in this cover, `canopy_share` or `open_share`.
        settings: of the slope's wind.
    """
    speed = np.asarray(wind_m_s, float)
    light = np.clip((settings.none_m_s - speed) / (settings.none_m_s - settings.full_m_s), 0, 1)
    falls = np.asarray(falls_to_deg, float)
    shows = (np.asarray(cloud, float) <= settings.most_cloud) & np.isfinite(falls)
    shows &= np.asarray(slope_deg, float) >= settings.least_slope_deg
    slope = np.where(shows, light * np.asarray(strength_m_s, float), 0.0)
    # what blows up a slope comes from where the ground falls to
    east, north = _arrow(from_deg, speed * np.asarray(share, float))
    up_east, up_north = _arrow(np.where(np.isfinite(falls), falls, 0.0), slope)
    east, north = east + up_east, north + up_north
    return Wind(np.degrees(np.arctan2(-east, -north)) % 360.0 % 360.0, np.hypot(east, north))


def _arrow(from_deg: ArrayLike, speed: ArrayLike) -> tuple[Floats, Floats]:
    """Toward east and toward north."""
    turn, length = np.radians(np.asarray(from_deg, float)), np.asarray(speed, float)
    return -length * np.sin(turn), -length * np.cos(turn)

"""The hours of a sit: is the wind of each right, doubtful or wrong, and what speaks against it.

Where the ground is known an hour stands by the chance that scent, sight and the way in are right
(`chance_hours`); elsewhere by the arcs of wind that carry (`sit_hours`). There the first reason
that speaks against an hour stands: a wind that carries to cover or a plot before a light one, a
light one before one near an edge. Directions are where the wind blows from, degrees
clockwise from true north; a calm has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs

RIGHT, DOUBTFUL, WRONG, UNKNOWN = "right", "doubtful", "leave", "unknown"
CLEAR, CARRIES, CALM, LIGHT, EDGE = "clear", "carries", "calm", "light", "edge"


class ChanceHour(NamedTuple):
    """One hour: how it stands, the chance that it is right, and what fails most; 0 is nothing."""

    state: str
    chance: float
    why: int


@formula(
    "right from the one chance up, to be left alone below the other, doubtful between; what fails "
    "is what takes most of the rest of the chance",
    unit="text",
    source="judgement",
    basis="common practice",
    valid={"right_share": (0, 1), "leave_share": (0, 1)},
    lookup=True,
)
def chance_hours(chance: ArrayLike, right_share: float, leave_share: float) -> list[ChanceHour]:
    """How each hour of one sit stands, by what it goes to.

    A judgement: no published figure says which chance is good enough.

    Args:
        chance: that an hour goes to each `judging.Why`, right first: why by hours.
        right_share: from this chance up an hour is right.
        leave_share: below this it is left alone.

    Raises:
        OutsideRange: a chance that is none.
    """
    parts = np.asarray(chance, float)
    right, fails = parts[0], 1 + parts[1:].argmax(axis=0)
    found = []
    for share, why in zip(right.tolist(), fails.tolist(), strict=True):
        sure = share >= right_share - 1e-9
        state = RIGHT if sure else DOUBTFUL if share >= leave_share - 1e-9 else WRONG
        found.append(ChanceHour(state, share, 0 if sure else why))
    return found


class SitHour(NamedTuple):
    """One hour: how it stands, why, and which of the places the wind carries or nearly carries to;
    -1 where it is none."""

    state: str
    why: str
    place: int = -1


@formula(
    "a wind that carries to a place is wrong; a calm, a wind lighter than the light one, or one "
    "within the margin of a wind that carries is doubtful; the rest is right",
    unit="text",
    source="judgement",
    basis="common practice",
    valid={"edge_deg": (0, 90), "light_m_s": (0, 20)},
    lookup=True,
)
def sit_hours(
    from_deg: ArrayLike, wind_m_s: ArrayLike, avoid: Sequence[Arcs], edge_deg: float,
    light_m_s: float,
) -> list[SitHour]:  # fmt: skip
    """How each hour's wind stands for one sit.

    A judgement: no published figure says how near the edge, or how light, a wind is doubtful.

    Args:
        from_deg: where the wind blows from; NaN where not known [deg].
        wind_m_s: its speed; 0 is a calm, NaN not known [m/s].
        avoid: for each place, the winds that carry to it.
        edge_deg: within this of a wind that carries it is doubtful [deg].
        light_m_s: a wind lighter than this is doubtful [m/s].

    Raises:
        OutsideRange: a margin or a speed that is none.
    """
    directions, speeds = np.asarray(from_deg, float), np.asarray(wind_m_s, float)
    pairs = zip(directions.tolist(), speeds.tolist(), strict=True)
    return [_hour(way, speed, avoid, edge_deg, light_m_s) for way, speed in pairs]


def _hour(way: float, speed: float, avoid: Sequence[Arcs], edge: float, light: float) -> SitHour:
    if speed == 0:
        return SitHour(DOUBTFUL, CALM)
    if way != way or speed != speed:
        return SitHour(UNKNOWN, UNKNOWN)
    if (place := _first(way, avoid)) >= 0:
        return SitHour(WRONG, CARRIES, place)
    if speed < light:
        return SitHour(DOUBTFUL, LIGHT)
    if (place := _first(way, [arcs.widened(edge) for arcs in avoid])) >= 0:
        return SitHour(DOUBTFUL, EDGE, place)
    return SitHour(RIGHT, CLEAR)


def _first(way: float, avoid: Sequence[Arcs]) -> int:
    return next((i for i, arcs in enumerate(avoid) if bool(arcs.holds(way))), -1)


@formula("the narrowest arc that holds every direction", unit="deg", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def turn_deg(from_deg: ArrayLike) -> float:
    """How far the wind turns within some hours: the narrowest arc that holds them all [deg].

    Args:
        from_deg: where the wind blows from, hour by hour; those not known are left out [deg].
    """
    ways = np.asarray(from_deg, float)
    ways = np.sort(ways[np.isfinite(ways)] % 360)
    if ways.size < 2:
        return 0.0
    gaps = np.diff(np.append(ways, ways[0] + 360))
    return float(360 - gaps.max())

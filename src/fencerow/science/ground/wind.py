"""Wind at a sit: which winds carry to a place, and how many hours have another.

Wind is where it blows FROM, degrees clockwise from true north; a calm has no direction. Scent is
taken to go straight downwind, a half-width to each side, as far as the reach: no plume, no slope,
no eddy behind a wood. No published figure says how far a deer smells a person.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs, sector
from fencerow.science.ground.lines import seen_toward
from fencerow.science.ground.measure import ShapeLike


class Rose(NamedTuple):
    """Hours by sixteenth of the compass, from north clockwise, and those without a direction."""

    hours: NDArray[np.int_]
    calm: int
    unknown: int


class WindHours(NamedTuple):
    """Hours counted: all = known + unknown; known = right + calm + those that carry."""

    hours: int
    known: int
    right: int
    calm: int
    unknown: int


def rose(from_deg: ArrayLike, wind_m_s: ArrayLike) -> Rose:
    """Hours by the sixteenth of the compass that the wind blows from, calms apart.

    Records come in tens of degrees, of which north, east, south and west hold three and the other
    sectors two: compare sectors across a record with that in mind.

    Args:
        from_deg: where the wind blows from; NaN where not known [deg].
        wind_m_s: its speed; 0 is a calm [m/s].
    """
    direction, speed = np.asarray(from_deg, float), np.asarray(wind_m_s, float)
    blowing = np.isfinite(direction) & (speed > 0)
    calm = int(np.count_nonzero(speed == 0))
    counted = np.bincount(sector(direction[blowing]), minlength=16)
    return Rose(counted, calm, direction.size - calm - int(blowing.sum()))


@formula("(from_deg + 180) % 360", unit="deg", source="definition", basis="definition",
         valid={"from_deg": (0, 360)})  # fmt: skip
def downwind_deg(from_deg: float) -> float:
    """The direction that a wind blows toward, 0 to below 360 [deg].

    Args:
        from_deg: where it blows from; 0 and 360 are both north [deg].

    Raises:
        OutsideRange: a direction outside 0 to 360.
    """
    return (from_deg + 180) % 360


@formula(
    "every wind whose downwind side, the half-width to each side, meets the outline within the "
    "reach",
    unit="text",
    source="judgement",
    basis="common practice",
    valid={"within_yd": (0, 5000), "half_width_deg": (0, 90)},
    lookup=True,
)
def carrying_winds(
    sit: ShapeLike, shape: ShapeLike, within_yd: float, half_width_deg: float
) -> Arcs:
    """The winds, by where they blow from, that carry scent from a sit to a place.

    A judgement: straight downwind and a half-width to each side, to the reach and no farther.

    Args:
        sit: point, lon/lat.
        shape: outline of cover or a plot, lon/lat; within it every wind carries.
        within_yd: how far scent is taken to carry [yd].
        half_width_deg: to each side of straight downwind [deg].

    Raises:
        OutsideRange: no such reach, or a half-width outside 0 to 90.
    """
    return seen_toward(sit, shape, within_yd, half_width_deg).turned(180)


@formula("the winds that carry to none of the places", unit="text", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def right_winds(avoid: Sequence[Arcs | Sequence[Sequence[float]]]) -> Arcs:
    """The winds that are left when those to avoid are taken out.

    Args:
        avoid: for each place the winds that carry to it, as `Arcs` or (start, width) pairs.
    """
    return Arcs.of([span for winds in avoid for span in Arcs.of(winds).spans]).rest()


@formula(
    "hours counted one by one: unknown winds apart, calms apart, the rest right unless their wind "
    "is one to avoid",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def count_hours(from_deg: ArrayLike, wind_m_s: ArrayLike, right: Any) -> WindHours:
    """Hours with the wind right; a calm is not right, for scent goes everywhere.

    A wind on the very edge of an arc to avoid is one to avoid.

    Args:
        from_deg: where the wind blows from; NaN where not known [deg].
        wind_m_s: its speed; 0 is a calm, NaN not known [m/s].
        right: `right_winds`, or (start, width) pairs.
    """
    direction, speed = np.asarray(from_deg, float), np.asarray(wind_m_s, float)
    calm = speed == 0
    known = calm | (np.isfinite(direction) & np.isfinite(speed))
    carried = Arcs.of(right).rest().holds(direction)
    is_right = known & ~calm & ~carried
    counts = (np.ones_like(known), known, is_right, calm, ~known)
    return WindHours(*(int(np.count_nonzero(c)) for c in counts))


@formula(
    "100 * right_hours_count / wind_hours_count",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"right_hours_count": (0, 1e8), "wind_hours_count": (1, 1e8)},
)
def share_right_pct(right_hours_count: float, wind_hours_count: float) -> float:
    """The share of the hours with a known wind in which it is right [%].

    Args:
        right_hours_count: hours with the wind right.
        wind_hours_count: hours with a known wind, calms included.

    Raises:
        OutsideRange: no hour has a known wind.
    """
    return 100 * right_hours_count / wind_hours_count

"""Milkweed or smoke let go at a treestand: how far from the prediction it went, and what to learn.

The wind at a place that ground and trees turn is turned the same way again: the mean of what the
tests say, drawn toward none while they are few.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.figure import formula
from fencerow.science.ground.slope_wind import SlopeWind, wind_at


@formula(
    "the wind as it was told, slowed by cover, with the slope's own wind added in light air",
    unit="deg",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def local_from_deg(
    from_deg: float, wind_m_s: float, cloud_share: float, falls_to_deg: float, slope_deg: float,
    strength_m_s: float, left_share: float, settings: SlopeWind,
) -> float:  # fmt: skip
    """Where the wind at a place is expected to blow from [deg].

    Args:
        from_deg, wind_m_s: of the record or as told [deg, m/s].
        cloud_share: of the sky.
        falls_to_deg: the way that the smoothed ground falls; NaN on flat ground [deg].
        slope_deg: how steep it is [deg].
        strength_m_s: of the slope's own wind, down the slope below 0 [m/s].
        left_share: of the wind in this cover.
        settings: of the slope's wind.
    """
    here = wind_at(
        from_deg,
        wind_m_s,
        cloud_share,
        falls_to_deg,
        slope_deg,
        strength_m_s,
        left_share,
        SlopeWind(*settings),
    )
    return float(here.from_deg)


@formula(
    "(went_deg - predicted_deg + 180) % 360 - 180",
    unit="deg",
    source="definition",
    basis="definition",
    valid={"went_deg": (0, 360), "predicted_deg": (0, 360)},
)
def drift_error_deg(went_deg: float, predicted_deg: float) -> float:
    """How far clockwise of the prediction a test went, -180 to below 180 [deg].

    Args:
        went_deg: the bearing that it went [deg].
        predicted_deg: the bearing that it was to go [deg].

    Raises:
        OutsideRange: a bearing outside 0 to 360.
    """
    return (went_deg - predicted_deg + 180) % 360 - 180


@formula(
    "the way that the errors point as arrows laid end to end, after as many that point to no error "
    "as are set",
    unit="deg",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def local_turn_deg(errors_deg: Sequence[float], prior_count: float) -> float:
    """How far the wind is turned clockwise at a place, by its tests [deg].

    The circular mean of the errors, with `prior_count` tests without an error put before them.
    Errors that point every way have no mean and turn nothing.

    Args:
        errors_deg: `drift_error_deg` of each test [deg].
        prior_count: how many tests "no turn" is worth.
    """
    turns = np.radians(np.asarray(errors_deg, float))
    east, north = float(np.sin(turns).sum()), float(np.cos(turns).sum()) + prior_count
    if np.hypot(east, north) < 1e-9:
        return 0.0
    return float(np.degrees(np.arctan2(east, north)))

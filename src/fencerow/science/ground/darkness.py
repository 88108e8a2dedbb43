"""Day or night: whether the sun's upper edge stands above a flat horizon."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import numpy as np

from fencerow.figure import formula
from fencerow.science.ground.spa import HORIZON_DEG, sun_position


@formula(
    "the moments at which the sun's upper edge is below a flat horizon, air lifting it "
    "(Reda and Andreas 2004)",
    unit="count",
    source="nrel-spa",
    valid={"longitude_deg": (-180, 180), "latitude_deg": (-90, 90)},
    lookup=True,
)
def dark_count(began: Sequence[datetime], longitude_deg: float, latitude_deg: float) -> float:
    """How many moments lie between sunset and sunrise.

    Source: NREL SPA, equations 32 to 46; the sun rises and sets as its upper edge does.

    Args:
        began: the moments, each with its offset from UTC.
        longitude_deg: of the place, east of Greenwich [deg].
        latitude_deg: of the place, north [deg].

    Raises:
        OutsideRange: no such place, or a moment before 1900 or after 2100.
    """
    if not began:
        return 0.0
    times = [np.datetime64(b.astimezone(UTC).replace(tzinfo=None), "ms") for b in began]
    height = sun_position(times, longitude_deg, latitude_deg).true_altitude_deg
    return float(np.sum(height < HORIZON_DEG))

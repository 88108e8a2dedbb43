"""Hours with their air, as sits are judged in them: wind, cloud, sun, leaves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.hour_air import stabilities, suns
from fencerow.science.ground.spa import SunPosition
from fencerow.science.ground.stability import E

Times = NDArray[np.datetime64]
CALM_M_S = 0.5


@dataclass(frozen=True)
class AirHours:
    """Hours in their order, each with a known wind."""

    middles: Times
    longitude_deg: float
    latitude_deg: float
    from_deg: Floats
    wind_m_s: Floats
    cloud: Floats
    ceiling_m: Floats
    in_leaf: Mask

    @cached_property
    def stability(self) -> NDArray[np.int_]:
        """Class of each hour, A 0 to F 5."""
        where = (self.middles, self.longitude_deg, self.latitude_deg)
        return stabilities(*where, self.wind_m_s, self.cloud, self.ceiling_m)

    @cached_property
    def suns(self) -> list[SunPosition]:
        """Where the sun stands in each hour and in the half hours before it."""
        return suns(self.middles, self.longitude_deg, self.latitude_deg)

    @cached_property
    def way_air(self) -> NDArray[np.int_]:
        """The air that a way in is judged in: 0 a calm, 1 still, 2 stirred."""
        moving = np.where(self.stability >= E, 1, 2)
        return np.where(self.wind_m_s < CALM_M_S, 0, moving)

    @cached_property
    def way_sector(self) -> NDArray[np.int_]:
        """The eighth of the compass that the wind blows from; 0 for a calm."""
        sector = np.floor((self.from_deg + 22.5) / 45).astype(int) % 8
        return np.where(self.way_air == 0, 0, sector)

    @cached_property
    def way_classes(self) -> set[tuple[int, int]]:
        """The airs and sectors that hours hold."""
        return set(zip(self.way_air.tolist(), self.way_sector.tolist(), strict=True))


def month_and_day(times: Times, longitude_deg: float) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Month and day of the month by the sun's time at a place.

    Args:
        times: UTC.
        longitude_deg: east positive [deg].
    """
    local = np.asarray(times, "datetime64[m]") + np.timedelta64(round(longitude_deg * 4), "m")
    days = local.astype("datetime64[D]")
    months = days.astype("datetime64[M]")
    return (months.astype(int) % 12 + 1), (days - months).astype(int) + 1


def in_leaf(month: NDArray[np.int_], day: NDArray[np.int_], on: str, off: str) -> Mask:
    """Whether trees are in leaf, by the days of the year on which that begins and ends."""
    of_year = month * 100 + day
    first, last = (int(text[:2]) * 100 + int(text[3:]) for text in (on, off))
    return np.asarray((of_year >= first) & (of_year < last))

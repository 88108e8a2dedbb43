"""The legal hours of the seasons, with their air, as the record has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.winds import season_days
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.hour_air import stabilities, suns
from fencerow.science.ground.spa import SunPosition
from fencerow.science.ground.stability import E
from fencerow.science.ground.sun import RISING, SETTING, crossing_h, in_legal_hours
from fencerow.units import convert

Times = NDArray[np.datetime64]
MORNING, MIDDAY, EVENING = "morning", "midday", "evening"
PARTS = (MORNING, MIDDAY, EVENING)
CALM_M_S = 0.5


@dataclass(frozen=True)
class SeasonHours:
    """Hours in their order, and which of them belong to each season, month and part of the day."""

    middles: Times
    longitude_deg: float
    latitude_deg: float
    from_deg: Floats
    wind_m_s: Floats
    cloud: Floats
    ceiling_m: Floats
    clouds_known: bool
    seasons: Mapping[str, Mask]
    unknown: Mapping[str, int]
    """Legal hours of each season without a wind."""
    month: NDArray[np.int_]
    part: NDArray[np.int_]
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


def season_hours(frame: Frame) -> SeasonHours | None:
    """The hours with a known wind of the seasons that are not over; None where something lacks."""
    hourly, hours, middle = frame.hourly, frame.hours, frame.middle
    if hourly is None or hours is None or middle is None or not frame.seasons:
        return None
    lon, lat = (f.number() for f in middle)
    height = convert(frame.setting("sunrise", "height_arcmin").number(), "arcmin", "deg")
    rule = (hours.body.before_sunrise_min, hours.body.after_sunset_min, height)
    legal = {
        s.id: in_legal_hours(
            hourly.middles,
            season_days(s.body.opens, s.body.closes, hourly.years()),
            lon,
            lat,
            *rule,
        )
        for s in frame.seasons
    }
    known = hourly.known["wind_m_s"] & (hourly.known["wind_from_deg"] | (hourly.wind_m_s == 0))
    picked = np.logical_or.reduce(list(legal.values())) & known
    if not picked.any():
        return None
    middles = hourly.middles[picked]
    cloud, ceiling = hourly.cloud_share[picked], hourly.ceiling_m[picked]
    settings = frame.given.tables["siting_settings"]
    unclouded = settings.row("cloud").figure("factor").number()
    month, day = _clock_month(middles, frame, lon)
    return SeasonHours(
        middles, lon, lat,
        np.where(hourly.wind_m_s[picked] > 0, np.nan_to_num(hourly.wind_from_deg[picked]), 0.0),
        hourly.wind_m_s[picked],
        np.where(np.isfinite(cloud), cloud, unclouded),
        np.where(np.isnan(ceiling), np.inf, ceiling),
        bool(np.isfinite(cloud).all()),
        {i: mask[picked] for i, mask in legal.items()},
        {i: int((mask & ~known).sum()) for i, mask in legal.items()},
        month,
        _parts(middles, lon, lat, height, settings.row("half-light").figure("walk_min").number()),
        _in_leaf(month, day, settings.row("leaves-on").text("month_day"),
                 settings.row("leaves-off").text("month_day")),
    )  # fmt: skip


def _clock_month(
    middles: Times, frame: Frame, lon: float
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Month and day of the month by the sun's time at the place."""
    local = np.asarray(middles, "datetime64[m]") + np.timedelta64(round(lon * 4), "m")
    days = local.astype("datetime64[D]")
    months = days.astype("datetime64[M]")
    return (months.astype(int) % 12 + 1), (days - months).astype(int) + 1


def _parts(middles: Times, lon: float, lat: float, height: float, minutes: float
           ) -> NDArray[np.int_]:  # fmt: skip
    """Which part of the day each hour lies in, of `PARTS`."""
    local = np.asarray(middles, "datetime64[m]") + np.timedelta64(round(lon * 4), "m")
    days, back = np.unique(local.astype("datetime64[D]"), return_inverse=True)
    since = (np.asarray(middles, "datetime64[m]") - days[back]) / np.timedelta64(60, "m")
    rise = crossing_h(days, lon, lat, height, RISING)[back]
    sets = crossing_h(days, lon, lat, height, SETTING)[back]
    found = np.ones(len(middles), int)
    found[since > sets - minutes / 60] = 2
    found[since < rise + minutes / 60] = 0
    return found


def _in_leaf(month: NDArray[np.int_], day: NDArray[np.int_], on: str, off: str) -> Mask:
    of_year = month * 100 + day
    first, last = (int(text[:2]) * 100 + int(text[3:]) for text in (on, off))
    return np.asarray((of_year >= first) & (of_year < last))

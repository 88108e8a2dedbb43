"""The legal hours of the seasons, with their air, as the record has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fencerow.plan.sits.air_hours import AirHours, Times, in_leaf, month_and_day
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.winds import season_days
from fencerow.science.ground.grid import Mask
from fencerow.science.ground.sun import RISING, SETTING, crossing_h, in_legal_hours
from fencerow.units import convert

MORNING, MIDDAY, EVENING = "morning", "midday", "evening"
PARTS = (MORNING, MIDDAY, EVENING)


@dataclass(frozen=True)
class SeasonHours(AirHours):
    """Hours of the record, and which of them belong to each season, month and part of the day."""

    clouds_known: bool
    seasons: Mapping[str, Mask]
    unknown: Mapping[str, int]
    """Legal hours of each season without a wind."""
    month: NDArray[np.int_]
    part: NDArray[np.int_]


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
    month, day = month_and_day(middles, lon)
    return SeasonHours(
        middles, lon, lat,
        np.where(hourly.wind_m_s[picked] > 0, np.nan_to_num(hourly.wind_from_deg[picked]), 0.0),
        hourly.wind_m_s[picked],
        np.where(np.isfinite(cloud), cloud, unclouded),
        np.where(np.isnan(ceiling), np.inf, ceiling),
        in_leaf(month, day, settings.row("leaves-on").text("month_day"),
                settings.row("leaves-off").text("month_day")),
        bool(np.isfinite(cloud).all()),
        {i: mask[picked] for i, mask in legal.items()},
        {i: int((mask & ~known).sum()) for i, mask in legal.items()},
        month,
        _parts(middles, lon, lat, height, settings.row("half-light").figure("walk_min").number()),
    )  # fmt: skip


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

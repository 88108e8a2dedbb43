"""Sunrise, sunset, twilight, legal hours and glare, on a flat horizon in average air.

Ridges and trees hold the sun back or hide it sooner: several minutes, which nothing here knows of.
Arithmetic is in UTC; `on_the_clock` is the one step to a zone's own time. Legal hours are the
person's own minutes before sunrise and after sunset, never derived from twilight.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.figure import formula
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.spa import (
    HORIZON_DEG,
    SunPosition,
    days_since_2000,
    geocentric,
    sun_position,
)
from fencerow.words import OutsideRange, say

Times = NDArray[np.datetime64]
_PLACE = {"longitude_deg": (-180, 180), "latitude_deg": (-65, 65), "altitude_deg": (-18, 5)}
_MINUTE = timedelta(minutes=1)
RISING, SETTING = -1, 1


@formula(
    "hours of universal time, from 0 h of the day, at which the sun's middle climbs through the "
    "height (Reda and Andreas 2004)",
    unit="h",
    source="nrel-spa",
    valid=_PLACE,
    lookup=True,
)
def rise_ut_h(day: date, longitude_deg: float, latitude_deg: float, altitude_deg: float) -> float:
    """When the sun climbs through a height, on a day at a place [h of UT from 0 h of the day].

    Source: NREL SPA, appendix A.2, with the sun's place worked at the moment itself rather than
    between midnights. It is the rise before noon of that day at the place: east of Greenwich it
    can fall on the day before in UT, and then it is negative.

    Args:
        day: the day at the place.
        longitude_deg, latitude_deg: east and north positive, to 65 N or S [deg].
        altitude_deg: height of the sun's middle, -0.8333 for sunrise [deg].

    Raises:
        OutsideRange: it does not pass through that height on the day, or an input is outside its
            range.
    """
    return _one(crossing_h(day, longitude_deg, latitude_deg, altitude_deg, RISING), day)


@formula(
    "hours of universal time, from 0 h of the day, at which the sun's middle sinks through the "
    "height (Reda and Andreas 2004)",
    unit="h",
    source="nrel-spa",
    valid=_PLACE,
    lookup=True,
)
def set_ut_h(day: date, longitude_deg: float, latitude_deg: float, altitude_deg: float) -> float:
    """When the sun sinks through a height, on a day at a place [h of UT from 0 h of the day].

    Source: NREL SPA, appendix A.2, as for `rise_ut_h`. An evening in America falls on the next day
    in UT, and is then above 24.

    Args:
        day: the day at the place.
        longitude_deg, latitude_deg: east and north positive, to 65 N or S [deg].
        altitude_deg: height of the sun's middle, -0.8333 for sunset [deg].

    Raises:
        OutsideRange: it does not pass through that height on the day, or an input is outside its
            range.
    """
    return _one(crossing_h(day, longitude_deg, latitude_deg, altitude_deg, SETTING), day)


def crossing_h(
    days: ArrayLike | date,
    longitude_deg: float,
    latitude_deg: float,
    altitude_deg: float,
    side: int,
) -> Floats:
    """`rise_ut_h` or `set_ut_h` of many days at once; NaN on a day without one [h].

    From mean noon the Earth is turned to the hour angle of the height (A4), where the sun is
    looked up again; after six turns nothing moves.

    Args:
        days: days at the place, datetime64[D].
        longitude_deg, latitude_deg, altitude_deg: as for `rise_ut_h` [deg].
        side: `RISING` or `SETTING`.
    """
    noon_h = 12 - longitude_deg / 15
    noon = days_since_2000(np.asarray(days, "datetime64[D]")) + noon_h / 24
    phi, height = np.radians(latitude_deg), np.radians(altitude_deg)
    turned = np.zeros_like(noon)
    for _ in range(6):
        sun = geocentric(noon + turned / 360)
        off = sun.sidereal_deg + longitude_deg - sun.right_ascension_deg - turned
        hour_angle = turned + (off + 180) % 360 - 180
        delta = np.radians(sun.declination_deg)
        cosine = (np.sin(height) - np.sin(phi) * np.sin(delta)) / (np.cos(phi) * np.cos(delta))
        wanted = side * np.degrees(np.arccos(np.where(np.abs(cosine) <= 1, cosine, np.nan)))
        turned = turned + wanted - hour_angle
    return noon_h + turned / 15


def _one(hours: Floats, day: date) -> float:
    if np.isnan(hours):
        raise OutsideRange("sun-no-crossing", day=day)
    return float(hours)


@formula(
    "the hours of universal time as the zone's clocks show them",
    unit="clock",
    source="definition",
    basis="definition",
    lookup=True,
)
def on_the_clock(day: date, ut_h: float, zone: str) -> datetime:
    """A moment as the clocks of a zone show it, daylight saving included, to the whole second.

    Args:
        day: the day that the hours count from.
        ut_h: hours from 0 h universal time of the day [h].
        zone: IANA time zone.
    """
    midnight = datetime.combine(day, time(), UTC)
    return (midnight + timedelta(seconds=round(ut_h * 3600))).astimezone(ZoneInfo(zone))


@formula(
    "the minutes before sunrise, to the next whole minute",
    unit="clock",
    source="definition",
    basis="definition",
    valid={"before_sunrise_min": (-180, 180)},
    lookup=True,
)
def legal_start(sunrise_clock: datetime, before_sunrise_min: float) -> datetime:
    """When legal hours begin by the person's rule; rounded to the later minute.

    Args:
        sunrise_clock: `on_the_clock` of the sunrise.
        before_sunrise_min: minutes before it; negative is after it [min].

    Raises:
        OutsideRange: more than 180 minutes either way.
    """
    utc = sunrise_clock.astimezone(UTC) - timedelta(minutes=before_sunrise_min)
    return (
        (utc + _MINUTE - timedelta(microseconds=1))
        .replace(second=0, microsecond=0)
        .astimezone(sunrise_clock.tzinfo)
    )


@formula(
    "the minutes after sunset, to the last whole minute",
    unit="clock",
    source="definition",
    basis="definition",
    valid={"after_sunset_min": (-180, 180)},
    lookup=True,
)
def legal_end(sunset_clock: datetime, after_sunset_min: float) -> datetime:
    """When legal hours end by the person's rule; rounded to the earlier minute.

    Args:
        sunset_clock: `on_the_clock` of the sunset.
        after_sunset_min: minutes after it; negative is before it [min].

    Raises:
        OutsideRange: more than 180 minutes either way.
    """
    utc = sunset_clock.astimezone(UTC) + timedelta(minutes=after_sunset_min)
    return utc.replace(second=0, microsecond=0).astimezone(sunset_clock.tzinfo)


def in_legal_hours(
    times: ArrayLike,
    days: ArrayLike,
    longitude_deg: float,
    latitude_deg: float,
    before_sunrise_min: float,
    after_sunset_min: float,
    altitude_deg: float,
) -> Mask:
    """Which moments lie within legal hours of one of the days, both ends included.

    Args:
        times: UTC, datetime64.
        days: days at the place, in order, datetime64[D].
        longitude_deg, latitude_deg: east and north positive [deg].
        before_sunrise_min, after_sunset_min: the person's rule [min].
        altitude_deg: height of the sun's middle at sunrise [deg].
    """
    when, day = np.asarray(times, "datetime64[ms]"), np.asarray(days, "datetime64[D]")
    place = (longitude_deg, latitude_deg, altitude_deg)
    starts = crossing_h(day, *place, RISING) - before_sunrise_min / 60
    ends = crossing_h(day, *place, SETTING) + after_sunset_min / 60
    lit = np.isfinite(starts + ends)
    begun = _moments(day[lit], starts[lit])
    ended = np.append(_moments(day[lit], ends[lit]), np.datetime64("NaT", "ms"))
    # the latest start at or before each moment; where there is none, the NaT at the end says no
    return np.asarray(when <= ended[np.searchsorted(begun, when, side="right") - 1])


def _moments(day: Times, hours: Floats) -> Times:
    since = np.round(hours * 3_600_000).astype("timedelta64[ms]")
    return np.asarray(day.astype("datetime64[ms]") + since)


@dataclass(frozen=True)
class Spells:
    """Stretches of a day on the clock, first and last minute."""

    spells: tuple[tuple[datetime, datetime], ...] = ()

    @property
    def text(self) -> str:
        """The spells in words: '7:05 am to 9:40 am'."""
        return str(self)

    def __str__(self) -> str:
        said = [say("sun-spell", start=clock_text(a), end=clock_text(b)) for a, b in self.spells]
        return ", ".join(said) or say("sun-no-spell")


@formula(
    "the minutes from start to end in which the sun stands above the horizon, below the height of "
    "glare, and within the angle of the facing",
    unit="text",
    source="nrel-spa",
    valid={
        "longitude_deg": (-180, 180),
        "latitude_deg": (-65, 65),
        "facing_deg": (0, 360),
        "glare_height_deg": (0, 90),
        "glare_beside_deg": (0, 180),
    },
    lookup=True,
)
def glare(
    start_clock: datetime,
    end_clock: datetime,
    longitude_deg: float,
    latitude_deg: float,
    facing_deg: float,
    glare_height_deg: float,
    glare_beside_deg: float,
) -> Spells:
    """When the sun shines into the face of somebody who looks one way, minute by minute.

    Source: the sun's place by NREL SPA; what counts as glare is the caller's.

    Args:
        start_clock, end_clock: the stretch to look at, at most a day.
        longitude_deg, latitude_deg: east and north positive [deg].
        facing_deg: the direction looked in [deg].
        glare_height_deg: the sun can blind below this height [deg].
        glare_beside_deg: and within this of the facing, to each side [deg].

    Raises:
        OutsideRange: a position or angle outside its range.
    """
    first = start_clock.astimezone(UTC)
    count = int((end_clock.astimezone(UTC) - first) / _MINUTE) + 1
    sun = _minutes(first, count, longitude_deg, latitude_deg)
    beside = np.abs((sun.azimuth_deg - facing_deg + 180) % 360 - 180)
    up = (sun.true_altitude_deg >= HORIZON_DEG) & (sun.altitude_deg < glare_height_deg)
    blinds = np.concatenate(([False], up & (beside <= glare_beside_deg), [False]))
    begins, ends = (
        np.flatnonzero(np.diff(blinds.astype(int)) > 0),
        np.flatnonzero(np.diff(blinds.astype(int)) < 0),
    )
    return Spells(tuple(
        (start_clock + int(a) * _MINUTE, start_clock + int(b - 1) * _MINUTE)
        for a, b in zip(begins, ends, strict=True)
    ))  # fmt: skip


@lru_cache(maxsize=32)
def _minutes(first: datetime, count: int, longitude_deg: float, latitude_deg: float) -> SunPosition:
    """Where the sun stands in each minute from the first; the same day is asked of many ways."""
    minutes = np.datetime64(first.replace(tzinfo=None), "ms") + np.arange(count) * 60_000
    return sun_position(minutes, longitude_deg, latitude_deg)


def _step() -> np.timedelta64:
    return np.timedelta64(60_000, "ms")


def clock_text(moment: datetime) -> str:
    """A moment as clocks show it, to the nearest minute: '6:56 am'."""
    shown = moment + timedelta(seconds=30)
    half = say("sun-am") if shown.hour < 12 else say("sun-pm")
    return f"{shown.hour % 12 or 12}:{shown.minute:02d} {half}"

"""The sun's place in the sky: NREL's Solar Position Algorithm, step by step.

Reda and Andreas 2004, revised 2008, NREL/TP-560-34302; the numbers in brackets are its equations.
The algorithm's two tables of periodic terms are the shipped tables `sun_terms` and `sun_nutation`:
constants of the algorithm, so they are no inputs. Longitude counts east, latitude north, azimuth
clockwise from north. The report gives 0.0003 deg as the uncertainty.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.data import Row, Tables
from fencerow.figure import formula
from fencerow.science.ground.grid import Floats
from fencerow.words import OutsideRange

DELTA_T_S = 69.0
"""Terrestrial less universal time, about that of 2026; 100 s off moves the sun by 0.001 deg."""
HORIZON_DEG = -0.8333
"""The sun's middle at sunrise and sunset: below it, air lifts nothing into sight."""
_EPOCH = np.datetime64("2000-01-01T12:00", "ms")
_DAY = np.timedelta64(86_400_000, "ms")


class Geocentric(NamedTuple):
    """The sun seen from the centre of the Earth, and how far the Earth has turned."""

    right_ascension_deg: Floats
    declination_deg: Floats
    sidereal_deg: Floats
    distance_au: Floats


class SunPosition(NamedTuple):
    """The sun seen from a place; `altitude_deg` and `zenith_deg` as air lifts it."""

    zenith_deg: Floats
    azimuth_deg: Floats
    altitude_deg: Floats
    true_altitude_deg: Floats


def days_since_2000(times: ArrayLike) -> Floats:
    """Days since noon UTC of 1 January 2000.

    Args:
        times: UTC, datetime64 or ISO texts.

    Raises:
        OutsideRange: a time before 1900 or after 2100, where delta-T would have to be given.
    """
    days = np.asarray((np.asarray(times, "datetime64[ms]") - _EPOCH) / _DAY, float)
    if np.any(np.abs(days) > 36_525):
        raise OutsideRange("sun-years")
    return days


def geocentric(days: ArrayLike, delta_t_s: float = DELTA_T_S) -> Geocentric:
    """The sun seen from the centre of the Earth. Source: NREL SPA, equations 5 to 31.

    Args:
        days: `days_since_2000`.
        delta_t_s: terrestrial less universal time [s].
    """
    day = np.asarray(days, float)
    jc = day / 36_525  # (6)
    jce = (day + delta_t_s / 86_400) / 36_525  # (7)
    jme = jce / 10  # (8)
    longitude, latitude, distance = (_periodic(kind, jme) for kind in "LBR")  # (9) to (12)
    theta, beta = np.degrees(longitude) + 180, -latitude  # (13), (14)
    nutation, tilt = _nutation(jce)
    epsilon = np.radians(_mean_obliquity(jme) / 3600 + tilt)  # (25)
    aberration = -20.4898 / (3600 * distance)  # (26)
    lam = np.radians(theta + nutation + aberration)  # (27)
    sidereal = 280.46061837 + 360.98564736629 * day + 0.000387933 * jc**2 - jc**3 / 38_710_000
    alpha = np.arctan2(  # (30)
        np.sin(lam) * np.cos(epsilon) - np.tan(beta) * np.sin(epsilon), np.cos(lam)
    )
    delta = np.arcsin(  # (31)
        np.sin(beta) * np.cos(epsilon) + np.cos(beta) * np.sin(epsilon) * np.sin(lam)
    )
    return Geocentric(
        np.degrees(alpha) % 360,
        np.degrees(delta),
        (sidereal + nutation * np.cos(epsilon)) % 360,  # (28), (29)
        distance,
    )


@formula(
    "the sun's place by NREL's Solar Position Algorithm (Reda and Andreas 2004)",
    unit="deg",
    source="nrel-spa",
    valid={
        "longitude_deg": (-180, 180),
        "latitude_deg": (-90, 90),
        "elevation_m": (-500, 9000),
        "pressure_kpa": (0, 110),
        "temp_c": (-60, 60),
    },
    lookup=True,
)
def sun_position(
    times: ArrayLike,
    longitude_deg: float,
    latitude_deg: float,
    elevation_m: float = 0.0,
    pressure_kpa: float = 101.0,
    temp_c: float = 10.0,
    delta_t_s: float = DELTA_T_S,
) -> SunPosition:
    """The sun's place in the sky [deg]. Source: NREL SPA, equations 32 to 46.

    Args:
        times: UTC, datetime64 or ISO texts, 1900 to 2100.
        longitude_deg, latitude_deg: east and north positive [deg].
        elevation_m: height above the sea [m].
        pressure_kpa, temp_c: the year's mean air, which lifts the sun near the horizon [kPa, °C].
        delta_t_s: terrestrial less universal time [s].

    Raises:
        OutsideRange: a position, height, pressure, temperature or year outside its range.
    """
    sun = geocentric(days_since_2000(times), delta_t_s)
    hour_angle = np.radians(sun.sidereal_deg + longitude_deg - sun.right_ascension_deg)  # (32)
    delta, phi = np.radians(sun.declination_deg), np.radians(latitude_deg)
    parallax = np.radians(8.794 / (3600 * sun.distance_au))  # (33)
    u = np.arctan(0.99664719 * np.tan(phi))  # (34)
    x = np.cos(u) + elevation_m / 6_378_140 * np.cos(phi)  # (35)
    y = 0.99664719 * np.sin(u) + elevation_m / 6_378_140 * np.sin(phi)  # (36)
    below = np.cos(delta) - x * np.sin(parallax) * np.cos(hour_angle)
    shift = np.arctan2(-x * np.sin(parallax) * np.sin(hour_angle), below)  # (37)
    delta = np.arctan2((np.sin(delta) - y * np.sin(parallax)) * np.cos(shift), below)  # (39)
    hour_angle = hour_angle - shift  # (40)
    true = np.degrees(np.arcsin(
        np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(hour_angle)
    ))  # fmt: skip
    altitude = true + _lifted(true, pressure_kpa, temp_c)  # (43)
    south = np.arctan2(  # (45)
        np.sin(hour_angle), np.cos(hour_angle) * np.sin(phi) - np.tan(delta) * np.cos(phi)
    )
    return SunPosition(90 - altitude, (np.degrees(south) + 180) % 360, altitude, true)


def _lifted(true_deg: Floats, pressure_kpa: float, temp_c: float) -> Floats:
    """How much air lifts the sun (42); nothing where it is out of sight."""
    seen = true_deg >= HORIZON_DEG
    angle = np.where(seen, true_deg, 0.0)
    angle = np.radians(angle + 10.3 / (angle + 5.11))
    lift = pressure_kpa / 101 * 283 / (273 + temp_c) * 1.02 / (60 * np.tan(angle))
    return np.where(seen, lift, 0.0)


def _periodic(kind: str, jme: Floats) -> Floats:
    """Longitude or latitude [rad], or distance [au], of the Earth about the sun: (9) to (11)."""
    total = np.zeros_like(jme)
    for power, (a, b, c) in enumerate(_terms()[kind]):
        total += np.cos(b + c * jme[..., None]) @ a * jme**power
    return total / 1e8


def _nutation(jce: Floats) -> tuple[Floats, Floats]:
    """Nutation in longitude and in obliquity [deg]: (15) to (23)."""
    x = np.stack((
        297.85036 + 445267.111480 * jce - 0.0019142 * jce**2 + jce**3 / 189_474,
        357.52772 + 35999.050340 * jce - 0.0001603 * jce**2 - jce**3 / 300_000,
        134.96298 + 477198.867398 * jce + 0.0086972 * jce**2 + jce**3 / 56_250,
        93.27191 + 483202.017538 * jce - 0.0036825 * jce**2 + jce**3 / 327_270,
        125.04452 - 1934.136261 * jce + 0.0020708 * jce**2 + jce**3 / 450_000,
    ), axis=-1)  # fmt: skip
    *y, a, b, c, d = _nutation_terms()
    angle = np.radians(x @ np.array(y))
    longitude = ((a + b * jce[..., None]) * np.sin(angle)).sum(axis=-1)
    obliquity = ((c + d * jce[..., None]) * np.cos(angle)).sum(axis=-1)
    return longitude / 36e6, obliquity / 36e6


def _mean_obliquity(jme: Floats) -> Floats:
    """Mean obliquity of the ecliptic [seconds of arc]: (24)."""
    terms = (84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45)
    return np.asarray(np.polyval(terms[::-1], jme / 10))


@cache
def _terms() -> Mapping[str, Sequence[Floats]]:
    """Table A4.2: for L, B and R, by power of time from 0 up, the columns A, B and C."""
    rows = groupby(Tables.shipped()["sun_terms"], lambda row: row.text("term"))
    terms = {t: _columns(of, "amplitude", "phase_rad", "frequency") for t, of in rows}
    return {kind: [terms[t] for t in sorted(terms) if t.startswith(kind)] for kind in "LBR"}


@cache
def _nutation_terms() -> Floats:
    """Table A4.3: columns Y0 to Y4, then a and b of longitude, c and d of obliquity."""
    y = ("y0", "y1", "y2", "y3", "y4")
    sums = ("longitude", "longitude_change", "obliquity", "obliquity_change")
    return _columns(Tables.shipped()["sun_nutation"], *y, *sums)


def _columns(rows: Iterable[Row], *names: str) -> Floats:
    return np.array([[row.figure(name).number() for name in names] for row in rows]).T

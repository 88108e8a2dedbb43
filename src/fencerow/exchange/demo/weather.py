"""Invented weather for the invented tract: a daily record and a typical year of hours, both seeded.

Temperature is a yearly wave with days that hang together; rain comes in spells whose length and
amount are drawn. The files are in the form of real ones, so that they come in by the same door, and
their station is called invented.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

SEED = 20270113
FIRST_YEAR, YEARS = 1997, 30
STATION = "XX000PLOVER"
Floats = NDArray[np.float64]


def write_daily(path: Path) -> None:
    """A daily record of 30 invented years, as GHCN-Daily by station."""
    days = np.arange(f"{FIRST_YEAR}-01-01", f"{FIRST_YEAR + YEARS}-01-01", dtype="datetime64[D]")
    tmax, tmin, rain = invented_days(days)
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME",
                      "PRCP", "PRCP_ATTRIBUTES", "TMAX", "TMAX_ATTRIBUTES", "TMIN",
                      "TMIN_ATTRIBUTES"])  # fmt: skip
        for i, day in enumerate(days.astype(str)):
            out.writerow([STATION, day, 47.31, -90.61, 240, "PLOVER BENCH, INVENTED",
                          round(rain[i] * 10), ",,X", round(tmax[i] * 10), ",,X",
                          round(tmin[i] * 10), ",,X"])  # fmt: skip


def invented_days(days: NDArray[np.datetime64]) -> tuple[Floats, Floats, Floats]:
    """Highest and lowest temperature [deg C] and rain [mm] of each day."""
    draw = np.random.default_rng(SEED)
    turn = 2 * np.pi * (_day_of_year(days) - 20) / 365.25
    mean = _persisting(draw.normal(0, 2.4, days.size), 0.72) + 5.5 - 15.5 * np.cos(turn)
    wet = _spells(draw, 0.26 - 0.07 * np.cos(turn))
    rain = np.where(wet, np.round(draw.gamma(0.75, 9.5 - 3.5 * np.cos(turn)), 1), 0.0)
    half = np.maximum(1.5, draw.normal(5.8, 1.6, days.size) - 1.6 * wet)
    return mean + half, mean - half, rain


def write_hourly(path: Path) -> None:
    """A typical year of invented hours, in the form of a TMY3 file."""
    days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    draw = np.random.default_rng(SEED + 1)
    hours = np.arange(24 * days.size)
    from_deg, speed, cloud = _wind_and_cloud(draw, hours)
    tmax, tmin, _ = invented_days(days)
    clock = hours % 24
    warm = np.repeat((tmax + tmin) / 2, 24) + np.repeat((tmax - tmin) / 2, 24) * np.sin(
        2 * np.pi * (clock - 9) / 24
    )
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow([999999, "PLOVER BENCH INVENTED", "MN", -6.0, 47.31, -90.61, 240])
        out.writerow(["Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "TotCld (tenths)",
                      "Dry-bulb (C)", "Dew-point (C)", "RHum (%)", "Pressure (mbar)",
                      "Wdir (degrees)", "Wspd (m/s)", "CeilHgt (m)"])  # fmt: skip
        for i in hours:
            day = days[i // 24].astype(object)
            sun = max(0.0, np.sin(np.pi * (clock[i] - 5) / 14)) * 700 * (1 - 0.06 * cloud[i])
            out.writerow([f"{day:%m/%d/%Y}", f"{clock[i] + 1:02d}:00", round(sun), cloud[i],
                          round(warm[i], 1), round(warm[i] - 4, 1), 75, 990,
                          from_deg[i], speed[i], 77777])  # fmt: skip


def _wind_and_cloud(
    draw: np.random.Generator, hours: NDArray[np.int_]
) -> tuple[NDArray[np.int_], Floats, NDArray[np.int_]]:
    """Wind mostly from the west and north-west, calmer by night, in tens of degrees."""
    swing = _persisting(draw.normal(0, 17, hours.size), 0.94)
    base = np.where(hours // 24 % 9 < 6, 290.0, 150.0)
    from_deg = (np.round((base + swing) / 10) * 10).astype(int) % 360
    lull = 1 + 0.45 * np.sin(2 * np.pi * (hours % 24 - 9) / 24)
    speed = np.round(
        np.maximum(0, _persisting(draw.normal(0, 0.8, hours.size), 0.85) + 3) * lull, 1
    )
    speed[speed < 0.5] = 0.0
    # a calm has no direction, and a wind from due north is written 360
    from_deg = np.where(speed == 0, 0, np.where(from_deg == 0, 360, from_deg))
    cloud = np.clip(np.round(5 + _persisting(draw.normal(0, 1.6, hours.size), 0.9)), 0, 10)
    return from_deg, speed, cloud.astype(int)


def _day_of_year(days: NDArray[np.datetime64]) -> Floats:
    return np.asarray((days - days.astype("datetime64[Y]")).astype(float) + 1)


def _persisting(shocks: Floats, memory: float) -> Floats:
    """A series in which each value keeps a share of the one before."""
    kept = np.empty_like(shocks)
    value = 0.0
    for i, shock in enumerate(shocks):
        value = memory * value + shock
        kept[i] = value
    return kept


def _spells(draw: np.random.Generator, chance: Floats) -> NDArray[np.bool_]:
    """Wet and dry days in spells: a wet day is likelier after a wet one."""
    luck = draw.random(chance.size)
    wet = np.zeros(chance.size, dtype=bool)
    for i in range(1, chance.size):
        wet[i] = luck[i] < chance[i] * (1.75 if wet[i - 1] else 0.72)
    return wet

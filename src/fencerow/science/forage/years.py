"""A record of weather as the years of a run: light, warmth, soil and water of each day.

The run covers some days of the calendar; each year of the record lends its own. Gaps of a few days
are filled (temperature in a straight line, rain with the mean of its days in other years), and a
year with more of them is left out. Days that are over are as they were in all of them.
"""

from __future__ import annotations

from datetime import date

import numpy as np

from fencerow.science.forage.plant import Sky
from fencerow.science.forage.season import fahrenheit
from fencerow.science.weather.radiation import (
    daylight_hours,
    radiation_above,
    solar_inland,
    sun_declination,
    sunset_angle,
)
from fencerow.science.weather.reference_et import hargreaves
from fencerow.science.weather.seasons import SeasonRows, season_rows
from fencerow.science.weather.series import DailySeries, Floats, Times
from fencerow.science.weather.soil_temperature import (
    ALBEDO,
    bare_surface,
    depth_factor,
    soil_temperatures,
)

NEEDED = ("tmax_c", "tmin_c", "rain_mm")
MOST_GAPS = 30
"""Days without rain or temperature, from which on a year is left out."""
FEWEST_YEARS = 5
"""Below this many years no share of years is given."""
SEED_MM, DAMPING_MM = 25.0, 1500.0
"""Depth of seed, and depth that the year's swing of temperature reaches; judgements."""


def years_of(
    daily: DailySeries, first: date, span_days: int, known_until: date
) -> tuple[tuple[int, ...], Sky] | None:
    """The years of a run by the year in which each begins, and their weather.

    None where the record does not say where it stands, or spans too few years whole.

    Args:
        daily: the record.
        first: the first day of the run.
        span_days: how many days [days].
        known_until: the day of the plan; what the record has of the days before it is kept.
    """
    latitude = daily.station.latitude_deg
    if latitude is None:
        return None
    days = np.datetime64(first, "D") + np.arange(span_days)
    rows = {
        n: _rows(daily, n, first, span_days)
        for n in ("tmax_c", "tmin_c", "rain_mm", "solar_mj_m2_day")
    }
    gaps = sum(np.isnan(rows[n].values).sum(axis=1) for n in NEEDED)
    keep = (gaps <= MOST_GAPS) & (rows["rain_mm"].years != first.year)
    if keep.sum() < FEWEST_YEARS:
        return None
    years = tuple(int(y) for y in rows["rain_mm"].years[keep])
    known = _known(daily, days, known_until)
    tmax, tmin, rain, solar = (
        _laid(_filled(r.values[keep], n), known, getattr(daily, n)) for n, r in rows.items()
    )
    return years, sky_of(
        days, latitude, daily.station.elevation_m, np.maximum(tmax, tmin), tmin, rain, solar
    )


def _rows(daily: DailySeries, name: str, first: date, span_days: int) -> SeasonRows:
    return season_rows(daily.times, daily.values(name), first.month, first.day, span_days)


def _filled(values: Floats, name: str) -> Floats:
    """Gaps filled, where there are few; the sun's stay, to be worked from the temperature."""
    blank = np.isnan(values)
    if name.startswith("solar") or not blank.any():
        return values
    out = values.copy()
    if name == "rain_mm":
        seen = np.maximum((~blank).sum(axis=0), 1)
        out[blank] = np.broadcast_to(np.where(blank, 0.0, values).sum(axis=0) / seen, values.shape)[
            blank
        ]
        return out
    at = np.arange(values.shape[1])
    for row, missing in zip(out, blank, strict=True):
        row[missing] = np.interp(at[missing], at[~missing], row[~missing])
    return out


def _known(daily: DailySeries, days: Times, until: date) -> tuple[np.ndarray, np.ndarray]:
    """The days of the run that are over and in the record, and where they stand in it."""
    at = (days - daily.times[0]).astype(int)
    inside = (at >= 0) & (at < len(daily)) & (days < np.datetime64(until, "D"))
    return np.flatnonzero(inside), at[inside]


def _laid(values: Floats, known: tuple[np.ndarray, np.ndarray], record: Floats) -> Floats:
    """Days that are over laid over every year, where the record has them."""
    to, at = known
    was = record[at]
    out = values.copy()
    out[:, to[~np.isnan(was)]] = was[~np.isnan(was)]
    return out


def sky_of(
    days: Times, latitude_deg: float, elevation_m: float | None, tmax_c: Floats, tmin_c: Floats,
    rain_mm: Floats, solar_mj_m2_day: Floats,
) -> Sky:  # fmt: skip
    """Light, warmth, soil and water of each day from what is measured [year, day].

    Args:
        days: the days of the run.
        latitude_deg, elevation_m: of the station [°], [m].
        tmax_c, tmin_c: highest and lowest of each day [°C].
        rain_mm: rain [mm].
        solar_mj_m2_day: the sun's, NaN where it is to be worked from the temperature [MJ/m²/day].
    """
    day = (days - days.astype("datetime64[Y]")).astype(float) + 1
    above = np.asarray(radiation_above(latitude_deg, day))[None]
    worked = solar_inland(elevation_m, tmax_c, tmin_c, np.broadcast_to(above, tmax_c.shape))
    sun = np.where(np.isnan(solar_mj_m2_day), worked, solar_mj_m2_day)
    mean = (tmax_c + tmin_c) / 2
    surface = np.asarray(bare_surface(tmax_c, tmin_c, sun, ALBEDO))
    soil = soil_temperatures(surface, float(mean.mean()), depth_factor(SEED_MM, DAMPING_MM))
    length = daylight_hours(
        np.asarray(sunset_angle(latitude_deg, np.asarray(sun_declination(day))))
    )
    return Sky(
        days=days,
        mean_c=mean,
        tmin_f=fahrenheit(tmin_c),
        soil_c=np.where(np.isnan(soil), mean, soil),
        rain_mm=rain_mm,
        eto_mm_day=np.asarray(hargreaves(tmax_c, tmin_c, above)),
        rs_mj_m2_day=sun,
        day_h=np.asarray(length),
    )

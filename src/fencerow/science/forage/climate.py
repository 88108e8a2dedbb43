"""Invented years of a usual climate, to calibrate growth in: published months, drawn days.

Temperature hangs together from day to day and rain comes in spells; drawn with a seed, so that the
same years come out everywhere.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.science.weather.series import DailySeries, Floats, Station, Times

SEED = 1907
SHIVER_C, KEPT = 3.2, 0.7
"""How far a day strays from its mean, and how much of that stays until the next; a judgement."""


def usual_years(
    latitude_deg: float,
    mean_c: Sequence[float],
    swing_c: Sequence[float],
    rain_mm: Sequence[float],
    wet_share: Sequence[float],
    years: int = 20,
) -> DailySeries:
    """Daily weather of some years whose months are those of a climate.

    Args:
        latitude_deg: of the place [°].
        mean_c, swing_c: mean of each month, and between a day's highest and lowest [°C].
        rain_mm: rain of each month [mm].
        wet_share: share of its days with rain.
        years: how many.
    """
    days = np.arange("2001-01-01", f"{2001 + years}-01-01", dtype="datetime64[D]")
    draw = np.random.default_rng(SEED)
    middle, half = _smooth(days, mean_c), _smooth(days, swing_c) / 2
    mean = middle + _persisting(draw.normal(0, SHIVER_C * np.sqrt(1 - KEPT**2), len(days)))
    wet = draw.random(len(days)) < _smooth(days, wet_share)
    each = _smooth(days, rain_mm) / 30.4 / _smooth(days, wet_share)
    rain = np.where(wet, np.round(draw.gamma(0.75, each / 0.75), 1), 0.0)
    swing = np.maximum(half * (1.08 - 0.27 * wet), 1.0)
    return DailySeries(
        station=Station("invented", latitude_deg=latitude_deg),
        times=days, tmax_c=mean + swing, tmin_c=mean - swing, rain_mm=rain,
    )  # fmt: skip


def _smooth(days: Times, monthly: Sequence[float]) -> Floats:
    """Twelve monthly values drawn out to days, straight from one month's middle to the next."""
    year = days.astype("datetime64[Y]").astype("datetime64[D]")
    at = (days - year).astype(float) + 0.5
    middles = (np.arange(12) + 0.5) * 365.25 / 12
    return np.asarray(np.interp(at, middles, np.asarray(monthly, float), period=365.25))


def _persisting(shocks: Floats) -> Floats:
    kept, value = np.empty_like(shocks), 0.0
    for i, shock in enumerate(shocks):
        value = KEPT * value + shock
        kept[i] = value
    return kept

"""Hours that are open for spraying: wind, inversion, heat, drying air, rain now and rain after.

An hour is closed by the first limit that it is known to break; open where it keeps every one; else
it is not known, for want of the first element that a limit would ask for. What a product's label
says goes before any of these limits: the planner passes the label's in their place.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value
from fencerow.science.weather.delta_t import SEA_LEVEL_KPA, delta_t
from fencerow.science.weather.series import Bools, Floats, Times

OPEN, CLOSED, UNKNOWN = "open", "closed", "unknown"
REASONS = (
    "rain", "inversion", "wind-low", "wind-high", "heat", "damp", "dry", "rain-after",
)  # fmt: skip
"""What closes an hour, in the order in which it is asked."""


class SprayLimits(NamedTuple):
    """The limits of one product: its label's, and published guidance where the label is silent.

    `inversion_always`: the label keeps its hours about sunset and sunrise closed in any weather;
    else they are closed under a clear sky in little wind. None: the label sets this limit aside.
    """

    wind_low_m_s: float
    wind_high_m_s: float
    temp_high_c: float
    delta_low_c: float
    delta_high_c: float
    rain_mm: float
    rain_free_h: float
    inversion_wind_m_s: float
    inversion_cloud_share: float
    inversion_always: bool = False


class Sky(NamedTuple):
    """The hours, an array each; NaN where it is not known. `gust_m_s` counts where it is known."""

    temp_c: Floats
    rh_pct: Floats
    wind_m_s: Floats
    gust_m_s: Floats
    cloud_share: Floats
    rain_mm: Floats
    pressure_kpa: Value = SEA_LEVEL_KPA


class SprayHours(NamedTuple):
    """Each hour `open`, `closed` or `unknown`; `why` is one of `REASONS`, or what is lacking."""

    state: npt.NDArray[np.str_]
    why: npt.NDArray[np.str_]


@formula(
    "the hours from so long before sunset to so long after the next sunrise",
    unit="h",
    source="ndsu-inversions",
    lookup=True,
)
def inversion_hours(
    middles: Times | Sequence[str], rises: Times | Sequence[str], sets: Times | Sequence[str],
    before_h: float, after_h: float,
) -> Bools:  # fmt: skip
    """Hours in which cold air may lie under warm, by the sun alone. Source: NDSU, 2019.

    Args:
        middles: the middle of each hour, UTC.
        rises, sets: moments of sunrise and of sunset, of a day before the hours to one after, UTC.
        before_h, after_h: hours before sunset from which on, and after sunrise until which [h].
    """
    before, after = (np.timedelta64(round(h * 3600), "s") for h in (before_h, after_h))
    middles, rises, sets = (np.asarray(t, "datetime64[s]") for t in (middles, rises, sets))
    found: Bools = np.zeros(len(middles), dtype=bool)
    for set_ in sets:
        later = rises[rises > set_]
        if len(later):
            found |= (middles >= set_ - before) & (middles <= later.min() + after)
    return found


@formula(
    "closed by the first limit that is broken; open where all are kept; else not known",
    unit="",
    source=("pesticide-stewardship", "ndsu-inversions", "delta-t-page"),
    lookup=True,
)
def spray_hours(
    sky: Sky | Mapping[str, Any],
    low_sun: Bools | Sequence[bool] | None,
    limits: SprayLimits | Mapping[str, Any],
) -> SprayHours:
    """Each hour open for spraying, closed, or not known, with the reason.

    Sources: pesticide stewardship (wind), NDSU (inversions), a weather station maker's page on
    Delta T. A label's own limits go before them.

    Args:
        sky: the hours, one after the other.
        low_sun: `inversion_hours`; None where nobody knows where the sun is.
        limits: what the label says, and what is published where it says nothing.
    """
    sky = _sky(sky)
    limits = limits if isinstance(limits, SprayLimits) else SprayLimits(**limits)
    low_sun = None if low_sun is None else np.asarray(low_sun, dtype=bool)
    state = np.full(len(sky.wind_m_s), OPEN, dtype="<U8")
    why = np.full(len(sky.wind_m_s), "", dtype="<U12")
    checks = list(_checks(sky, low_sun, limits))
    for reason, _, broken, known in reversed(checks):
        hit = broken & known
        state[hit], why[hit] = CLOSED, reason
    for _, element, _, known in reversed(checks):
        lacks = ~known & (state != CLOSED)
        state[lacks], why[lacks] = UNKNOWN, element
    return SprayHours(state, why)


def _sky(sky: Sky | Mapping[str, Any]) -> Sky:
    if isinstance(sky, Sky):
        return sky
    return Sky(**{name: np.asarray(values, dtype=np.float64) for name, values in sky.items()})


_Check = tuple[str, str, Bools, Bools]


def _checks(sky: Sky, low_sun: Bools | None, limits: SprayLimits) -> Iterator[_Check]:
    """Each limit: its name, the element that it asks for, where it is broken, where that is known.

    An unknown value compares as not broken, so that `known` alone says what is lacking.
    """
    wind_known = ~np.isnan(sky.wind_m_s)
    strongest = np.fmax(sky.wind_m_s, sky.gust_m_s)
    drying = np.asarray(delta_t(sky.temp_c, sky.rh_pct, sky.pressure_kpa))
    dry_known = ~np.isnan(drying)
    yield "rain", "rain", sky.rain_mm >= limits.rain_mm, ~np.isnan(sky.rain_mm)
    yield "inversion", *_inversion(sky, low_sun, limits)
    yield "wind-low", "wind", sky.wind_m_s < limits.wind_low_m_s, wind_known
    # a gust over the limit closes the hour even where the mean wind is not told
    over = strongest > limits.wind_high_m_s
    yield "wind-high", "wind", over, wind_known | over
    yield "heat", "temperature", sky.temp_c > limits.temp_high_c, ~np.isnan(sky.temp_c)
    yield "damp", "humidity", drying < limits.delta_low_c, dry_known
    yield "dry", "humidity", drying > limits.delta_high_c, dry_known
    yield "rain-after", "rain", *_rain_after(sky.rain_mm, limits)


def _inversion(
    sky: Sky, low_sun: Bools | None, limits: SprayLimits
) -> tuple[str, Bools, Bools]:  # fmt: skip
    """Low sun, a clear sky and little wind together; it is known as soon as one is known to lack.

    Where the sun is not known, only wind or cloud can rule an inversion out.
    """
    hours = len(sky.wind_m_s)
    maybe = np.ones(hours, dtype=bool) if low_sun is None else low_sun
    if limits.inversion_always:
        return "sun", maybe, np.full(hours, low_sun is not None)
    windy, cloudy = (
        sky.wind_m_s >= limits.inversion_wind_m_s, sky.cloud_share >= limits.inversion_cloud_share
    )  # fmt: skip
    ruled_out = ~maybe | windy | cloudy
    sure = (low_sun is not None) & ~np.isnan(sky.wind_m_s) & ~np.isnan(sky.cloud_share)
    lacking = "sun" if low_sun is None else "cloud"
    return lacking, maybe & ~ruled_out & sure, ruled_out | sure


def _rain_after(rain_mm: Floats, limits: SprayLimits) -> tuple[Bools, Bools]:
    """Whether so much falls in the hours after; known dry only where every one of them is known."""
    ahead = math.ceil(limits.rain_free_h)
    padded = np.concatenate([rain_mm[1:], np.full(ahead + 1, np.nan)])
    if not ahead:
        none = np.zeros(len(rain_mm), dtype=bool)
        return none, ~none
    after = np.lib.stride_tricks.sliding_window_view(padded, ahead)[: len(rain_mm)]
    wet: Bools = np.nansum(after, axis=1) >= limits.rain_mm
    return wet, wet | ~np.isnan(after).any(axis=1)


class Stretch(NamedTuple):
    """Hours one after the other that are alike: the first, and the one after the last."""

    first: int
    end: int
    state: str
    why: str


def stretches(hours: SprayHours, breaks: Sequence[int] = ()) -> list[Stretch]:
    """Hours put together where state and reason are the same; a break (midnight) parts them."""
    found: list[Stretch] = []
    for at, (state, why) in enumerate(zip(hours.state.tolist(), hours.why.tolist(), strict=True)):
        if found and at not in breaks and (found[-1].state, found[-1].why) == (state, why):
            found[-1] = found[-1]._replace(end=at + 1)
        else:
            found.append(Stretch(at, at + 1, state, why))
    return found

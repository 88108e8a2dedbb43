"""How a crop grows by the day: light, warmth, the length of the day, water, nitrogen.

Growth by light is that of SWAT and of EPIC before it: dry matter for each MJ of the light that the
leaves catch, half of the sun's being of use to them. The leaves catch the more the more stands
(Beer's law), so that a crop that is eaten down grows slowly, and a young one as a bank account.
What holds growth back is a share, 1 for nothing. The functions take numbers or arrays.
"""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import Value
from fencerow.words import OutsideRange

_SHARE = (0.0, 1.0)
KG_M2 = 1.1208511561944e-4
"""1 lb/ac in kg/m²: 0.45359237 over 4046.8564224."""


@formula(
    "1 - exp(-extinction * leaf_ratio * 1.1208511561944e-4 * standing_lb_ac)",
    unit="share",
    source="swat-plants",
    basis="derived",
    valid={"standing_lb_ac": (0, 30_000), "leaf_ratio": (1, 40), "extinction": (0.2, 1.5)},
)
def cover_share(standing_lb_ac: Value, leaf_ratio: Value, extinction: Value) -> Value:
    """The share of the light that leaves catch: Beer's law, with the extinction of SWAT+'s plants.

    Args:
        standing_lb_ac: what stands [lb/ac].
        leaf_ratio: leaf area of what stands [m² for each kg].
        extinction: how fast leaves shade those below.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return 1 - np.exp(-extinction * leaf_ratio * KG_M2 * standing_lb_ac)


@formula(
    "max(0, 1 - standing_lb_ac / ceiling_lb_ac)",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"standing_lb_ac": (0, 30_000), "ceiling_lb_ac": (500, 30_000)},
)
def room_share(standing_lb_ac: Value, ceiling_lb_ac: Value) -> Value:
    """What an old stand's own shade leaves of growth: the logistic share.

    Args:
        standing_lb_ac: what stands [lb/ac].
        ceiling_lb_ac: the most that can stand [lb/ac].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return np.maximum(0.0, 1 - standing_lb_ac / ceiling_lb_ac)


@formula(
    "light_use * 0.5 * rs_mj_m2_day / 1.1208511561944e-4 / 1000",
    unit="lb_ac_day",
    source="swat-plants",
    basis="derived",
    valid={"light_use": (0.5, 9), "rs_mj_m2_day": (0, 50)},
)
def full_growth(light_use: Value, rs_mj_m2_day: Value) -> Value:
    """What a crop that catches all light would grow with nothing to hold it back [lb/ac/day].

    Half of the sun's radiation is light that leaves use, as SWAT and EPIC take it.

    Args:
        light_use: dry matter for the light that it catches [g for each MJ].
        rs_mj_m2_day: solar radiation [MJ/m²/day].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return light_use * 0.5 * rs_mj_m2_day / KG_M2 / 1000


@formula(
    "max(0, min(1, (mean_c - base_c) / (best_c - base_c), (top_c - mean_c) / (top_c - hot_c)))",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"mean_c": (-60, 60), "base_c": (-5, 15), "best_c": (10, 32), "hot_c": (18, 38),
           "top_c": (28, 48)},
)  # fmt: skip
def warmth_share(mean_c: Value, base_c: Value, best_c: Value, hot_c: Value, top_c: Value) -> Value:
    """The share of full growth at a temperature, in straight lines between four.

    Args:
        mean_c: mean temperature of the day [°C].
        base_c, best_c: where growth begins and where it is best [°C].
        hot_c, top_c: where it falls off again and where it stops [°C].

    Raises:
        OutsideRange: a temperature outside its range, or not in that order.
    """
    if np.any(np.asarray(best_c) <= base_c) or np.any(np.asarray(top_c) <= hot_c):
        raise OutsideRange("outside-range", name="best_c", value=best_c, low=base_c, high=hot_c)
    cold = (mean_c - base_c) / (best_c - base_c)
    hot = (top_c - mean_c) / (top_c - hot_c)
    return np.clip(np.minimum(cold, hot), 0.0, 1.0)


@formula(
    "max(short_share, min(1, (day_h - short_h) / (long_h - short_h)))",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"day_h": (0, 24), "short_h": (0, 12), "long_h": (0.5, 16), "short_share": _SHARE},
)
def day_share(day_h: Value, short_h: Value, long_h: Value, short_share: Value) -> Value:
    """The share of full growth at a length of day: dormancy in winter, and return in spring.

    Args:
        day_h: sunrise to sunset [h].
        short_h, long_h: where growth is least, and from where it is full [h].
        short_share: its least share; 1 for a plant that takes no notice.

    Raises:
        OutsideRange: an input is outside its range, or the short day is no shorter than the long.
    """
    if np.any(np.asarray(long_h) <= short_h):
        raise OutsideRange("outside-range", name="long_h", value=long_h, low=short_h, high=16)
    return np.maximum(short_share, np.minimum(1.0, (day_h - short_h) / (long_h - short_h)))


@formula(
    "max(0, min(1, (held_mm - depletion_mm) / ((1 - ready_share) * held_mm)))",
    unit="share",
    source="fao56",
    valid={"depletion_mm": (0, 500), "held_mm": (1, 500), "ready_share": (0, 0.9)},
)
def water_share(depletion_mm: Value, held_mm: Value, ready_share: Value) -> Value:
    """The share of full growth at a depletion of the root zone (Ks). Source: FAO-56 equation 84.

    Args:
        depletion_mm: water lacking to field capacity in the root zone [mm].
        held_mm: all that roots can take from it, field capacity less wilting point [mm].
        ready_share: the part of it that is taken without stress (p).

    Raises:
        OutsideRange: an input is outside its range.
    """
    return np.clip((held_mm - depletion_mm) / ((1 - ready_share) * held_mm), 0.0, 1.0)


@formula(
    "bare_share + (1 - bare_share) * given_share",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"given_share": _SHARE, "bare_share": _SHARE},
)
def nitrogen_share(given_share: float, bare_share: float) -> float:
    """The share of full growth of a plant that fixes no nitrogen, by how much it is given.

    Args:
        given_share: what it is given, of what it wants.
        bare_share: growth where it is given none.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    return bare_share + (1 - bare_share) * given_share

"""Soil texture: its class, and the water that it holds.

Classes by the Soil Survey Manual (USDA Handbook 18, 2017); water by Saxton and Rawls (2006), whose
sand and clay are fractions and whose organic matter is a percentage. Where only a class is known,
its middle stands as a row of `soil_textures`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

from fencerow.figure import formula
from fencerow.words import OutsideRange

Rule: TypeAlias = Callable[[float, float, float], bool]

CLASSES: dict[str, Rule] = {
    "sand": lambda sand, silt, clay: silt + 1.5 * clay < 15,
    "loamy sand": lambda sand, silt, clay: silt + 1.5 * clay >= 15 and silt + 2 * clay < 30,
    "sandy loam": lambda sand, silt, clay: (
        silt + 2 * clay >= 30 and ((7 <= clay < 20 and sand > 52) or (clay < 7 and silt < 50))
    ),
    "loam": lambda sand, silt, clay: 7 <= clay < 27 and 28 <= silt < 50 and sand <= 52,
    "silt loam": lambda sand, silt, clay: (
        (silt >= 50 and 12 <= clay < 27) or (50 <= silt < 80 and clay < 12)
    ),
    "silt": lambda sand, silt, clay: silt >= 80 and clay < 12,
    "sandy clay loam": lambda sand, silt, clay: 20 <= clay < 35 and silt < 28 and sand > 45,
    "clay loam": lambda sand, silt, clay: 27 <= clay < 40 and 20 < sand <= 45,
    "silty clay loam": lambda sand, silt, clay: 27 <= clay < 40 and sand <= 20,
    "sandy clay": lambda sand, silt, clay: clay >= 35 and sand > 45,
    "silty clay": lambda sand, silt, clay: clay >= 40 and silt >= 40,
    "clay": lambda sand, silt, clay: clay >= 40 and sand <= 45 and silt < 40,
}
"""What belongs to each class, by percent of sand, silt and clay; the twelve leave no gap."""

_PCT = (0.0, 100.0)
_SOIL = {"sand_pct": _PCT, "clay_pct": (0.0, 60.0), "om_pct": (0.0, 8.0)}
_SHARE = (0.001, 0.8)


def _in_order(low: float, high: float, name: str) -> None:
    """Stop where `high`, the value called `name`, is not above `low`."""
    if not low < high:
        raise OutsideRange("outside-range", name=name, value=high, low=low, high=1)


def _whole(sand_pct: float, clay_pct: float) -> None:
    if sand_pct + clay_pct > 100:
        raise OutsideRange("soilwater-over-100", sand=sand_pct, clay=clay_pct)


@formula(
    "the one class of the triangle whose limits hold",
    unit="text",
    source="soil-survey-manual",
    valid={"sand_pct": _PCT, "silt_pct": _PCT, "clay_pct": _PCT},
    lookup=True,
)
def texture_class(sand_pct: float, silt_pct: float, clay_pct: float) -> str:
    """The USDA texture class of a soil.

    Source: Soil Survey Manual, USDA Handbook 18 (2017), chapter 3, texture classes.

    Args:
        sand_pct: sand, 0.05 to 2 mm, by weight [%].
        silt_pct: silt, 0.002 to 0.05 mm [%].
        clay_pct: clay, below 0.002 mm [%].

    Raises:
        OutsideRange: a part is outside 0 to 100, or the three do not come to 100 within 1.
    """
    whole = sand_pct + silt_pct + clay_pct
    if abs(whole - 100) > 1:
        raise OutsideRange("soilwater-not-100", whole=whole)
    # a report in whole percent may come to 99 or 101; the limits want 100
    parts = [100 * part / whole for part in (sand_pct, silt_pct, clay_pct)]
    return next(name for name, holds in CLASSES.items() if holds(*parts))


@formula(
    "1.14 * (-0.024 * sand_pct / 100 + 0.487 * clay_pct / 100 + 0.006 * om_pct"
    " + 0.005 * sand_pct / 100 * om_pct - 0.013 * clay_pct / 100 * om_pct"
    " + 0.068 * sand_pct / 100 * clay_pct / 100 + 0.031) - 0.02",
    unit="share",
    source="saxton-rawls-2006",
    valid=_SOIL,
)
def wilting_point(sand_pct: float, clay_pct: float, om_pct: float) -> float:
    """Water by volume at which plants wilt, 1,500 kPa. Source: Saxton and Rawls (2006), eq. 1.

    Args:
        sand_pct, clay_pct: by weight; clay to 60 [%].
        om_pct: organic matter by weight, to 8 [%].

    Raises:
        OutsideRange: an input is outside its range, sand and clay pass 100 %, or no water is left.
    """
    _whole(sand_pct, clay_pct)
    s, c = sand_pct / 100, clay_pct / 100
    first = -0.024 * s + 0.487 * c + 0.006 * om_pct
    first += 0.005 * s * om_pct - 0.013 * c * om_pct + 0.068 * s * c + 0.031
    answer = 1.14 * first - 0.02
    _in_order(0.0, answer, "wp_share")
    return answer


@formula(
    "(t := -0.251 * sand_pct / 100 + 0.195 * clay_pct / 100 + 0.011 * om_pct"
    " + 0.006 * sand_pct / 100 * om_pct - 0.027 * clay_pct / 100 * om_pct"
    " + 0.452 * sand_pct / 100 * clay_pct / 100 + 0.299)"
    " + 1.283 * t ** 2 - 0.374 * t - 0.015",
    unit="share",
    source="saxton-rawls-2006",
    valid=_SOIL,
)
def field_capacity(sand_pct: float, clay_pct: float, om_pct: float) -> float:
    """Water by volume that stays when the rest has drained, 33 kPa. Saxton and Rawls (2006), eq. 2.

    One public copy of the paper's code has 1.238 for 1.283; it gives 35.2 % for clay loam, where
    the paper prints 36.

    Args:
        sand_pct, clay_pct: by weight; clay to 60 [%].
        om_pct: organic matter by weight, to 8 [%].

    Raises:
        OutsideRange: an input is outside its range, or sand and clay pass 100 %.
    """
    _whole(sand_pct, clay_pct)
    s, c = sand_pct / 100, clay_pct / 100
    first = -0.251 * s + 0.195 * c + 0.011 * om_pct
    first += 0.006 * s * om_pct - 0.027 * c * om_pct + 0.452 * s * c + 0.299
    return first + 1.283 * first**2 - 0.374 * first - 0.015


@formula(
    "fc_share + 1.636 * (0.278 * sand_pct / 100 + 0.034 * clay_pct / 100 + 0.022 * om_pct"
    " - 0.018 * sand_pct / 100 * om_pct - 0.027 * clay_pct / 100 * om_pct"
    " - 0.584 * sand_pct / 100 * clay_pct / 100 + 0.078) - 0.107 - 0.097 * sand_pct / 100 + 0.043",
    unit="share",
    source="saxton-rawls-2006",
    valid=_SOIL | {"fc_share": _SHARE},
)
def saturation(fc_share: float, sand_pct: float, clay_pct: float, om_pct: float) -> float:
    """Water by volume when every pore is full. Source: Saxton and Rawls (2006), eq. 3 and 5.

    Args:
        fc_share: `field_capacity`.
        sand_pct, clay_pct: by weight; clay to 60 [%].
        om_pct: organic matter by weight, to 8 [%].

    Raises:
        OutsideRange: an input is outside its range, sand and clay pass 100 %, or nothing drains.
    """
    _whole(sand_pct, clay_pct)
    s, c = sand_pct / 100, clay_pct / 100
    first = 0.278 * s + 0.034 * c + 0.022 * om_pct
    first += -0.018 * s * om_pct - 0.027 * c * om_pct - 0.584 * s * c + 0.078
    answer = fc_share + 1.636 * first - 0.107 - 0.097 * s + 0.043
    _in_order(fc_share, answer, "sat_share")
    return answer


@formula(
    "2650 * (1 - sat_share)",
    unit="kg_m3",
    source="saxton-rawls-2006",
    valid={"sat_share": _SHARE},
)
def bulk_density(sat_share: float) -> float:
    """Weight of dry soil in its place [kg/m³]. Source: Saxton and Rawls (2006), eq. 6.

    Args:
        sat_share: `saturation`, which is all the pores.

    Raises:
        OutsideRange: a share that no soil has.
    """
    return 2650 * (1 - sat_share)


@formula(
    "1930 * (sat_share - fc_share) ** (3 - (log(fc_share) - log(wp_share)) / 3.816713)",
    unit="mm_h",
    source="saxton-rawls-2006",
    valid={"wp_share": _SHARE, "fc_share": _SHARE, "sat_share": _SHARE},
)
def saturated_conductivity(wp_share: float, fc_share: float, sat_share: float) -> float:
    """How fast water runs through when every pore is full [mm/h]. Saxton and Rawls, eq. 15 to 18.

    3.816713 is ln(1500) - ln(33).

    Args:
        wp_share: `wilting_point`.
        fc_share: `field_capacity`, above it.
        sat_share: `saturation`, above that.

    Raises:
        OutsideRange: a share that no soil has, or the three are not in order.
    """
    _in_order(wp_share, fc_share, "fc_share")
    _in_order(fc_share, sat_share, "sat_share")
    slope = (math.log(fc_share) - math.log(wp_share)) / 3.816713
    return float(1930 * (sat_share - fc_share) ** (3 - slope))


@formula(
    "20 - 0.15 * sand_pct if sand_pct >= 80 else"
    " (11 - 0.06 * clay_pct if clay_pct >= 50 else 8 + 0.08 * clay_pct)",
    unit="mm",
    source="ritchie-1989",
    valid={"sand_pct": _PCT, "clay_pct": _PCT},
)
def readily_evaporable(sand_pct: float, clay_pct: float) -> float:
    """Water that bare soil gives up at the full rate, before the drying slows [mm].

    Source: Ritchie and others (1989), as Allen and others (2005) use it for FAO-56. The classes of
    FAO-56 Table 19 all hold it (`evaporable_water`).

    Args:
        sand_pct, clay_pct: by weight [%].

    Raises:
        OutsideRange: an input is outside 0 to 100, or the two pass 100 %.
    """
    _whole(sand_pct, clay_pct)
    if sand_pct >= 80:
        return 20 - 0.15 * sand_pct
    return 11 - 0.06 * clay_pct if clay_pct >= 50 else 8 + 0.08 * clay_pct

"""The worked layer of a plot: what it holds, how fast it dries and how fast it drains.

The evaporation layer of FAO-56 (chapter 7, by equation number), with drainage at the pace of the
plot's class (docs/decisions/0010-drainage.md).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fencerow.figure import formula
from fencerow.science.weather import texture
from fencerow.words import OutsideRange

DEPTH_MM = 150.0
"""The layer unless told otherwise: FAO-56 takes 100 to 150 mm, and a disk goes about as deep."""

BARE_KC = 1.2
"""`kc_max` of bare ground in FAO-56's standard climate: wind 2 m/s, lowest humidity 45 %."""

_SHARE = (0.001, 0.8)


@formula(
    "depth_mm * (fc_share - 0.5 * wp_share)",
    unit="mm",
    source=("fao56", "pyfao56"),
    valid={"fc_share": _SHARE, "wp_share": _SHARE, "depth_mm": (50, 300)},
)
def total_evaporable(fc_share: float, wp_share: float, depth_mm: float) -> float:
    """The most that can evaporate from the layer after it was wetted [mm]. FAO-56 equation 73.

    Args:
        fc_share, wp_share: water at field capacity and at wilting point, by volume.
        depth_mm: depth of the layer, 50 to 300 [mm]; FAO-56 takes 100 to 150.

    Raises:
        OutsideRange: an input is outside its range, or field capacity is below wilting point.
    """
    if fc_share <= wp_share:
        raise OutsideRange("outside-range", name="fc_share", value=fc_share, low=wp_share, high=1)
    return depth_mm * (fc_share - 0.5 * wp_share)


@formula(
    "max(1.2 + (0.04 * (wind_2m_m_s - 2) - 0.004 * (rh_min_pct - 45))"
    " * (plant_height_m / 3) ** 0.3, kcb + 0.05)",
    unit="",
    source=("fao56", "pyfao56"),
    valid={
        "wind_2m_m_s": (1, 6), "rh_min_pct": (20, 80), "plant_height_m": (0, 10), "kcb": (0, 1.4),
    },
)  # fmt: skip
def kc_max(wind_2m_m_s: float, rh_min_pct: float, plant_height_m: float, kcb: float) -> float:
    """The most that wet ground and plants use, times reference ET. Source: FAO-56 equation 72.

    Args:
        wind_2m_m_s: wind at 2 m, 1 to 6 [m/s].
        rh_min_pct: the day's lowest relative humidity, 20 to 80 [%].
        plant_height_m: height of the plants, 0 for bare ground [m].
        kcb: basal crop coefficient.

    Raises:
        OutsideRange: an input is outside its range.
    """
    climate = 0.04 * (wind_2m_m_s - 2) - 0.004 * (rh_min_pct - 45)
    return max(1.2 + climate * math.pow(plant_height_m / 3, 0.3), kcb + 0.05)


@formula(
    "max(0, min(1, (tew_mm - depletion_mm) / (tew_mm - rew_mm)))",
    unit="",
    source=("fao56", "pyfao56"),
    valid={"depletion_mm": (-200, 200), "rew_mm": (0, 20), "tew_mm": (1, 200)},
)
def evaporation_reduction(depletion_mm: float, rew_mm: float, tew_mm: float) -> float:
    """How far a drying surface slows its evaporation, 1 to 0 (Kr). Source: FAO-56 equation 74.

    Args:
        depletion_mm: water lacking to field capacity [mm].
        rew_mm: `readily_evaporable` [mm].
        tew_mm: `total_evaporable` [mm].

    Raises:
        OutsideRange: an input is outside its range, or less can evaporate in all than readily.
    """
    if tew_mm <= rew_mm:
        raise OutsideRange("outside-range", name="tew_mm", value=tew_mm, low=rew_mm, high=200)
    return max(0.0, min(1.0, (tew_mm - depletion_mm) / (tew_mm - rew_mm)))


@formula(
    "min(1 - cover_share, wetted_share)",
    unit="share",
    source=("fao56", "pyfao56"),
    valid={"cover_share": (0, 0.99), "wetted_share": (0.01, 1)},
)
def exposed_share(cover_share: float, wetted_share: float) -> float:
    """The share of the ground that is both wet and open to the sun (few). FAO-56 equation 75.

    Args:
        cover_share: ground that plants shade.
        wetted_share: ground that was wetted; all of it by rain.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return min(1 - cover_share, wetted_share)


@formula(
    "max(2, (sat_share - fc_share) * depth_mm / ks_mm_h)",
    unit="h",
    source="swat",
    valid={
        "sat_share": _SHARE, "fc_share": _SHARE, "depth_mm": (50, 300), "ks_mm_h": (0.01, 1000),
    },
)  # fmt: skip
def travel_time(sat_share: float, fc_share: float, depth_mm: float, ks_mm_h: float) -> float:
    """How long water above field capacity takes through the layer [h]. Source: SWAT, percmicro.

    Args:
        sat_share, fc_share: water at saturation and at field capacity, by volume.
        depth_mm: depth of the layer [mm].
        ks_mm_h: `saturated_conductivity` [mm/h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return max(2.0, (sat_share - fc_share) * depth_mm / ks_mm_h)


@formula(
    "max(travel_h, to_fc_h / 3)",
    unit="h",
    source="judgement",
    basis="common practice",
    valid={"travel_h": (0, 5000), "to_fc_h": (0, 5000)},
)
def drain_time(travel_h: float, to_fc_h: float) -> float:
    """The time in which a plot sheds all but 1/e of its excess [h].

    A judgement: after three such times 5 % is left, which is called field capacity; the hours that
    the plot's drainage class takes to get there are a row of `drainage`.

    Args:
        travel_h: `travel_time` of the texture [h].
        to_fc_h: hours from soaked to field capacity, by the drainage class [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return max(travel_h, to_fc_h / 3)


@formula(
    "excess_mm * (1 - exp(-24 / drain_h))",
    unit="mm",
    source="swat",
    valid={"excess_mm": (0, 300), "drain_h": (0.1, 5000)},
)
def drained(excess_mm: float, drain_h: float) -> float:
    """What drains out of the layer in a day [mm]. Source: SWAT, percmicro.

    Args:
        excess_mm: water above field capacity [mm].
        drain_h: `drain_time` [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return excess_mm * (1 - math.exp(-24 / drain_h))


@dataclass(frozen=True)
class Layer:
    """The worked layer of one plot; `curve_number` None where nothing runs off."""

    wp_share: float
    fc_share: float
    sat_share: float
    rew_mm: float
    drain_h: float
    depth_mm: float = DEPTH_MM
    curve_number: float | None = None
    kc_max: float = BARE_KC
    kcb: float = 0.0
    few_share: float = 1.0

    @property
    def tew_mm(self) -> float:
        return total_evaporable(self.fc_share, self.wp_share, self.depth_mm)

    @property
    def room_mm(self) -> float:
        """Room for water above field capacity."""
        return (self.sat_share - self.fc_share) * self.depth_mm


def layer_of(
    sand_pct: float,
    clay_pct: float,
    om_pct: float,
    to_fc_h: float,
    depth_mm: float = DEPTH_MM,
    curve_number: float | None = None,
) -> Layer:
    """The worked layer of bare ground from its texture and its drainage class.

    Args:
        sand_pct, clay_pct, om_pct: of a soil test, or the middle of a class (`soil_textures`) [%].
        to_fc_h: hours from soaked to field capacity, a row of `drainage` [h].
        depth_mm: depth of the layer [mm].
        curve_number: a row of `curve_numbers`; None where nothing runs off.

    Raises:
        OutsideRange: as the functions of `texture` do.
    """
    wp = texture.wilting_point(sand_pct, clay_pct, om_pct)
    fc = texture.field_capacity(sand_pct, clay_pct, om_pct)
    full = texture.saturation(fc, sand_pct, clay_pct, om_pct)
    ks = texture.saturated_conductivity(wp, fc, full)
    drains = drain_time(travel_time(full, fc, depth_mm, ks), to_fc_h)
    rew = texture.readily_evaporable(sand_pct, clay_pct)
    return Layer(wp, fc, full, rew, drains, depth_mm, curve_number)

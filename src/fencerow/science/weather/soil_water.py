"""Water in the layer of soil that is worked, day by day, for all plots and years at once.

The evaporation layer of FAO-56 (chapter 7, by equation number) with one addition: FAO-56 lets all
water above field capacity go at once, and here it drains at the pace of the plot's drainage class
(docs/decisions/0010-drainage.md). One number is the state: the depletion, how much water is lacking
to field capacity [mm], below 0 while water still drains. A day goes: rain less runoff comes in,
some of the excess drains, the surface evaporates. Snow counts as rain on the day that it falls.

A day whose rain or evapotranspiration is not known is never taken as dry. The layer is then run
twice, as wet and as dry as it can be, and the state is known again when the two have met: after
rain enough to fill the layer, or days enough to dry it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from fencerow.figure import formula
from fencerow.science.weather import texture
from fencerow.science.weather.runoff import runoff, storage
from fencerow.science.weather.series import Bools, Floats, Times
from fencerow.words import OutsideRange

DEPTH_MM = 150.0
"""The layer unless told otherwise: FAO-56 takes 100 to 150 mm, and a disk goes about as deep."""

BARE_KC = 1.2
"""`kc_max` of bare ground in FAO-56's standard climate: wind 2 m/s, lowest humidity 45 %."""

SURE_MM = 1.0
"""The wettest and the driest the layer can be are one, when they are no further apart than this."""

Cells: TypeAlias = float | Floats

_BEYOND_MM = 1e4  # more than any layer holds or any sky takes
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


class LayerDay(NamedTuple):
    """One day of a layer, in the columns of FAO-56 example 35."""

    start_mm: float
    kr: float
    ke: float
    evaporation_mm: float
    end_mm: float
    drained_mm: float
    spilled_mm: float


@formula(
    "FAO-56 equations 71, 74 and 77 to 79, with drainage at the pace of the plot",
    unit="",
    source=("fao56", "pyfao56", "swat"),
    lookup=True,
)
def layer_day(
    depletion_mm: float,
    water_mm: float,
    eto_mm_day: float,
    kcb: float,
    kc_max: float,
    few_share: float,
    rew_mm: float,
    tew_mm: float,
    room_mm: float,
    drain_h: float,
    rain_first: bool = True,
) -> LayerDay:
    """One day of the layer. Source: FAO-56 chapter 7, equations 71, 74 and 77 to 79.

    Args:
        depletion_mm: at the end of the day before [mm].
        water_mm: rain and irrigation less runoff, over the wetted share [mm].
        eto_mm_day: reference evapotranspiration [mm/day].
        kcb, kc_max, few_share: `kc_max`, `exposed_share` and the basal coefficient.
        rew_mm, tew_mm: readily and in all evaporable water [mm].
        room_mm: room for water above field capacity [mm].
        drain_h: `drain_time` [h].
        rain_first: the rain comes early and dampens the whole day, as in example 35; otherwise the
            surface dries as wet as it was before the rain.
    """
    soil = _Soil(kcb, kc_max, few_share, rew_mm, tew_mm, room_mm, 1 - math.exp(-24 / drain_h))
    _, *day = _step(depletion_mm, water_mm, eto_mm_day, soil, rain_first)
    return LayerDay(*(float(value) for value in day))


class _Soil(NamedTuple):
    """What a step needs of each plot, as numbers or as columns [plot, 1]."""

    kcb: Cells
    kc_max: Cells
    few: Cells
    rew: Cells
    tew: Cells
    room: Cells
    gone: Cells


def _step(
    depletion: Cells, water: Cells, eto: Cells, soil: _Soil, rain_first: bool
) -> tuple[Cells, Cells, Cells, Cells, Cells, Cells, Cells, Cells]:
    wetted = depletion - water
    spilled = np.maximum(0.0, -soil.room - wetted)
    wetted = wetted + spilled
    drained_mm = np.maximum(0.0, -wetted) * soil.gone
    start = wetted + drained_mm
    rules = start if rain_first else depletion
    kr = np.clip((soil.tew - rules) / (soil.tew - soil.rew), 0.0, 1.0)
    ke = np.minimum(kr * (soil.kc_max - soil.kcb), soil.few * soil.kc_max)
    # the open ground gives it all, and no more than it has
    taken = np.minimum(ke * eto / soil.few, soil.tew - start)
    return wetted, start, kr, ke, taken * soil.few, start + taken, drained_mm, spilled


@dataclass(frozen=True, eq=False)
class Course:
    """How the water of each plot goes, in arrays [plot, year, day].

    `midday_mm` lies halfway between the depletion after the day's rain and that of the evening.
    """

    midday_mm: Floats
    evening_mm: Floats
    evaporation_mm: Floats
    drained_mm: Floats
    runoff_mm: Floats


@dataclass(frozen=True, eq=False)
class LayerWater:
    """The wettest and the driest that the layers can have been; one and the same where known."""

    wettest: Course
    driest: Course

    @property
    def known(self) -> Bools:
        """Where the two are within `SURE_MM` at the end of the day."""
        known: Bools = self.driest.evening_mm - self.wettest.evening_mm <= SURE_MM
        return known

    @property
    def depletion_mm(self) -> Floats:
        """Water lacking to field capacity in the evening; NaN where it is not known."""
        middle = (self.driest.evening_mm + self.wettest.evening_mm) / 2
        return np.where(self.known, middle, np.nan)


def layer_water(
    layers: Sequence[Layer],
    rain_mm: Floats,
    eto_mm_day: Floats,
    start_mm: float | tuple[Floats, Floats] | None = None,
    rain_first: bool = True,
) -> LayerWater:
    """The water of every plot through every year.

    Args:
        layers: one for each plot.
        rain_mm: rain [year, day]; NaN where it is not known [mm].
        eto_mm_day: reference evapotranspiration [year, day]; NaN where it is not known [mm/day].
        start_mm: depletion on the evening before the first day, or the wettest and the driest that
            it can have been on each plot; None where it is not known, so that the first weeks may
            not be either [mm].
        rain_first: see `layer_day`.

    Raises:
        ValueError: the two arrays differ in shape.
    """
    if rain_mm.shape != eto_mm_day.shape or rain_mm.ndim != 2:
        raise ValueError(f"rain is {rain_mm.shape}, evapotranspiration {eto_mm_day.shape}")
    columns = _columns(layers)
    net, lost = _infiltrating(layers, rain_mm)
    eto = np.ascontiguousarray(eto_mm_day.T)[:, None, :]
    first = _starts(columns, start_mm)
    same = first[0] is first[1]
    gaps = not same or bool(np.isnan(net).any() or np.isnan(eto).any())
    # unknown rain fills the layer, or there was none; unknown sun was none, or dries it out
    wettest = _course(
        columns, first[0], _filled(net, _BEYOND_MM), _filled(eto, 0.0), lost, rain_first
    )
    driest = wettest
    if gaps:
        driest = _course(
            columns, first[1], _filled(net, 0.0), _filled(eto, _BEYOND_MM), lost, rain_first
        )
    return LayerWater(wettest, driest)


def _starts(columns: _Soil, start_mm: float | tuple[Floats, Floats] | None) -> tuple[Cells, Cells]:
    """The wettest and the driest start, each a column of plots or one number for all."""
    if start_mm is None:
        return -columns.room, columns.tew
    if isinstance(start_mm, tuple):
        return start_mm[0][:, None], start_mm[1][:, None]
    return start_mm, start_mm


def _columns(layers: Sequence[Layer]) -> _Soil:
    rows = [
        (a.kcb, a.kc_max, a.few_share, a.rew_mm, a.tew_mm, a.room_mm, 1 - np.exp(-24 / a.drain_h))
        for a in layers
    ]
    return _Soil(*np.array(rows, dtype=np.float64).T[:, :, None])


def _infiltrating(layers: Sequence[Layer], rain_mm: Floats) -> tuple[Floats, Floats]:
    """Rain less runoff, and runoff, both [day, plot, year]."""
    rain = np.ascontiguousarray(rain_mm.T)
    lost = np.zeros((rain.shape[0], len(layers), rain.shape[1]))
    for plot, layer in enumerate(layers):
        if layer.curve_number is not None:
            lost[:, plot] = runoff(rain, float(storage(layer.curve_number)))
    lost[np.broadcast_to(np.isnan(rain)[:, None, :], lost.shape)] = np.nan
    return rain[:, None, :] - lost, lost


def _filled(values: Floats, stand_in: float) -> Floats:
    return np.where(np.isnan(values), stand_in, values)


def _course(
    soil: _Soil, first: Cells, net: Floats, eto: Floats, lost: Floats, rain_first: bool
) -> Course:
    days, plots, years = net.shape
    out = np.empty((5, days, plots, years))
    depletion: Cells = np.broadcast_to(np.asarray(first, dtype=np.float64), (plots, years))
    for day in range(days):
        wetted, _, _, _, evaporated, depletion, drained_mm, spilled = _step(
            depletion, net[day], eto[day], soil, rain_first
        )
        out[:, day] = (
            (wetted + depletion) / 2, depletion, evaporated, drained_mm, lost[day] + spilled,
        )  # fmt: skip
    return Course(*out.transpose(0, 2, 3, 1))


class SeasonRows(NamedTuple):
    """Values of a record cut into seasons [year, day], and the year in which each one starts."""

    years: npt.NDArray[np.int64]
    values: Floats


def season_rows(dates: Times, values: Floats, month: int, day: int, length_days: int) -> SeasonRows:
    """Cut a daily record into seasons of so many days; only seasons that it spans whole.

    Args:
        dates: days, one after the other.
        values: the value of each; NaN stays NaN.
        month, day: the first day of a season; 29 February is 1 March where there is none.
        length_days: how long a season is.
    """
    years = np.unique(dates.astype("datetime64[Y]")).astype(np.int64) + 1970
    starts = np.array([f"{y}-{month:02d}-01" for y in years], "datetime64[D]")
    starts = starts + np.timedelta64(day - 1, "D")
    at = (starts - dates[0]) // np.timedelta64(1, "D")
    whole = (at >= 0) & (at + length_days <= len(values))
    cells = at[whole, None] + np.arange(length_days)
    return SeasonRows(years[whole], np.asarray(values, dtype=np.float64)[cells])

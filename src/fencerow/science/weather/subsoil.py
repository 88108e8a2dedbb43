"""The zone below that keeps the ground wet in spring: refilled by winter, dry when it has drained.

A published criterion of days for work asks for each of the three upper zones of the soil, an eighth
of four inches of available water the third, to hold no more than 95 % of field capacity; the third
only in loams and heavier soils (Rutledge and McHardy, in Baier 1973). The zones above it are one
layer here (`layer_water`); what drains out of them fills it, and what evaporates from so deep is
little. Once dry in spring it counts as dry until December, and from July on in any case: roots keep
it so, which a balance of bare ground does not know (docs/decisions/0029-snow-and-subsoil.md).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from fencerow.figure import formula
from fencerow.science.weather.layer import Layer
from fencerow.science.weather.series import Bools, Floats
from fencerow.science.weather.soil_water import Course, layer_water
from fencerow.science.weather.workability import Verdict, judged
from fencerow.words import OutsideRange

Ints: TypeAlias = npt.NDArray[np.int64]

UPPER_MM, LOWER_MM = 12.7, 25.4
"""Available water of the two upper zones, and of the three: 1/8 and 1/4 of four inches."""

WET_SHARE = 0.95
WINTER = (12, 1, 2)
"""In these months the zone counts as full to field capacity, a judgement for the northern states:
little evaporates, and rain and melt go down."""

GROWN = (7, 8, 9, 10, 11)
"""In these months roots have dried it, whatever grew; a judgement: more than three days in four of
fall suit field work (Illinois), which a wet zone below would not allow."""


@formula(
    "available_mm / (fc_share - wp_share)",
    unit="mm",
    source=("baier-1973", "from-memory"),
    basis="from memory",
    valid={"available_mm": (1, 102), "fc_share": (0.05, 0.6), "wp_share": (0.0, 0.4)},
)
def zone_bottom(available_mm: float, fc_share: float, wp_share: float) -> float:
    """How deep a zone reaches that holds so much available water with those above it [mm].

    Source: Baier 1973 for the four inches; how they are shared among the zones is from memory.

    Args:
        available_mm: available water down to its bottom [mm].
        fc_share, wp_share: water at field capacity and at wilting point, by volume.

    Raises:
        OutsideRange: an input is outside its range, or field capacity is below wilting point.
    """
    if fc_share <= wp_share:
        raise OutsideRange("outside-range", name="fc_share", value=fc_share, low=wp_share, high=1)
    return available_mm / (fc_share - wp_share)


@formula(
    "depth_mm / (depth_mm + exp(2.374 - 0.00713 * depth_mm))",
    unit="share",
    source="swat",
    valid={"depth_mm": (0, 2000)},
)
def evaporates_above(depth_mm: float) -> float:
    """The share of the soil's evaporation that comes from above a depth. Source: SWAT, 2.2.16.

    Args:
        depth_mm: the depth [mm].

    Raises:
        OutsideRange: the depth is outside its range.
    """
    return depth_mm / (depth_mm + math.exp(2.374 - 0.00713 * depth_mm))


class ZoneCourse(NamedTuple):
    """How the third zones go, in arrays [plot, year, day] of evenings; cut at a day, where they
    stand on it: what the zones above lack, what they lack themselves [mm], and whether they have
    been dry since the last winter."""

    above_mm: Floats
    lacking_mm: Floats
    dry: Bools

    def at(self, day: int, plots: Sequence[int] | slice = slice(None)) -> ZoneCourse:
        """Where those of all plots, or of some, stand on an evening of the first year [plot]."""
        return ZoneCourse(
            self.above_mm[plots, 0, day], self.lacking_mm[plots, 0, day], self.dry[plots, 0, day]
        )


Courses: TypeAlias = tuple[ZoneCourse, ZoneCourse]
"""The wettest course and the driest."""


def dried_since_winter(
    layers: Sequence[Layer], reaching_mm: Floats, eto_mm_day: Floats, months: Ints
) -> Verdict:
    """Where the third zone has been below 95 % of field capacity since winter; see `zones_below`.

    Days before the first winter count as dry.
    """
    wettest, driest = zones_below(layers, reaching_mm, eto_mm_day, months)
    return judged(wettest.dry, driest.dry)


def zones_below(
    layers: Sequence[Layer], reaching_mm: Floats, eto_mm_day: Floats, months: Ints,
    start: Courses | None = None,
) -> Courses:  # fmt: skip
    """The third zone of each plot through every year, as wet and as dry as it can have been.

    Args:
        layers: the worked layer of each plot; their zones follow from what they hold.
        reaching_mm: rain and melt that reach the ground [year, day]; NaN: not known [mm].
        eto_mm_day: reference evapotranspiration [year, day]; NaN: not known [mm/day].
        months: the month of each day, 1 to 12 [day].
        start: where each plot's stands the evening before; full, and dry, where left out.
    """
    tops = [zone_bottom(UPPER_MM, a.fc_share, a.wp_share) for a in layers]
    ends = [zone_bottom(LOWER_MM, a.fc_share, a.wp_share) for a in layers]
    upper = [replace(a, depth_mm=top) for a, top in zip(layers, tops, strict=True)]
    begun = 0.0 if start is None else (start[0].above_mm, start[1].above_mm)
    water = layer_water(upper, reaching_mm, eto_mm_day, begun)
    zones = _Zones(layers, np.array(tops), np.array(ends))
    wet, dry = (None, None) if start is None else start
    return (
        zones.course(water.wettest, np.nan_to_num(eto_mm_day), months, wet),
        zones.course(water.driest, np.where(np.isnan(eto_mm_day), 15.0, eto_mm_day), months, dry),
    )


class _Zones:
    """The third zones of the plots, as columns [plot, 1]."""

    def __init__(self, layers: Sequence[Layer], tops: Floats, ends: Floats) -> None:
        thick = (ends - tops)[:, None]
        fc = np.array([a.fc_share for a in layers])[:, None]
        self.room = np.array([a.sat_share for a in layers])[:, None] * thick - fc * thick
        self.most = LOWER_MM - UPPER_MM
        self.wanted = (1 - WET_SHARE) * fc * thick
        self.gone = 1 - np.exp(-24 / np.array([a.drain_h for a in layers]))[:, None]
        shares = [
            (evaporates_above(end) - evaporates_above(top)) * a.kc_max
            for a, top, end in zip(layers, tops, ends, strict=True)
        ]
        self.share = np.array(shares)[:, None]

    def course(
        self, above: Course, eto: Floats, months: Ints, start: ZoneCourse | None
    ) -> ZoneCourse:
        """Day by day, below zones that go so."""
        plots, years, days = above.drained_mm.shape
        lack, dried = np.empty((plots, years, days)), np.empty((plots, years, days), dtype=bool)
        lacking, dry = np.zeros((plots, years)), np.ones((plots, years), dtype=bool)
        if start is not None:
            lacking, dry = start.lacking_mm[:, None], start.dry[:, None]
        for day in range(days):
            lacking = np.maximum(lacking - above.drained_mm[:, :, day], -self.room)
            lacking = lacking + np.maximum(0.0, -lacking) * self.gone
            lacking = np.minimum(lacking + self.share * eto[None, :, day], self.most)
            if months[day] in WINTER:
                lacking, dry = np.minimum(lacking, 0.0), np.zeros_like(dry)
            dry = dry | (lacking >= self.wanted) | (months[day] in GROWN)
            lack[:, :, day], dried[:, :, day] = lacking, dry
        return ZoneCourse(above.evening_mm, lack, dried)

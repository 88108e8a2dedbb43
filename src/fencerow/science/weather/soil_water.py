"""Water in the layer of soil that is worked, day by day, for all plots and years at once.

`layer_day` over days, with one addition to FAO-56: it lets all water above field capacity go at
once, and here it drains at the pace of the plot's drainage class (docs/decisions/0010-drainage.md).

A day whose rain or evapotranspiration is not known is never taken as dry. The layer is then run
twice, as wet and as dry as it can be, and the state is known again when the two have met: after
rain enough to fill the layer, or days enough to dry it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fencerow.science.weather.layer import Layer
from fencerow.science.weather.layer_day import Cells, Columns, step
from fencerow.science.weather.runoff import runoff, storage
from fencerow.science.weather.series import Bools, Floats

SURE_MM = 1.0
"""The wettest and the driest the layer can be are one, when they are no further apart than this."""

_BEYOND_MM = 1e4  # more than any layer holds or any sky takes


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


def _starts(
    columns: Columns, start_mm: float | tuple[Floats, Floats] | None
) -> tuple[Cells, Cells]:
    """The wettest and the driest start, each a column of plots or one number for all."""
    if start_mm is None:
        return -columns.room, columns.tew
    if isinstance(start_mm, tuple):
        return start_mm[0][:, None], start_mm[1][:, None]
    return start_mm, start_mm


def _columns(layers: Sequence[Layer]) -> Columns:
    rows = [
        (a.kcb, a.kc_max, a.few_share, a.rew_mm, a.tew_mm, a.room_mm, 1 - np.exp(-24 / a.drain_h))
        for a in layers
    ]
    return Columns(*np.array(rows, dtype=np.float64).T[:, :, None])


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
    soil: Columns, first: Cells, net: Floats, eto: Floats, lost: Floats, rain_first: bool
) -> Course:
    days, plots, years = net.shape
    out = np.empty((5, days, plots, years))
    depletion: Cells = np.broadcast_to(np.asarray(first, dtype=np.float64), (plots, years))
    for day in range(days):
        wetted, _, _, _, evaporated, depletion, drained_mm, spilled = step(
            depletion, net[day], eto[day], soil, rain_first
        )
        out[:, day] = (
            (wetted + depletion) / 2, depletion, evaporated, drained_mm, lost[day] + spilled,
        )  # fmt: skip
    return Course(*out.transpose(0, 2, 3, 1))

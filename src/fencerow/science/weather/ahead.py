"""The water of today, and how it may go on from here: each past year continued from today's state.

What fell is run once, up to last evening. From there every year of the record lends its coming days
to the same soil, so that the answer is a spread of days and not one of them. Where last evening is
not known, both ends of what it can have been are run, and the spread is as wide as they are apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather._arrays import quantile_of
from fencerow.science.weather.layer import Layer
from fencerow.science.weather.series import Bools, Floats
from fencerow.science.weather.soil_water import SURE_MM, LayerWater, layer_water
from fencerow.words import OutsideRange

_BALANCE = ("fao56", "pyfao56", "swat")
Layers = Sequence[Layer | Mapping[str, Any]]


@formula(
    "the layer day by day, by FAO-56 chapter 7, as wet and as dry as it can have been",
    unit="mm",
    source=_BALANCE,
    lookup=True,
)
def water_to_date(
    layers: Layers, rain_mm: Floats | Sequence[float], eto_mm_day: Floats | Sequence[float]
) -> LayerWater:
    """The water of each plot through the days that are over [plot, 1, day]; see `layer_water`.

    Args:
        layers: one for each plot.
        rain_mm: rain of each day; NaN where it is not known [mm].
        eto_mm_day: reference evapotranspiration of each day; NaN where it is not known [mm/day].
    """
    rain = np.asarray(rain_mm, dtype=np.float64)[None]
    return layer_water(_layers(layers), rain, np.asarray(eto_mm_day, dtype=np.float64)[None])


@formula(
    "each past year's coming days, from the water of last evening on",
    unit="mm",
    source=_BALANCE,
    lookup=True,
)
def water_ahead(
    layers: Layers,
    wettest_mm: Floats | Sequence[float],
    driest_mm: Floats | Sequence[float],
    rain_mm: Floats | Sequence[Sequence[float]],
    eto_mm_day: Floats | Sequence[Sequence[float]],
) -> LayerWater:
    """The water of each plot as each year would take it on from here [plot, year, day].

    Args:
        layers: one for each plot.
        wettest_mm, driest_mm: depletion of each plot last evening, at the wettest and the driest
            that it can have been [mm].
        rain_mm: rain of the coming days in each year [year, day] [mm].
        eto_mm_day: reference evapotranspiration of those days [year, day] [mm/day].
    """
    start = (np.asarray(wettest_mm, dtype=np.float64), np.asarray(driest_mm, dtype=np.float64))
    rain, eto = (np.asarray(a, dtype=np.float64) for a in (rain_mm, eto_mm_day))
    return layer_water(_layers(layers), rain, eto, start)


def _layers(layers: Layers) -> list[Layer]:
    return [a if isinstance(a, Layer) else Layer(**a) for a in layers]


@formula(
    "the depletion at midday; not known where the wettest and the driest course are apart",
    unit="mm",
    source="definition",
    basis="definition",
    lookup=True,
)
def midday_known(wettest_mm: float, driest_mm: float) -> float:
    """The midday depletion of a day, from the two ends of what it can have been [mm].

    By the rule of docs/decisions/0010-drainage.md.

    Args:
        wettest_mm, driest_mm: midday depletion of the two courses [mm].

    Raises:
        OutsideRange: they are more than 1 mm apart.
    """
    if not driest_mm - wettest_mm <= SURE_MM:
        raise OutsideRange("likely-water-unknown")
    return (wettest_mm + driest_mm) / 2


@formula(
    "the amount that so large a share of the years stays at or below, linear between the years",
    unit="mm",
    source="definition",
    basis="definition",
    valid={"share": (0.0, 1.0)},
    lookup=True,
)
def across_years(amounts_mm: Floats | Sequence[float], share: float) -> float:
    """A quantile over the years [mm]. By definition of the quantile.

    Args:
        amounts_mm: one for each year; NaN where it is not known [mm].
        share: share of the years, 0 to 1.

    Raises:
        OutsideRange: a share outside 0 to 1, no year, or a year in which it is not known.
    """
    amounts = np.asarray(amounts_mm, dtype=np.float64)
    if not len(amounts) or np.isnan(amounts).any():
        raise OutsideRange("likely-water-unknown")
    return quantile_of(amounts, share)


@formula(
    "the days until so large a share of the years has had a fit day",
    unit="days",
    source="definition",
    basis="definition",
    valid={"share": (0.01, 1.0)},
    lookup=True,
)
def first_fit(fit: Bools | Sequence[Sequence[bool]], share: float) -> float:
    """Days from today to the first fit one, as a quantile over the years [days]. By definition.

    Args:
        fit: whether each of the coming days is fit [year, day]; today is the first.
        share: share of the years that are to have had one, 0.01 to 1.

    Raises:
        OutsideRange: a share outside its range, no year, or fewer of them have one in these days.
    """
    days = np.asarray(fit, dtype=bool)
    if not len(days):
        raise OutsideRange("soilwater-no-years")
    first = np.where(days.any(axis=1), days.argmax(axis=1), days.shape[1])
    found = np.sort(first)[math.ceil(share * len(first)) - 1]
    if found == days.shape[1]:
        raise OutsideRange("likely-none-in-sight", days=int(found))
    return float(found)


@formula(
    "the years in which it is fit", unit="years", source="definition", basis="definition",
    lookup=True,
)  # fmt: skip
def years_fit(fit: Bools | Sequence[bool]) -> int:
    """In how many years a day is fit [years]. By definition.

    Args:
        fit: whether it is, in each year.
    """
    return int(np.count_nonzero(fit))


@formula(
    "the years in which the rain of these days is enough, and not too much",
    unit="years",
    source="definition",
    basis="definition",
    lookup=True,
)
def years_of_rain(
    rain_mm: Floats | Sequence[Sequence[float]], least_mm: float, most_mm: float | None = None
) -> int:
    """In how many years so much rain falls over some days [years]. By definition.

    A year in which a day is not known counts where the others are enough by themselves.

    Args:
        rain_mm: rain of the days in each year [year, day]; NaN where it is not known [mm].
        least_mm: what is enough [mm].
        most_mm: more than this does not count; None for no bound [mm].
    """
    rain = np.asarray(rain_mm, dtype=np.float64)
    total, known = np.nansum(rain, axis=1), ~np.isnan(rain).any(axis=1)
    if most_mm is None:
        return int(np.count_nonzero(total >= least_mm))
    return int(np.count_nonzero(known & (total >= least_mm) & (total <= most_mm)))

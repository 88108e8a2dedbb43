"""The limits of the plots as they stand, published or moved by the person's verdicts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.work.fitness import Soil, soils_of


@dataclass(frozen=True)
class Scored:
    """A verdict beside what the model held: the day's water, the limit before and after it."""

    name: str
    on: date
    job: str
    fit: bool
    water: Figure
    before: Figure | None
    after: Figure | None
    agreed: Figure | None


@dataclass(frozen=True)
class Limits:
    """What a plot must lack to field capacity for tillage and for wheels; the most water that its
    layer may hold for tillage; the layer's water at field capacity, and its depth."""

    tillage: Figure
    traffic: Figure
    most_water: Figure
    holds: Figure
    depth: Figure


@dataclass(frozen=True)
class Verdicts:
    """The limits of every plot as they stand, and every verdict scored."""

    limits: Mapping[str, Limits]
    scored: Mapping[str, Scored]


def soils_after(given: Given, earlier: Mapping[str, Section]) -> dict[str, Soil]:
    """The layers of the plots, with the limits that the verdicts left."""
    limits = limits_of(earlier)
    return {
        place: replace(
            soil,
            tillage_mm=limits[place].tillage.number(),
            traffic_mm=limits[place].traffic.number(),
        )
        for place, soil in soils_of(given).items()
    }


def limits_of(earlier: Mapping[str, Section]) -> Mapping[str, Limits]:
    """The limits of the plots whose soil is known."""
    body: Verdicts = earlier["verdicts"].body
    return body.limits

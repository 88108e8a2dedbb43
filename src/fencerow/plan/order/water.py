"""Water near a plot, and phosphorus that should not be added to for its sake."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from fencerow.data import Row, Tables
from fencerow.figure import Figure, work
from fencerow.manner import Amount
from fencerow.plan.ground import outline
from fencerow.plan.section import Said, Weight
from fencerow.science.ground.measure import gap_ft
from fencerow.science.soil import nutrients
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot

_LEAST_FT_A_DEGREE = 362_000.0
"""A degree of latitude is nowhere less on the ellipsoid."""
NEAR_FT = 100.0
"""Water as near as this is worth asking about; which distance is to be kept is the state's rule."""


@dataclass(frozen=True)
class NearWater:
    """A water that a plot comes near, and how near."""

    name: str
    distance: Figure


def near_water(tract: Tract, plot: Kept[Plot]) -> dict[str, NearWater]:
    """The drawn waters that a plot comes near, or nearer than their setback, by id."""
    found: dict[str, NearWater] = {}
    if plot.body.shape is None:
        return found
    field = plot.body.shape.geometry()
    for kept in tract.waters:
        assert kept.body.shape is not None
        reach_ft = max(NEAR_FT, kept.body.setback_ft or 0.0)
        if _far(field, kept.body.shape.geometry(), reach_ft):
            continue
        distance = work(gap_ft, outline=outline(plot), other=outline(kept))
        if distance.number() <= reach_ft:
            found[kept.id] = NearWater(kept.body.name, distance)
    return found


def _far(a: BaseGeometry, b: BaseGeometry, reach_ft: float) -> bool:
    """Whether two outlines are surely out of reach: by their bounds, without measuring."""
    west, south, east, north = a.bounds
    west_b, south_b, east_b, north_b = b.bounds
    lat = reach_ft / _LEAST_FT_A_DEGREE
    lon = lat / max(0.01, math.cos(math.radians(max(abs(south), abs(north)) + lat)))
    return (
        west_b > east + lon or east_b < west - lon or south_b > north + lat or north_b < south - lat
    )


def water_said(tract: Tract, plot: Kept[Plot], near: Mapping[str, NearWater]) -> Iterator[Said]:
    """How near each water is, and what is to be kept off it or asked."""
    for kept in tract.waters:
        water, setback = near.get(kept.id), kept.body.setback_ft
        if water is None:
            continue
        distance = Amount(water.distance.number(), "ft")
        names = {"place": plot.body.name, "water": water.name}
        if setback is None:
            yield Said.of(Weight.ASK, plot.id, "water-ask", kept.entry, **names,
                          distance=distance)  # fmt: skip
        elif water.distance.number() < setback:
            yield Said.of(Weight.CAUTION, plot.id, "water-setback", kept.entry, **names,
                          distance=distance, setback=Amount(setback, "ft"))  # fmt: skip


def high_phosphorus(tables: Tables, test: Kept[SoilTest] | None) -> list[Row]:
    """The published limits that a soil test is at or above, the lowest first."""
    if test is None or test.body.p is None or test.body.p_unit == "index":
        return []
    reading = test.figure("p", "measured", unit=test.body.p_unit)
    if test.body.p_unit == "lb_ac":
        reading = work(nutrients.ppm_of_lb_ac, element_lb_ac=reading)
    if not reading.known:
        return []
    rows = [r for r in tables["phosphorus_limits"] if r.text("test") == test.body.extractant]
    met = [r for r in rows if (r.number("limit_ppm") or 0.0) <= reading.number()]
    return sorted(met, key=lambda r: r.number("limit_ppm") or 0.0)


def phosphorus_said(
    tables: Tables, plot: Kept[Plot], test: Kept[SoilTest] | None, p2o5: list[Figure]
) -> Iterator[Said]:
    """That no more phosphorus should go on, where a test is over a published limit or a table
    gives none."""
    met = high_phosphorus(tables, test)
    assert test is not None or not met
    if met and test is not None:
        limits = "; ".join(
            f"{row.text('region')}, {Amount(row.number('limit_ppm') or 0.0, 'ppm')}" for row in met
        )
        yield Said.of(Weight.CAUTION, plot.id, "phosphorus-high", test.entry,
                      place=plot.body.name, limits=limits)  # fmt: skip
    elif p2o5 and all(f.known and f.number() <= 0 for f in p2o5):
        yield Said.of(Weight.NOTE, plot.id, "phosphorus-enough", place=plot.body.name)

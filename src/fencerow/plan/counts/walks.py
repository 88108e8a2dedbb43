"""How a count is walked: the spots of the throws on a way across the place, and from each to the
next so many steps in which direction."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from fencerow.data import Tables
from fencerow.figure import Figure, assume
from fencerow.plan.ground import AREAS
from fencerow.science.ground.measure import bearing_deg, distance_yd
from fencerow.science.ground.zigzag import spots_along
from fencerow.tract.model import Tract
from fencerow.tract.places import NativeGrass, PlaceBase, Plot

FT_A_YARD = 3
STEPS = "cover by steps"
DRAWN = 20
"""Looks of a step count are too many to draw: its way is drawn by so many spots."""


@dataclass(frozen=True)
class Way:
    """A way of counting: how many throws, and what a throw is."""

    method: str
    throws: int
    cells: int | None
    frame_ft2: float | None
    note: str

    @property
    def spots(self) -> int:
        """How many spots its walk has."""
        return DRAWN if self.method == STEPS else self.throws


@dataclass(frozen=True)
class Spot:
    """A spot of the walk, and how one comes there from the one before: steps, and a direction."""

    longitude: float
    latitude: float
    steps: int | None
    bearing: Figure | None


@dataclass(frozen=True)
class Walk:
    """The walks across a place, by how many spots they have; steps between looks, by the looks."""

    spots: Mapping[int, tuple[Spot, ...]]
    every: Mapping[int, int]


def ways_of(tables: Tables) -> list[Way]:
    """The ways of counting; of one method the proposed stands first."""
    return [
        Way(
            method=row.text("method"),
            throws=int(row.figure("throws_count").number()),
            cells=None if (cells := row.number("cells_count")) is None else int(cells),
            frame_ft2=row.number("frame_ft2"),
            note=row.text("note"),
        )
        for row in tables["count_walks"]
    ]


def walks_of(tract: Tract, tables: Tables) -> dict[str, Walk]:
    """The walks of every plot and native-grass field; without an outline the spots are the
    person's own."""
    step_ft = tables["count_settings"].row("step").figure("step_ft").number()
    ways = ways_of(tables)
    return {
        kept.id: _walk(kept.body, ways, step_ft)
        for kept in tract.places.values()
        if isinstance(kept.body, Plot | NativeGrass)
    }


def _walk(place: PlaceBase, ways: list[Way], step_ft: float) -> Walk:
    shape = place.shape
    if shape is None or shape.type not in AREAS:
        return Walk({}, {})
    numbers = sorted({way.spots for way in ways})
    spots = {n: tuple(_spots(spots_along(shape, n), step_ft)) for n in numbers}
    whole = sum(s.steps or 0 for s in spots[DRAWN]) if DRAWN in spots else 0
    looks = [way.throws for way in ways if way.method == STEPS]
    return Walk(spots, {n: max(1, round(whole / n)) for n in looks if whole})


def _spots(at: list[tuple[float, float]], step_ft: float) -> Iterator[Spot]:
    yield Spot(*at[0], None, None)
    for before, here in pairwise(at):
        yards = distance_yd(before, here)
        bearing = assume(bearing_deg(before, here), "deg", "count-way") if yards else None
        yield Spot(*here, max(1, round(yards * FT_A_YARD / step_ft)), bearing)

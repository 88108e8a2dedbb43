"""How a count is walked: the spots of the throws on a way across the place, and from each to the
next so many steps in which direction."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from fencerow.data import Tables
from fencerow.plan.ground import AREAS
from fencerow.science.ground.measure import bearing_deg, distance_yd
from fencerow.science.ground.zigzag import spots_along
from fencerow.tract.model import Tract
from fencerow.tract.places import NativeGrass, PlaceBase, Plot

FT_A_YARD = 3
SHOWN_SPOTS = 20
"""Looks of a step count are too many to draw: its way is drawn by so many."""


@dataclass(frozen=True)
class Spot:
    """A spot of the walk, and how one comes there from the one before."""

    longitude: float
    latitude: float
    steps: int | None
    bearing: float | None


@dataclass(frozen=True)
class Walk:
    """The way of one count: its method, how many throws, what a throw is, the spots."""

    method: str
    throws: int
    cells: int | None
    frame_ft2: float | None
    note: str
    spots: tuple[Spot, ...]
    every: int | None
    """Steps from one look to the next, where one looks at every so many."""


def walks_of(tract: Tract, tables: Tables) -> dict[str, list[Walk]]:
    """The ways of counting every plot and native-grass field, the proposed first; without an
    outline the spots are the person's own."""
    return {
        kept.id: list(_walks(kept.body, tables))
        for kept in tract.places.values()
        if isinstance(kept.body, Plot | NativeGrass)
    }


def _walks(place: PlaceBase, tables: Tables) -> Iterator[Walk]:
    step_ft = tables["count_settings"].row("step").figure("step_ft").number()
    shape = place.shape if place.shape is not None and place.shape.type in AREAS else None
    for row in tables["count_walks"]:
        throws = int(row.figure("throws_count").number())
        looks = row.text("method") == "cover by steps"
        cells, frame = row.number("cells_count"), row.number("frame_ft2")
        spots = () if shape is None else _spots(shape, SHOWN_SPOTS if looks else throws, step_ft)
        yield Walk(
            method=row.text("method"),
            throws=throws,
            cells=None if cells is None else int(cells),
            frame_ft2=frame,
            note=row.text("note"),
            spots=spots,
            every=_every(spots, throws) if looks else None,
        )


def _spots(shape: object, spots: int, step_ft: float) -> tuple[Spot, ...]:
    at = spots_along(shape, spots)
    found = [Spot(*at[0], None, None)]
    for before, here in pairwise(at):
        yards = distance_yd(before, here)
        steps = max(1, round(yards * FT_A_YARD / step_ft))
        found.append(Spot(*here, steps, bearing_deg(before, here) if yards else None))
    return tuple(found)


def _every(spots: tuple[Spot, ...], looks: int) -> int | None:
    """Every so many steps, so that the looks reach to the end of the way."""
    steps = sum(s.steps or 0 for s in spots)
    return max(1, round(steps / looks)) if steps else None

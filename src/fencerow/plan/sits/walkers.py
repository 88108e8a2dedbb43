"""Somebody walking in from a gate: how far he is smelled, seen and heard, and the best way in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from fencerow.plan.sits.laid import FOOTINGS
from fencerow.plan.sits.tract_ground import TractGround
from fencerow.science.ground import approach
from fencerow.science.ground.grid import Floats
from fencerow.science.ground.hearing import heard_yd
from fencerow.science.ground.hour_classes import STEP_DEG, WAYS, Airs, disc_runs
from fencerow.science.ground.scent import Field, Runs, exposure_everywhere
from fencerow.science.ground.sight_lines import Land, Look, summed_sight
from fencerow.science.ground.stability import D, E
from fencerow.units import convert

STEADY = Airs(np.array([0.0, 1.5, 3.0]), np.array([D, E, D]))
"""Airs that a way in is judged in: a calm, still air, and the day that the reach is set for."""
CALM, STILL, STIRRED = 0, 1, 2
SECTORS = 8
LOOKERS = 24
"""So many squares of cover, evenly spread, stand for all of it when a walker is looked at."""


@dataclass(frozen=True)
class Walkers:
    """All ways in to a tract's sits: ways are looked for once for each air, sector and footing."""

    ground: TractGround
    cover_ac: Floats
    """Cover, what each square counts [ac]."""
    bare: Land
    """The ground and what screens it with the trees bare."""
    plain_m: float
    """To here somebody is seen plainly [m]."""
    deer: Field
    """All deer ground."""
    runs: Runs
    """What each air of `STEADY` reaches."""
    most_ac: float
    """So much deer ground may be reached by scent [ac]."""

    @cached_property
    def seen(self) -> Floats:
        """How exposed a walker on each square is to sight, 0 to 1."""
        cover = self.cover_ac
        rows, columns = np.nonzero(cover)
        if not rows.size:
            return np.zeros(cover.shape)
        step = max(1, rows.size // LOOKERS)
        spread = np.arange(step // 2, rows.size, step)
        rows, columns = rows[spread], columns[spread]
        weight = cover[rows, columns]
        weight = weight * (cover.sum() / weight.sum())
        # near enough to count whole is taken as the reach: farther off a walker is soon past
        look = Look(self.ground.up_m("deer-eye"), self.ground.up_m("walker"), self.plain_m)
        seen = summed_sight(self.bare, rows, columns, weight, look)
        return approach.exposed(seen, self.ground.setting("sight-most", "area_ac"))

    def smelled(self, air: int, sector: int) -> Floats:
        """How exposed a walker on each square is to noses in an air of `STEADY`, 0 to 1."""
        way = round(sector * 360 / SECTORS / STEP_DEG) % WAYS
        reached = exposure_everywhere(self.deer, self.runs, air * WAYS + way)
        return approach.exposed(reached, self.most_ac)

    def heard(self, air: int, wet: bool) -> Floats:
        """How exposed a walker on each square is to ears, 0 to the share that hearing counts.

        Leaves lie on the ground, dry or wet; wind in them drowns the walk.
        """
        footings = self.ground.frame.given.tables["heard_settings"]
        found = np.zeros(self.cover_ac.shape)
        most = self.ground.setting("sight-most", "area_ac")
        for number, name in enumerate(FOOTINGS):
            here = self.ground.kinds["footing"] == number
            if not here.any():
                continue
            row = "wet leaves" if wet and name == "dry leaves" else name
            yards = heard_yd(
                footings.row(row).figure("within_yd").number(),
                convert(float(STEADY.wind_m_s[air]), "m_s", "mph"),
                footings.row("wind").figure("wind_mph").number(),
            )
            reach = convert(yards, "yd", "m")
            runs = disc_runs(reach, self.ground.cell_m)
            ears = exposure_everywhere(Field.of(self.cover_ac, runs.reach), runs, 0)
            found[here] = approach.exposed(ears[here], most)
        return found * footings.row("counts").figure("factor").number()

    def exposure(self, air: int, sector: int, wet: bool = False) -> dict[str, Floats]:
        """How exposed a walker on each square is to each sense, 0 to 1."""
        return {
            "smelled": self.smelled(air, sector), "seen": self.seen,
            "heard": self.ears[air, wet],
        }  # fmt: skip

    @cached_property
    def ears(self) -> Ears:
        """`heard` of each air and footing, worked once."""
        return Ears(self)

    @cached_property
    def found(self) -> dict[tuple[int, int, bool], Found]:
        """Ways from the gates that have been looked for."""
        return {}

    def from_gates(self, air: int, sector: int, wet: bool = False) -> Found | None:
        """The ways from the gates in an air of `STEADY` from a sector; None where no gate is."""
        gates, ground = self.ground.gates, self.ground
        if gates is None:
            return None
        key = (air, 0 if air == CALM else sector, wet)
        if key not in self.found:
            by_sense = self.exposure(*key)
            exposed = 1 - np.prod([1 - part for part in by_sense.values()], axis=0)
            ways = approach.ways(
                ground.slowness, exposed, ground.setting("way-weight", "factor"), ground.cell_m,
                ground.grid.elevation_m, *gates,
            )  # fmt: skip
            self.found[key] = Found(ways, exposed, by_sense)
        return self.found[key]

    def way(
        self, cell: tuple[int, int], air: int, sector: int, wet: bool = False
    ) -> approach.Walked | None:
        """The way to a square; None where none leads there."""
        found = self.from_gates(air, sector, wet)
        return None if found is None else self._walked(found, found.exposed, cell)

    def by_sense(
        self, cell: tuple[int, int], air: int, sector: int, wet: bool = False
    ) -> dict[str, float]:
        """The exposed minutes of the way to a square by sense; a minute may be several senses'."""
        found = self.from_gates(air, sector, wet)
        if found is None:
            return {}
        parts = {s: self._walked(found, e, cell) for s, e in found.by_sense.items()}
        return {s: part.exposed_min for s, part in parts.items() if part is not None}

    def _walked(
        self, found: Found, exposed: Floats, cell: tuple[int, int]
    ) -> approach.Walked | None:
        ground = self.ground
        return approach.walked(
            found.ways, ground.slowness, exposed, ground.cell_m, ground.grid.elevation_m, *cell
        )


class Ears(dict[tuple[int, bool], Floats]):
    """How exposed a walker is to ears, by air and footing."""

    def __init__(self, walkers: Walkers) -> None:
        super().__init__()
        self._walkers = walkers

    def __missing__(self, key: tuple[int, bool]) -> Floats:
        self[key] = self._walkers.heard(*key)
        return self[key]


class Found(NamedTuple):
    """Ways from the gates, and how exposed a walker is on each square: in all, and by sense."""

    ways: approach.Ways
    exposed: Floats
    by_sense: Mapping[str, Floats]

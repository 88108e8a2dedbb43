"""Spots on the tract's ground, judged together: sits that are entered, or cells for one more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fencerow.plan.sits.season_hours import SeasonHours
from fencerow.plan.sits.tract_ground import TractGround
from fencerow.science.ground import approach, judging
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.horizon import horizon
from fencerow.science.ground.hour_air import since_sun
from fencerow.science.ground.hour_classes import (
    STEP_DEG,
    WAYS,
    Airs,
    HourClass,
    Rows,
    air_rows,
    classed,
    runs_together,
)
from fencerow.science.ground.plume import Air
from fencerow.science.ground.scent import Field, Runs, exposure, exposure_everywhere
from fencerow.science.ground.sight_lines import Land, Look, lines_of_sight, summed_sight
from fencerow.science.ground.slope_wind import SlopeWind, slope_strength, wind_at
from fencerow.science.ground.stability import D, E
from fencerow.units import convert

SLOPE = SlopeWind()
STEADY = Airs(np.array([0.0, 1.5, 3.0]), np.array([D, E, D]))
"""Airs that a way in is judged in: a calm, still air, and the day that the reach is set for."""
CALM, STILL, STIRRED = 0, 1, 2
SECTORS = 8
LOOKERS = 24
"""So many squares of cover, evenly spread, stand for all of it when a walker is looked at."""
HORIZON_M = 400.0
HORIZON_WAYS = 24
Cells = tuple[NDArray[np.int_], NDArray[np.int_]]


@dataclass(frozen=True)
class Scene:
    """What all spots share: deer ground, the reach of scent, the walker's exposure, the hours."""

    ground: TractGround
    reach_m: float
    hours: SeasonHours | None

    @property
    def most_ac(self) -> float:
        return self.ground.setting("scent-most", "area_ac")

    @cached_property
    def groups(self) -> tuple[Floats, Floats, Floats]:
        """Deer ground of cover, food and travel, what each square counts [ac]."""
        ground = self.ground
        share = ground.setting("travel", "factor")
        lain = np.clip(ground.cover + ground.food, 0, 1)
        extra = np.maximum(share * ground.travel - lain, 0)
        acres = ground.cell_ac
        return ground.cover * acres, ground.food * acres, extra * acres

    @cached_property
    def rows(self) -> dict[tuple[float, int], Rows]:
        """What each air reaches, as it was worked; airs are shared by many spots."""
        return {}

    def runs(self, airs: Airs) -> Runs:
        """What each of some airs reaches."""
        found = []
        for key in zip(airs.wind_m_s.tolist(), airs.stability.tolist(), strict=True):
            if key not in self.rows:
                self.rows[key] = air_rows(*key, self.ground.cell_m, self.reach_m, Air())
            found.append(self.rows[key])
        return runs_together(found)

    @cached_property
    def steady(self) -> Runs:
        """What the airs of `STEADY` reach."""
        return self.runs(STEADY)

    @cached_property
    def stirred(self) -> Runs:
        """What the steady day alone reaches."""
        return self.runs(Airs(STEADY.wind_m_s[STIRRED:], STEADY.stability[STIRRED:]))

    def reached(self, runs: Runs, cells: Cells, weights: Floats) -> Floats:
        """Deer ground reached from some cells, by class [ac]."""
        return exposure(Field.of(weights, runs.reach), runs, *cells)

    def scented(self, runs: Runs, cells: Cells) -> judging.Scented:
        """How likely scent is right at some cells."""
        error = self.ground.setting("wind-error", "by_deg")
        cover, food, travel = (self.reached(runs, cells, g) for g in self.groups)
        return judging.scented(cover, food, travel, self.most_ac, error)

    @cached_property
    def distances(self) -> tuple[float, float]:
        return self.ground.metres("plain-view"), self.ground.metres("out-of-view")

    @cached_property
    def lands(self) -> tuple[Land, Land]:
        """Ground with its screen, bare and in leaf."""
        return self.ground.land(False), self.ground.land(True)

    def sight_ac(self, cell: tuple[int, int], up_m: float, leaves: bool) -> float:
        """Cover that has somebody in view who sits above a cell [ac]."""
        plain, none = self.distances
        look = Look(up_m, self.ground.up_m("deer-eye"), none)
        seen = lines_of_sight(self.lands[leaves], *cell, look)
        i, j = np.indices(seen.shape)
        far = np.hypot(i - cell[0], j - cell[1]) * self.ground.cell_m
        counts = judging.nearness(far, plain, none) * self.groups[0]
        return float((seen * counts).sum())

    @cached_property
    def walker_seen(self) -> Floats:
        """How exposed a walker on each square is to sight, with the trees bare, 0 to 1."""
        plain = self.distances[0]
        cover = self.groups[0]
        rows, columns = np.nonzero(cover)
        if not rows.size:
            return np.zeros(cover.shape)
        step = max(1, rows.size // LOOKERS)
        spread = np.arange(step // 2, rows.size, step)
        rows, columns = rows[spread], columns[spread]
        weight = cover[rows, columns]
        weight = weight * (cover.sum() / weight.sum())
        # near enough to count whole is taken as the reach: farther off a walker is soon past
        look = Look(self.ground.up_m("deer-eye"), self.ground.up_m("walker"), plain)
        seen = summed_sight(self.lands[False], rows, columns, weight, look)
        return approach.exposed(seen, self.ground.setting("sight-most", "area_ac"))

    @cached_property
    def field(self) -> Field:
        return Field.of(sum(self.groups), self.steady.reach)

    def exposure(self, air: int, sector: int) -> Floats:
        """How exposed a walker on each square is in an air of `STEADY`, 0 to 1."""
        way = round(sector * 360 / SECTORS / STEP_DEG) % WAYS
        smelled = exposure_everywhere(self.field, self.steady, air * WAYS + way)
        return 1 - (1 - approach.exposed(smelled, self.most_ac)) * (1 - self.walker_seen)

    @cached_property
    def found(self) -> dict[tuple[int, int], tuple[Floats, approach.Ways]]:
        """Ways from the gates that have been looked for, by air and sector."""
        return {}

    def way(self, cell: tuple[int, int], air: int, sector: int) -> approach.Walked | None:
        """The way to a cell in an air of `STEADY` from a sector; None where none leads there."""
        gates, ground = self.ground.gates, self.ground
        if gates is None:
            return None
        key = (air, 0 if air == CALM else sector)
        if key not in self.found:
            exposed = self.exposure(*key)
            ways = approach.ways(
                ground.slowness, exposed, ground.setting("way-weight", "factor"), ground.cell_m,
                ground.grid.elevation_m, *gates,
            )  # fmt: skip
            self.found[key] = exposed, ways
        exposed, ways = self.found[key]
        return approach.walked(
            ways, ground.slowness, exposed, ground.cell_m, ground.grid.elevation_m, *cell
        )

    @cached_property
    def horizons(self) -> tuple[Floats, int]:
        """Horizon of squares twice as wide, and how many of the ground's lie in one."""
        coarse = self.ground.grid.elevation_m[::2, ::2]
        seen = horizon(coarse, 2 * self.ground.cell_m, HORIZON_M, HORIZON_WAYS)
        return seen.altitude_deg.astype(float), 2

    def winds(self, cells: Cells, turn_deg: Floats) -> tuple[Floats, Floats]:
        """Direction and speed of the wind at some cells, in every hour: cells by hours."""
        hours, ground = self.hours, self.ground
        assert hours is not None, "winds are asked for only with a record"
        profile, by = self.horizons
        since = since_sun(profile[:, cells[0] // by, cells[1] // by], hours.suns)
        falls, steep = (part[cells][:, None] for part in ground.broad)
        wind = wind_at(
            hours.from_deg, hours.wind_m_s, hours.cloud, falls, steep,
            slope_strength(since.sun_h, since.shade_h, SLOPE),
            ground.kinds["wind_share"][cells][:, None], SLOPE,
        )  # fmt: skip
        return (wind.from_deg + turn_deg[:, None]) % 360, wind.wind_m_s


@dataclass(frozen=True)
class Spots:
    """Cells that are judged, with the height somebody sits at and the turn of the wind there."""

    scene: Scene
    cells: Cells
    up_m: Sequence[float]
    turn_deg: Floats
    hidden_ways: bool = True
    """Whether sight and ways in are looked for; without, an hour is right where scent is."""
    in_leaf: bool = True
    """Whether the sitter is looked at through leaves as well; without, as if trees were bare."""

    @property
    def each(self) -> list[tuple[int, int]]:
        return list(zip(self.cells[0].tolist(), self.cells[1].tolist(), strict=True))

    @cached_property
    def classes(self) -> tuple[Airs, HourClass]:
        """The airs of the hours, and each spot's class in every hour."""
        hours = self.scene.hours
        assert hours is not None, "hours are judged only with a record"
        return classed(*self.scene.winds(self.cells, self.turn_deg), hours.stability)

    @cached_property
    def runs(self) -> Runs:
        return self.scene.runs(self.classes[0])

    @cached_property
    def steady(self) -> Floats:
        """How likely scent is right on the steady day, by spot and direction."""
        right = self.scene.scented(self.scene.stirred, self.cells).right[:, 0]
        steps = np.rint(self.turn_deg / STEP_DEG).astype(int)
        return np.stack([np.roll(r, -s) for r, s in zip(right, steps, strict=True)])

    @cached_property
    def sight(self) -> Floats:
        """Cover that has the sitter in view, by spot: with trees bare, in leaf [ac].

        Somebody who sits still counts for a share of one who walks."""
        still = self.scene.ground.setting("still", "factor")
        sitters = list(zip(self.each, self.up_m, strict=True))
        bare = [self.scene.sight_ac(cell, up, False) for cell, up in sitters]
        leafy = [self.scene.sight_ac(c, up, True) for c, up in sitters] if self.in_leaf else bare
        return still * np.column_stack((bare, leafy))

    @cached_property
    def hidden(self) -> Mask:
        most = self.scene.ground.setting("sight-most", "area_ac")
        return judging.sat_unseen(self.sight, most)

    def way(self, spot: int, air: int, sector: int) -> approach.Walked | None:
        return self.scene.way(self.each[spot], air, sector)

    @cached_property
    def led(self) -> NDArray[np.bool_]:
        """Whether a hidden way leads in: spots by airs of `STEADY` by sectors."""
        most = self.scene.ground.setting("way-most", "walk_min")
        found = np.ones((len(self.each), len(STEADY.wind_m_s), SECTORS), bool)
        if self.scene.ground.gates is None:
            return found
        for air, sector in sorted(self.scene.hours.way_classes if self.scene.hours else ()):
            for spot in range(len(self.each)):
                way = self.way(spot, air, sector)
                found[spot, air, sector] = way is not None and way.exposed_min <= most
        return found

    @cached_property
    def scent(self) -> judging.Scented:
        """How likely scent is right, by spot, air and direction."""
        return self.scene.scented(self.runs, self.cells)

    @property
    def judged(self) -> dict[str, Any]:
        """What `judging.judge` is called with."""
        hours, (airs, at) = self.scene.hours, self.classes
        assert hours is not None, "hours are judged only with a record"
        hidden = way_in = np.ones(at.air.shape, bool)
        if self.hidden_ways:
            hidden = self.hidden[:, hours.in_leaf.astype(int)]
            way_in = self.led[:, hours.way_air, hours.way_sector]
        return {
            "scent": self.scent, "hours": at, "calm": airs.wind_m_s == 0,
            "hidden": hidden, "way_in": way_in,
        }  # fmt: skip

    @cached_property
    def ledger(self) -> judging.Ledger:
        """What each hour of each spot goes to."""
        return judging.judge(**self.judged)


def eye_m(height_ft: float, ground: TractGround) -> float:
    """Height of somebody who sits that high [m]."""
    return convert(height_ft, "ft", "m") + ground.up_m("sitter")

"""Spots on the tract's ground, judged together: sits that are entered, or cells for one more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fencerow.plan.sits.air_hours import AirHours
from fencerow.plan.sits.season_hours import SeasonHours
from fencerow.plan.sits.tract_ground import TractGround
from fencerow.plan.sits.walkers import SECTORS, STEADY, STIRRED, Walkers
from fencerow.science.ground import approach, judging
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.horizon import horizon
from fencerow.science.ground.hour_air import since_sun
from fencerow.science.ground.hour_classes import (
    STEP_DEG,
    Airs,
    HourClass,
    Rows,
    air_rows,
    classed,
    runs_together,
)
from fencerow.science.ground.plume import Air
from fencerow.science.ground.scent import Field, Runs, exposure
from fencerow.science.ground.sight_lines import Land, Look, lines_of_sight
from fencerow.science.ground.slope_wind import SlopeWind, slope_strength, wind_at
from fencerow.units import convert

SLOPE = SlopeWind()
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
    def walkers(self) -> Walkers:
        """The ways in."""
        return Walkers(
            self.ground, self.groups[0], self.lands[False], self.distances[0],
            Field.of(sum(self.groups), self.steady.reach), self.steady, self.most_ac,
        )  # fmt: skip

    @cached_property
    def horizons(self) -> tuple[Floats, int]:
        """Horizon of squares twice as wide, and how many of the ground's lie in one."""
        coarse = self.ground.grid.elevation_m[::2, ::2]
        seen = horizon(coarse, 2 * self.ground.cell_m, HORIZON_M, HORIZON_WAYS)
        return seen.altitude_deg.astype(float), 2

    def winds(self, hours: AirHours, cells: Cells, turn_deg: Floats) -> tuple[Floats, Floats]:
        """Direction and speed of the wind at some cells, in every hour: cells by hours."""
        ground = self.ground
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
    own_hours: AirHours | None = None
    """Hours of a day that are judged; without, those of the record."""
    wet: bool = False
    """Whether the leaves that are walked on are wet."""
    season: Spots | None = None
    """The same spots as they are judged over a season: what sees them is not looked for twice."""

    def on_day(self, hours: AirHours, wet: bool) -> Spots:
        """The same spots in the hours of one day."""
        return replace(self, own_hours=hours, wet=wet, season=self)

    @property
    def hours(self) -> AirHours | None:
        return self.own_hours if self.own_hours is not None else self.scene.hours

    @property
    def each(self) -> list[tuple[int, int]]:
        return list(zip(self.cells[0].tolist(), self.cells[1].tolist(), strict=True))

    @cached_property
    def classes(self) -> tuple[Airs, HourClass]:
        """The airs of the hours, and each spot's class in every hour."""
        hours = self.hours
        assert hours is not None, "hours are judged only with a record"
        return classed(*self.scene.winds(hours, self.cells, self.turn_deg), hours.stability)

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
        if self.season is not None:
            return self.season.sight
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
        return self.scene.walkers.way(self.each[spot], air, sector, self.wet)

    def by_sense(self, spot: int, air: int, sector: int) -> dict[str, float]:
        """The exposed minutes of the way in to a spot, by sense."""
        return self.scene.walkers.by_sense(self.each[spot], air, sector, self.wet)

    @cached_property
    def led(self) -> NDArray[np.bool_]:
        """Whether a hidden way leads in: spots by airs of `STEADY` by sectors."""
        most = self.scene.ground.setting("way-most", "walk_min")
        found = np.ones((len(self.each), len(STEADY.wind_m_s), SECTORS), bool)
        if self.scene.ground.gates is None:
            return found
        for air, sector in sorted(self.hours.way_classes if self.hours else ()):
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
        hours, (airs, at) = self.hours, self.classes
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


@dataclass(frozen=True)
class Sat:
    """The ground, and the sits that are drawn as they were judged: other planners judge more."""

    scene: Scene
    ids: tuple[str, ...]
    spots: Spots | None


def eye_m(height_ft: float, ground: TractGround) -> float:
    """Height of somebody who sits that high [m]."""
    return convert(height_ft, "ft", "m") + ground.up_m("sitter")

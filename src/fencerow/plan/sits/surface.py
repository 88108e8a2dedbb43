"""The surface of sits: for squares all over a tract, how many season hours can be sat in there.

Squares are judged by the same kernels as places for one more treestand (decision 0042). So that a
whole tract can be judged, a sitter is looked at from the squares of cover that stand for all of
it, as a walker is, and the exposed minutes of a way in are summed along all ways at once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from fencerow.plan.sits.chosen import HEIGHT_FT, travel_near
from fencerow.plan.sits.siting_body import Surface
from fencerow.plan.sits.spots import Cells, Scene, Spots, eye_m
from fencerow.plan.sits.walkers import LOOKERS, SECTORS, STEADY
from fencerow.science.ground import judging
from fencerow.science.ground.grid import Floats, LocalGrid, Mask
from fencerow.science.ground.judging import Why
from fencerow.science.ground.sight_lines import Look, summed_sight
from fencerow.science.ground.travel import step_cost

MOST_SQUARES = 900
"""Larger tracts are judged at every second square of the ground, every third, and so on."""
AT_ONCE = 450


def surface_of(scene: Scene) -> Surface | None:
    """The surface of a tract; None without a record of hours."""
    ground = scene.ground
    sat = ground.inside & np.isfinite(ground.slowness)
    if scene.hours is None or not sat.any():
        return None
    gated = ground.gates is not None
    step = max(1, math.ceil(math.sqrt(sat.sum() / MOST_SQUARES)))
    off = step // 2
    thin = sat[off::step, off::step]
    rows, columns = np.nonzero(thin)
    at: Cells = (rows, columns)
    if not at[0].size:
        return None
    cells = (at[0] * step + off, at[1] * step + off)
    in_view = _in_view(scene)
    minutes = {c: exposed_min(scene, *c) for c in sorted(scene.hours.way_classes) if gated}
    chance = np.concatenate(
        [
            _judged(scene, (cells[0][n : n + AT_ONCE], cells[1][n : n + AT_ONCE]), in_view, minutes)
            for n in range(0, cells[0].size, AT_ONCE)
        ],
        axis=1,
    )
    share = np.full(thin.shape, np.nan)
    first = np.zeros(thin.shape, np.uint8)
    share[at] = chance[Why.RIGHT]
    lost = chance[Why.RIGHT + 1 :]
    first[at] = np.where(lost.max(axis=0) > 0, lost.argmax(axis=0) + 1, 0)
    grid, side = ground.grid, step * ground.cell_m
    shift = (off + 0.5) * ground.cell_m - side / 2
    where = LocalGrid(
        np.zeros(np.maximum(thin.shape, 2), np.float32),
        grid.x0 + shift, grid.y0 - shift, side, grid.crs,
    )  # fmt: skip
    return Surface(
        where, share, first, _travel(scene, thin, cells), len(scene.hours.middles), at, cells
    )


def _travel(scene: Scene, thin: Mask, cells: Cells) -> Floats:
    """Travel in reach of some cells, of the most, laid on the squares."""
    found = travel_near(scene, cells)
    laid = np.full(thin.shape, np.nan)
    laid[thin] = found / max(float(found.max()), 1e-9)
    return laid


def _judged(
    scene: Scene, cells: Cells, in_view: Floats, minutes: Mapping[tuple[int, int], Floats]
) -> Floats:
    """For each `Why` and cell the share of hours that go to it."""
    hours = scene.hours
    assert hours is not None, "only hours are judged"
    count = cells[0].size
    up = [eye_m(HEIGHT_FT, scene.ground)] * count
    spots = Wide(scene, cells, up, np.zeros(count), in_view=in_view, minutes=minutes)
    return np.asarray(judging.judge(**spots.judged).chance.mean(axis=2))


@dataclass(frozen=True)
class Wide(Spots):
    """Spots so many that sight and ways in are worked for all squares at once."""

    in_view: Floats = field(kw_only=True)
    minutes: Mapping[tuple[int, int], Floats] = field(kw_only=True)

    @cached_property
    def sight(self) -> Floats:
        """Cover that has the sitter in view, as far as the squares looked from stand for it."""
        found = self.scene.ground.setting("still", "factor") * self.in_view[self.cells]
        return np.column_stack((found, found))

    @cached_property
    def led(self) -> Mask:
        most = self.scene.ground.setting("way-most", "walk_min")
        found = np.ones((len(self.each), len(STEADY.wind_m_s), SECTORS), bool)
        if self.scene.ground.gates is None or self.scene.hours is None:
            return found
        for air, sector in sorted(self.scene.hours.way_classes):
            found[:, air, sector] = self.minutes[air, sector][self.cells] <= most
        return found


def _in_view(scene: Scene) -> Floats:
    """Cover that has somebody at `HEIGHT_FT` on each square in view [ac]."""
    cover = scene.groups[0]
    rows, columns = np.nonzero(cover)
    if not rows.size:
        return np.zeros(cover.shape)
    step = max(1, rows.size // LOOKERS)
    spread = np.arange(step // 2, rows.size, step)
    rows, columns = rows[spread], columns[spread]
    weight = cover[rows, columns] * (cover.sum() / cover[rows, columns].sum())
    ground = scene.ground
    look = Look(ground.up_m("deer-eye"), eye_m(HEIGHT_FT, ground), scene.distances[0])
    return summed_sight(scene.lands[False], rows, columns, weight, look)


def exposed_min(scene: Scene, air: int, sector: int) -> Floats:
    """Exposed minutes of the way in to every square, in an air and from a sector; inf where no way
    leads. The same as `approach.walked` says of each square by itself."""
    ground = scene.ground
    found = scene.walkers.from_gates(air, sector)
    assert found is not None, "ways are asked for only where a gate is"
    exposed, ways = found.exposed, found.ways
    before, here = ways.before.reshape(-1), np.arange(ways.before.size)
    there = np.where(before >= 0, before, here)
    columns = ways.before.shape[1]
    length = ground.cell_m * np.hypot(*(a - b for a, b in zip(np.divmod(here, columns),
                                                             np.divmod(there, columns),
                                                             strict=True)))  # fmt: skip
    slow, seen = (np.asarray(part, float).reshape(-1) for part in (ground.slowness, exposed))
    walked = (here != there) & np.isfinite(ways.counted_min.reshape(-1))
    total = np.zeros(here.size)
    a, b, far = there[walked], here[walked], length[walked]
    climb = np.asarray(ground.grid.elevation_m, float).reshape(-1)
    minutes = step_cost(slow[a] * far, slow[b] * far, 1.0, (climb[b] - climb[a]) / far)
    total[walked] = minutes * (slow[a] * seen[a] + slow[b] * seen[b]) / (slow[a] + slow[b])
    # each square adds what the one before it has; twice as far back each time
    while (there != there[there]).any():
        total, there = total + np.where(there != here, total[there], 0.0), there[there]
    return np.where(np.isfinite(ways.counted_min), total.reshape(ways.before.shape), np.inf)

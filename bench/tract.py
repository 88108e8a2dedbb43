"""A tract of 2 x 2 km in cells of 5 m, judged whole at 3,206 places; run `python bench/tract.py`.

Every place: exact sight through brush to 300 m, scent in some 580 classes of wind with its five
directions, and shares of a season's hours; then five places chosen, and a way in from a gate for 36
winds. One core; then two tracts in one thread and in two. What two threads gain on a machine with a
second core to spare shows in the processor's time of the busier one, which does not count waiting.
"""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import NamedTuple

import numpy as np
from beside import fractal

from fencerow.science.ground import approach, choosing, judging
from fencerow.science.ground.compiled import warm
from fencerow.science.ground.hour_classes import WAYS, Airs, air_rows, runs_together
from fencerow.science.ground.plume import Air
from fencerow.science.ground.scent import Field, exposure, exposure_everywhere
from fencerow.science.ground.sight_lines import Land, Look, brush_kappa, lines_of_sight
from fencerow.science.ground.terrain import steepness_deg

CELL_M, REACH_M, SIGHT_M, MOST_AC = 5.0, 200.0, 300.0, 0.2
LOOK = Look(6.7, 1.0, SIGHT_M)
SPEEDS = (1.0, 1.5, 2.0, 3.0, 4.0)
AIRS = Airs(np.array([0.0, *np.repeat(SPEEDS, 3)]), np.array([3, *np.tile([3, 4, 5], len(SPEEDS))]))
"""A calm and 15 airs, of 36 directions each: 576 classes of wind."""


class Tract(NamedTuple):
    """Invented ground: heights, cover, food, and where somebody may sit."""

    z: np.ndarray
    cover: np.ndarray
    food: np.ndarray
    places: tuple[np.ndarray, np.ndarray]
    hours: tuple[np.ndarray, np.ndarray]


def invented(cells: int, places: int, hours: int, seed: int) -> Tract:
    """A tract of its own by its seed."""
    dice, woods = np.random.default_rng(seed), fractal(cells, seed + 100)
    cover = woods > np.quantile(woods, 0.85)
    food = (woods < np.quantile(woods, 0.5)) & (fractal(cells, seed + 200) > 301)
    at = dice.choice(cells * cells, places, replace=False)
    air, way = dice.integers(0, AIRS.wind_m_s.size, hours), dice.integers(0, WAYS, hours)
    return Tract(fractal(cells, seed), cover, food, np.divmod(at, cells), (air, way))


def window(land: Land, row: int, column: int, most: int) -> tuple[Land, int, int]:
    """The part of the ground that is looked at from one cell, and where the cell lies in it."""
    top, left = max(row - most, 0), max(column - most, 0)
    cut = (slice(top, row + most + 1), slice(left, column + most + 1))
    part = Land(*(np.ascontiguousarray(grid[cut]) for grid in land[:3]), land.cell_m)
    return part, row - top, column - left


def seen_ac(tract: Tract, land: Land, acre: float) -> np.ndarray:
    """Cover that has each place in view, near cover whole [ac]."""
    most = int(SIGHT_M / CELL_M)
    i, j = np.mgrid[-most : most + 1, -most : most + 1]
    near = judging.nearness(np.hypot(i, j) * CELL_M, 100.0, SIGHT_M) * acre
    found = np.empty(tract.places[0].size)
    for n, (row, column) in enumerate(zip(*(p.tolist() for p in tract.places), strict=True)):
        part, k, m = window(land, row, column, most)
        rows, columns = part.ground.shape
        top, left = row - k, column - m
        cover = tract.cover[top : top + rows, left : left + columns]
        weight = near[most - k : most - k + rows, most - m : most - m + columns]
        found[n] = (lines_of_sight(part, k, m, LOOK) * cover * weight).sum()
    return found


def judged(tract: Tract, parts: dict[str, float], ways: int = 36) -> tuple[int, ...]:
    """The tract from its heights to the five places that serve the most hours."""

    @contextmanager
    def taking(name: str) -> Iterator[None]:
        begun = time.thread_time()
        yield
        parts[name] = parts.get(name, 0.0) + time.thread_time() - begun

    acre = CELL_M**2 / 4046.8564224
    with taking("slope"):
        steepness_deg(tract.z, CELL_M)
    with taking("sight of every place, exact and through brush"):
        kappa = np.where(tract.cover, brush_kappa(90, 61), 0)
        land = Land.of(tract.z, CELL_M, np.where(tract.cover, 1.5, 0.0), kappa)
        hidden = judging.sat_unseen(seen_ac(tract, land, acre), 0.75)
    with taking("what each class of wind reaches"):
        each = zip(AIRS.wind_m_s.tolist(), AIRS.stability.tolist(), strict=True)
        runs = runs_together([air_rows(*air, CELL_M, REACH_M, Air()) for air in each])
    with taking("scent of every place in every class"):
        groups = [Field.of(g * acre, runs.reach) for g in (tract.cover, tract.food)]
        cover, food = (exposure(field, runs, *tract.places) for field in groups)
        right = judging.scented(cover, food, np.zeros_like(food), MOST_AC, 15.0).right
    with taking(f"a way in for each of {ways} winds"):
        both, gate = Field.of((tract.cover | tract.food) * acre, runs.reach), tract.z.shape[0] // 2
        for way in range(ways):
            smelled = exposure_everywhere(both, runs, 4 * WAYS + way % WAYS)
            exposed = approach.exposed(smelled, MOST_AC)
            slow = np.where(tract.cover, 2.0, 1.2)
            approach.ways(slow, exposed, 5.0, CELL_M, tract.z, gate, 0)
    with taking("shares of the season, and five places chosen"):
        worth = right[:, tract.hours[0], tract.hours[1]] * hidden[:, None]
        return choosing.best_set(worth, 5).order


def threads(tracts: list[Tract], ways: int) -> None:
    """Tracts one after another, and side by side in two threads, in turn."""
    taken: dict[int, list[tuple[float, float]]] = {1: [], 2: []}
    for _ in range(3):
        for count in (1, 2):
            begun, busy = time.perf_counter(), [0.0] * count

            def work(n: int, busy: list[float] = busy, count: int = count) -> None:
                start = time.thread_time()
                for tract in tracts[n::count]:
                    judged(tract, {}, ways)
                busy[n] = time.thread_time() - start

            with ThreadPoolExecutor(count) as pool:
                list(pool.map(work, range(count)))
            taken[count].append((time.perf_counter() - begun, max(busy)))
    (clock_1, busy_1), (clock_2, busy_2) = (np.median(taken[n], axis=0) for n in (1, 2))
    print(f"{len(tracts)} tracts, two threads for one: {clock_1 / clock_2:.2f} x by the clock, "
          f"{busy_1 / busy_2:.2f} x by the busier thread's processor time")  # fmt: skip


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cells", type=int, default=400)
    asked.add_argument("--places", type=int, default=3206)
    asked.add_argument("--hours", type=int, default=1229)
    asked.add_argument("--ways", type=int, default=36)
    size = asked.parse_args()
    warm()
    shape = size.cells, size.places, size.hours
    judged(invented(*shape[:1], 10, size.hours, 1), {}, 1)
    parts: dict[str, float] = {}
    tract = invented(*shape, 1)
    begun = time.perf_counter()
    judged(tract, parts, size.ways)
    took = time.perf_counter() - begun
    print(f"{size.cells} x {size.cells} cells, {size.places:,} places, "
          f"{AIRS.wind_m_s.size * WAYS} classes of wind "
          f"(load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores)")  # fmt: skip
    for name, seconds in parts.items():
        print(f"  {name:<48} {seconds:8.2f} s processor")
    print(f"  {'in all':<48} {sum(parts.values()):8.2f} s processor {took:8.2f} s clock")
    threads([invented(*shape, seed) for seed in (2, 3)], size.ways)


if __name__ == "__main__":
    main()

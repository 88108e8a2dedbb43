"""Scent over a season, every place in every class of wind; run `python bench/scent.py`.

Beside it stand a plain sum over the deer ground in NumPy, one class of wind and place at a time.
All must give the same sums on the same deer ground.
"""

from __future__ import annotations

import argparse

import numpy as np
from beside import report

from fencerow.science.ground.plume import Air, concentration, threshold
from fencerow.science.ground.scent import Field, Winds, distinct, exposure, runs_of

CELL_M, REACH_M, AIR = 5.0, 150.0, Air()


def season(hours: int, seed: int = 4) -> Winds:
    """Invented hours, their directions in tens of degrees and speeds in knots."""
    dice = np.random.default_rng(seed)
    knots = dice.choice([0, 3, 4, 5, 6, 7, 8, 10, 12, 15], hours)
    classes = np.where(knots < 7, dice.choice([2, 3, 4, 5], hours), 3)
    return distinct(10.0 * dice.integers(0, 36, hours), knots * 1852 / 3600, classes)[0]


def by_numpy(deer: np.ndarray, winds: Winds, rows, columns) -> np.ndarray:
    """Place by place and class by class, over every cell of deer ground."""
    cells = np.argwhere(deer > 0)
    weight = deer[deer > 0]
    least = threshold(REACH_M, AIR)
    total = np.zeros((rows.size, winds.from_deg.size))
    for n in range(rows.size):
        south, east = ((cells - (rows[n], columns[n])) * CELL_M).T.astype(float)
        for k in range(winds.from_deg.size):
            total[n, k] = weight[_reached(south, east, winds, k, least)].sum()
    return total


def _reached(south, east, winds: Winds, k: int, least: float) -> np.ndarray:
    speed = winds.wind_m_s[k]
    if speed < AIR.calm_m_s:
        return np.hypot(south, east) <= REACH_M / 2
    to = np.radians(winds.from_deg[k] + 180)
    ahead = east * np.sin(to) - south * np.cos(to)
    aside = east * np.cos(to) + south * np.sin(to)
    thick = concentration(winds.stability[k], speed, ahead, aside, AIR) >= least
    return thick | ((south == 0) & (east == 0))


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cells", type=int, default=400)
    asked.add_argument("--places", type=int, default=3000)
    asked.add_argument("--hours", type=int, default=1229)
    asked.add_argument("--runs", type=int, default=5)
    size = asked.parse_args()
    dice = np.random.default_rng(5)
    deer = (dice.random((size.cells, size.cells)) < 0.06).astype(float)
    winds = season(size.hours)
    rows, columns = dice.integers(0, size.cells, (2, size.places))
    runs = runs_of(winds, CELL_M, REACH_M, AIR)
    field = Field.of(deer, runs.reach)
    few = min(3, size.places)
    plain = by_numpy(deer, winds, rows[:few], columns[:few])
    assert (plain == exposure(field, runs, rows[:few], columns[:few])).all()
    print(f"{int((deer > 0).sum()):,} cells of deer ground, {size.hours:,} hours in "
          f"{winds.from_deg.size} classes, {runs.start[-1]:,} runs")  # fmt: skip
    report("runs of every class", {"NumPy": lambda: runs_of(winds, CELL_M, REACH_M, AIR)}, 3,
           "NumPy")  # fmt: skip
    ways = {
        f"NumPy, cell by cell, {few} places": lambda: by_numpy(
            deer, winds, rows[:few], columns[:few]
        ),
        f"by runs in NumPy, {size.places:,} places": lambda: exposure(field, runs, rows, columns),
    }
    took = report("scent of a season", ways, size.runs, next(iter(ways)))
    per_place = [cpu / n for (cpu, _), n in zip(took.values(), (few, size.places), strict=True)]
    print(f"  for each place {per_place[0] / per_place[1]:,.0f} x")


if __name__ == "__main__":
    main()

"""Scent over a season, every place in every class of wind; run `python bench/scent.py`.

Beside it stand a plain sum over the deer ground in NumPy and the same compiled, cell by cell, both
hour by hour as a program would that does not know how winds repeat. All must give the same sums.
"""

from __future__ import annotations

import argparse

import numpy as np
from beside import report

from fencerow.science.ground.compiled import Kernel, warm
from fencerow.science.ground.plume import Air, briggs, concentration, sway_share, threshold
from fencerow.science.ground.scent import (
    Field,
    Winds,
    along_wind,
    distinct,
    exposure,
    exposure_everywhere,
    exposure_plain,
    runs_of,
)

CELL_M, REACH_M, AIR = 5.0, 150.0, Air()


def season(hours: int, seed: int = 4) -> tuple[Winds, np.ndarray]:
    """Invented hours, their directions in tens of degrees and speeds in knots."""
    dice = np.random.default_rng(seed)
    knots = dice.choice([0, 3, 4, 5, 6, 7, 8, 10, 12, 15], hours)
    classes = np.where(knots < 7, dice.choice([2, 3, 4, 5], hours), 3)
    return distinct(10.0 * dice.integers(0, 36, hours), knots * 1852 / 3600, classes)


def by_numpy(deer: np.ndarray, winds: Winds, rows, columns) -> np.ndarray:
    """Place by place and wind by wind, over every cell of deer ground."""
    cells, weight = np.argwhere(deer > 0), deer[deer > 0]
    least = threshold(REACH_M, AIR)
    total = np.zeros((rows.size, winds.from_deg.size))
    for n in range(rows.size):
        south, east = ((cells - (rows[n], columns[n])) * CELL_M).T.astype(float)
        for k in range(winds.from_deg.size):
            total[n, k] = weight[_reached(south, east, winds, k, least)].sum()
    return total


def _reached(south, east, winds: Winds, k: int, least: float) -> np.ndarray:
    if winds.wind_m_s[k] < AIR.calm_m_s:
        return np.hypot(south, east) <= REACH_M / 2
    ahead, aside = along_wind(south, east, winds.from_deg[k])
    thick = concentration(winds.stability[k], winds.wind_m_s[k], ahead, aside, AIR) >= least
    return thick | ((south == 0) & (east == 0))


CELL_BY_CELL = (
    "void(int64[:,::1], float64[::1], int64[::1], int64[::1], float64[:,::1], float64, float64,"
    " float64, float64, float64[:,::1])"
)


def cell_by_cell(cells, weight, rows, columns, winds, cell_m, body_m, least, calm_m, total):
    """The loop as a careful person would write it: upwind and far aside are left at once."""
    for n in range(rows.size):
        for k in range(winds.shape[0]):
            to_east, to_north, wind, y0, z0, bend, power, sway = winds[k]
            amount = 0.0
            for c in range(cells.shape[0]):
                south = (cells[c, 0] - rows[n]) * cell_m
                east = (cells[c, 1] - columns[n]) * cell_m
                if wind == 0.0:
                    if south * south + east * east <= calm_m * calm_m:
                        amount += weight[c]
                    continue
                if south == 0.0 and east == 0.0:
                    amount += weight[c]
                    continue
                x = east * to_east - south * to_north
                if x <= 0.0:
                    continue
                aside = east * to_north + south * to_east
                yy = (y0 * y0 * x * x) / (1 + 0.0001 * x) + sway * sway * x * x + body_m * body_m
                if aside * aside > 40.0 * yy:
                    continue
                sz = z0 * x * (1 + bend * x) ** power
                zz = sz * sz + body_m * body_m
                up = 1.0 + np.exp(-2.0 / zz)
                thick = np.exp(-aside * aside / (2 * yy)) * up
                if thick >= least * 2 * np.pi * wind * np.sqrt(yy * zz):
                    amount += weight[c]
            total[n, k] = amount


def flat(winds: Winds) -> np.ndarray:
    """The classes as the loop takes them: a row of numbers for each."""
    to = np.radians(winds.from_deg + 180)
    wind = np.maximum(winds.wind_m_s, AIR.least_m_s)
    y, _ = briggs(winds.stability, 1.0)
    z0 = np.array([0.20, 0.12, 0.08, 0.06, 0.03, 0.016])[winds.stability]
    bend = np.array([0.0, 0.0, 0.0002, 0.0015, 0.0003, 0.0003])[winds.stability]
    power = np.array([0.0, 0.0, -0.5, -0.5, -1.0, -1.0])[winds.stability]
    calm = winds.wind_m_s < AIR.calm_m_s
    return np.column_stack([
        np.sin(to), np.cos(to), np.where(calm, 0.0, wind), y * np.sqrt(1.0001), z0, bend, power,
        sway_share(wind, AIR) * AIR.sway_m_s / wind,
    ])  # fmt: skip


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cells", type=int, default=400)
    asked.add_argument("--places", type=int, default=3000)
    asked.add_argument("--hours", type=int, default=1229)
    asked.add_argument("--runs", type=int, default=5)
    size = asked.parse_args()
    warm()
    loop = Kernel(cell_by_cell, CELL_BY_CELL)
    loop.warm()
    dice = np.random.default_rng(5)
    deer = (dice.random((size.cells, size.cells)) < 0.06).astype(float)
    winds, which = season(size.hours)
    hourly = Winds(*(part[which] for part in winds))
    rows, columns = dice.integers(0, size.cells, (2, size.places))
    runs = runs_of(winds, CELL_M, REACH_M, AIR)
    field = Field.of(deer, runs.reach)
    one, few = min(1, size.places), min(8, size.places)
    cells, weight = np.ascontiguousarray(np.argwhere(deer > 0)), deer[deer > 0]

    def looped() -> np.ndarray:
        run, total = loop.at_hand(), np.zeros((few, size.hours))
        if run is not None:
            run(cells, weight, rows[:few], columns[:few], flat(hourly), CELL_M, AIR.body_m,
                threshold(REACH_M, AIR), REACH_M / 2, total)  # fmt: skip
        return total

    ours = exposure(field, runs, rows[:few], columns[:few])[:, which]
    assert (by_numpy(deer, hourly, rows[:one], columns[:one]) == ours[:one]).all()
    if loop.at_hand() is not None:
        assert (looped() == ours).all()
    print(f"{weight.size:,} cells of deer ground, {size.hours:,} hours in "
          f"{winds.from_deg.size} classes, {runs.start[-1]:,} runs")  # fmt: skip
    report("runs of every class", {"NumPy": lambda: runs_of(winds, CELL_M, REACH_M, AIR)}, 3,
           "NumPy")  # fmt: skip
    ways = {
        f"compiled, cell by cell, places: {few}": (few, looped),
        f"NumPy, cell by cell, places: {one}": (
            one, lambda: by_numpy(deer, hourly, rows[:one], columns[:one])),
        f"by runs, NumPy, places: {size.places // 10}": (
            size.places // 10, lambda: exposure_plain(
                field, runs, rows[: size.places // 10], columns[: size.places // 10])),
        f"by runs, compiled, places: {size.places}": (
            size.places, lambda: exposure(field, runs, rows, columns)),
        f"the same, two threads, places: {size.places}": (
            size.places, lambda: exposure(field, runs, rows, columns, 2)),
        f"every cell, one class of {winds.from_deg.size}": (
            size.cells**2 / winds.from_deg.size, lambda: exposure_everywhere(field, runs, 7)),
    }  # fmt: skip
    only = {name: way for name, (_, way) in ways.items()}
    took = report("scent of a season", only, size.runs, next(iter(ways)))
    base = took[next(iter(ways))][0] / few
    for name, (places, _) in ways.items():
        each = took[name][0] / places
        print(f"  {name:<44} {1e6 * each:12.1f} us a place and season   {base / each:9,.1f} x")


if __name__ == "__main__":
    main()

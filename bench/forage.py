"""Growth and browsing of a tract: the program's way and plain NumPy, side by side.

Run `python bench/forage.py`: 12 plots, 30 years, 100 draws, each a season of 52 weeks. Both ways
must give the same ledger before their times count. `bench/forage_library.py` holds growth against a
crop-growth library.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

import numpy as np
from forage_plain import plain

from fencerow.data import Tables
from fencerow.plan.forage.plants import plant_of, settings_of
from fencerow.science.forage.canopy import KG_M2
from fencerow.science.forage.climate import usual_years
from fencerow.science.forage.days import week_lengths
from fencerow.science.forage.grazed import Runs, grazed
from fencerow.science.forage.plant import Potential, Sky, Stand
from fencerow.science.forage.season import potential
from fencerow.science.forage.years import sky_of
from fencerow.science.weather.layer import layer_of

PLANTS = ("clover_white", "rye", "oats", "soybean", "clover_red", "radish")
SOWN = {"rye": 240, "oats": 220, "soybean": 150, "radish": 210}
WEEKS = week_lengths(365)


def sky(years: int) -> Sky:
    """Invented years of a northern climate."""
    wave = -np.cos(2 * np.pi * (np.arange(12) + 0.2) / 12)
    series = usual_years(
        45.5, list(6 + 14 * wave), [12.0] * 12, list(65 + 30 * wave), [0.3] * 12, years=years
    )
    cut = [
        series.values(n)[: 365 * years].reshape(years, 365)
        for n in ("tmax_c", "tmin_c", "rain_mm", "solar_mj_m2_day")
    ]
    return sky_of(series.times[:365], 45.5, 300.0, *cut)


def stands(tables: Tables, plots: int) -> list[Stand]:
    made = []
    for at in range(plots):
        sp = PLANTS[at % len(PLANTS)]
        plant = plant_of(tables, sp)
        assert plant is not None
        kept = sp not in SOWN
        made.append(
            Stand(plant, 0, SOWN.get(sp, 0), 365, kept, plant.crown_lb_ac if kept else 60.0)
        )
    return made


def inputs(found: list[Stand], course: Potential, draws: int) -> dict[str, np.ndarray]:
    """The rest of what a run takes, drawn."""
    dice = np.random.default_rng(3)
    plots, years, days = course.growth.shape
    deer = dice.triangular(10, 20, 30, (years, draws))
    return {
        "growth": course.growth, "loss": course.loss, "up": course.up, "start": course.start,
        "dark": np.array([s.plant.leaf_ratio * s.plant.extinction * KG_M2 for s in found]),
        "crown": np.array([s.plant.crown_lb_ac for s in found]),
        "ceiling": np.array([s.plant.ceiling_lb_ac for s in found]),
        "acres": dice.uniform(0.5, 3, plots),
        "attract": np.ones((plots, days)),
        "yields": dice.triangular(0.5, 1, 1.5, (plots, years, draws)),
        "starts": dice.triangular(0.7, 1, 1.2, (plots, years, draws)),
        "use": dice.triangular(0.35, 0.5, 0.65, (years, draws)),
        "losses": dice.triangular(0.7, 1, 1.3, (years, draws)),
        "half_bite": dice.triangular(75, 100, 150, (years, draws)),
        "asked": np.broadcast_to(1.1 * deer, (days, years, draws)),
    }  # fmt: skip


def ours(given: dict[str, np.ndarray]) -> Runs:
    one = np.ones(given["attract"].shape)
    return grazed(**given, growth_factor=one, use_factor=one, week_days=WEEKS)


def median_s(run: Callable[[], object], times: int) -> float:
    took = []
    for _ in range(times):
        begin = time.perf_counter()
        run()
        took.append(time.perf_counter() - begin)
    return statistics.median(took)


def main() -> None:
    ask = argparse.ArgumentParser()
    for name, size in (("plots", 12), ("years", 30), ("draws", 100), ("runs", 3)):
        ask.add_argument(f"--{name}", type=int, default=size)
    size = ask.parse_args()
    tables = Tables.shipped()
    found, weather = stands(tables, size.plots), sky(size.years)
    layers = [layer_of(40, 20, 2.5, 48.0)]

    def season() -> Potential:
        return potential(found, layers, weather, settings_of(tables))

    given = inputs(found, season(), size.draws)
    mine, theirs = ours(given), plain(given, WEEKS)
    for name, whole in theirs.items():
        assert np.allclose(getattr(mine, name), whole, atol=1e-6), name
    print(f"{size.plots} plots, {size.years} years, {size.draws} draws; the same ledger both ways")
    first, each = median_s(season, size.runs), median_s(lambda: ours(given), size.runs)
    slow = median_s(lambda: plain(given, WEEKS), size.runs)
    print(f"weather and growth        {first:8.2f} s")
    print(f"deer and draws, ours      {each:8.2f} s")
    print(f"deer and draws, plain     {slow:8.2f} s   ({slow / each:.1f} x)")
    print(f"in all, ours              {first + each:8.2f} s")


if __name__ == "__main__":
    main()

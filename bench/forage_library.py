"""Growth beside an independent crop-growth library, AquaCrop, on the same real weather.

Run `python bench/forage_library.py` where the package `aquacrop` is installed. A cereal (spring
barley there, oats here) and a legume (soybean) are grown by both in eighteen seasons at Champion,
Nebraska, on sandy loam, with the weather and the evapotranspiration that come with the library. It
knows no light and no days of bloom as we do: it goes from transpiration to dry matter. With
`--write` the table on `docs/methods/forage.md` is set anew, and the plot beside it.
"""

from __future__ import annotations

import sys
import time
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
from forage_calibrate import PAGE, set_in

from fencerow.data import Tables
from fencerow.plan.forage.plants import plant_of, settings_of
from fencerow.science.forage.plant import Sky, Stand
from fencerow.science.forage.season import potential
from fencerow.science.forage.years import sky_of
from fencerow.science.weather.layer import layer_of
from fencerow.units import convert

YEARS = range(1983, 2001)
LATITUDE = 40.4
SANDY_LOAM = layer_of(65, 10, 2.5, 48.0)
CROPS = (("Barley", "oats", (3, 25), 70.0), ("Soybean", "soybean", (5, 20), 45.0))
"""What the library grows, what we do, when it is sown, what comes up [lb/ac]."""


@dataclass(frozen=True)
class Pair:
    """Dry matter grown in each season by both [lb/ac], and the day by which half had grown."""

    theirs: np.ndarray
    ours: np.ndarray
    their_half: np.ndarray
    our_half: np.ndarray
    their_s: float
    our_s: float

    @property
    def r(self) -> float:
        return float(np.corrcoef(self.theirs, self.ours)[0, 1])


def weather() -> object:
    from aquacrop.utils import get_filepath, prepare_weather

    return prepare_weather(get_filepath("champion_climate.txt"))


def library(record: object, crop: str, sown: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Biomass at the end of each season [lb/ac], and days from 1 January to half of it."""
    from aquacrop import AquaCropModel, Crop, InitialWaterContent, Soil

    day = f"{sown[0]:02d}/{sown[1]:02d}"
    model = AquaCropModel(
        f"{YEARS[0]}/{day}", f"{YEARS[-1]}/12/30", record, Soil("SandyLoam"),
        Crop(crop, planting_date=day), InitialWaterContent(value=["FC"]),
    )  # fmt: skip
    model.run_model(till_termination=True)
    seasons = model._outputs.crop_growth.groupby("season_counter").biomass
    rows = [s.to_numpy(float) for n, s in seasons if n >= 0][: len(YEARS)]
    total = np.array([r.max() for r in rows])
    first = [(date(y, *sown) - date(y, 1, 1)).days for y in YEARS]
    half = [f + int((r >= r.max() / 2).argmax()) for f, r in zip(first, rows, strict=True)]
    return np.array([convert(10 * t, "kg_ha", "lb_ac") for t in total]), np.array(half)


def sky(record: object) -> Sky:
    """The same days for us: 1 January on, in each year."""
    day = np.asarray(record["Date"].to_numpy(), dtype="datetime64[D]")  # type: ignore[index]
    first = [int((np.datetime64(f"{y}-01-01") - day[0]).astype(int)) for y in YEARS]

    def of(name: str) -> np.ndarray:
        values = record[name].to_numpy(float)  # type: ignore[index]
        return np.array([values[f : f + 365] for f in first])

    days = np.arange("1983-01-01", "1984-01-01", dtype="datetime64[D]")
    low, high = of("MinTemp"), of("MaxTemp")
    sun = np.full(low.shape, np.nan)
    made = sky_of(days, LATITUDE, 1029.0, np.maximum(low, high), low, of("Precipitation"), sun)
    return replace(made, eto_mm_day=of("ReferenceET"))


def ours(seen: Sky, sp: str, sown: tuple[int, int], start: float) -> tuple[np.ndarray, np.ndarray]:
    """Growth of the uncut crop in each season [lb/ac], and days from 1 January to half of it."""
    tables = Tables.shipped()
    plant = plant_of(tables, sp)
    assert plant is not None
    at = (date(1983, *sown) - date(1983, 1, 1)).days
    found = potential(
        [Stand(plant, 0, at, 365, False, start)], [SANDY_LOAM], seen, settings_of(tables)
    )
    before = np.concatenate([np.zeros((1, len(YEARS), 1)), found.cage[..., :-1]], axis=2)
    # what a day adds: what stands after it, and what it took, less what stood before
    kept = np.maximum(1 - found.loss, 1e-9)
    came = np.where(found.up[..., None] == np.arange(365), start, 0.0)
    grown = np.maximum(found.cage / kept - before - came, 0.0)[0]
    grown = np.where(found.growth[0] > 0, grown, 0.0)
    total = grown.sum(axis=1)
    return total, (np.cumsum(grown, axis=1) >= total[:, None] / 2).argmax(axis=1)


def compare(record: object) -> Iterator[tuple[str, Pair]]:
    seen = sky(record)
    for crop, sp, sown, start in CROPS:
        begin = time.perf_counter()
        theirs, their_half = library(record, crop, sown)
        middle = time.perf_counter()
        mine, half = ours(seen, sp, sown, start)
        end = time.perf_counter()
        n = len(YEARS)
        name = sp if crop.lower() == sp else f"{crop.lower()} and {sp}"
        yield (
            name,
            Pair(theirs, mine, their_half, half, (middle - begin) / n, (end - middle) / n),
        )


def table(pairs: dict[str, Pair]) -> Iterator[str]:
    yield "| season | " + " | ".join(f"{n}: library | ours" for n in pairs) + " |"
    yield "|---|" + "---|---|" * len(pairs)
    for at, year in enumerate(YEARS):
        cells = (f"{p.theirs[at]:,.0f} | {p.ours[at]:,.0f}" for p in pairs.values())
        yield f"| {year} | " + " | ".join(cells) + " |"
    means = (f"{p.theirs.mean():,.0f} | {p.ours.mean():,.0f}" for p in pairs.values())
    yield "| mean | " + " | ".join(means) + " |"
    yield ""
    for name, p in pairs.items():
        apart = round(float((p.our_half - p.their_half).mean()))
        when = f"{abs(apart)} days {'later' if apart > 0 else 'earlier'}" if apart else "as early"
        share = p.ours.mean() / p.theirs.mean()
        start = f"{name.capitalize()}: over the seasons the two go together"
        yield f"{start} with r = {p.r:.2f}; ours is"
        yield f"{share:.2f} of the library's, and half of it has grown {when}."


def draw(pairs: dict[str, Pair], file: Path) -> None:
    """A plot of ours over the library's, season by season, told by mark and not by colour."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    figure, axes = plt.subplots(1, len(pairs), figsize=(8.4, 4.2), constrained_layout=True)
    for axis, (name, p) in zip(axes, pairs.items(), strict=True):
        most = 1.08 * max(p.theirs.max(), p.ours.max())
        axis.plot([0, most], [0, most], color="0.3", linewidth=1, linestyle="--")
        axis.plot(p.theirs, p.ours, "o", color="black", markerfacecolor="white")
        for at, year in enumerate(YEARS):
            axis.annotate(f"{year % 100:02d}", (p.theirs[at], p.ours[at]), (4, 4),
                          textcoords="offset points", fontsize=7)  # fmt: skip
        axis.set(xlim=(0, most), ylim=(0, most), aspect="equal", title=f"{name}, r = {p.r:.2f}",
                 xlabel="library, lb/ac a season", ylabel="ours, lb/ac a season")  # fmt: skip
    figure.savefig(file, dpi=110, metadata={"Software": None})


def main() -> None:
    warnings.filterwarnings("ignore")
    try:
        record = weather()
    except ImportError as missing:
        print(f"aquacrop is not here ({missing})")
        return
    pairs = dict(compare(record))
    made = "\n".join(table(pairs))
    print(made)
    for name, p in pairs.items():
        print(f"{name}: library {p.their_s:.3f} s a season, ours {1000 * p.our_s:.2f} ms")
    if "--write" in sys.argv:
        text = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(set_in(text, "library", made), encoding="utf-8")
        draw(pairs, PAGE.with_name("forage-library.png"))


if __name__ == "__main__":
    main()

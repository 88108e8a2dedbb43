"""Calibrates growth to the published yields, and holds its months against the published ones.

Run `python bench/forage_calibrate.py` to see the tables; with `--write` it sets
`forage_growth_scale.csv` and the tables of `docs/methods/forage.md` anew. A test runs it too, and
fails where either is no longer what comes out.

The weather is that of twelve invented years whose months are those of Rice Lake, Wisconsin, or of
Memphis, Tennessee (`forage_climates.csv`), on loam. Crops are cut to 300 lb an acre above the crown
at the end of each month, as trials are; of what is grazed once (fall oats and brassicas, summer
legumes) the yield is what stands at most.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

import numpy as np

from fencerow.data import HERE, Tables
from fencerow.plan.forage.plants import plant_of, settings_of
from fencerow.science.forage.canopy import KG_M2
from fencerow.science.forage.climate import usual_years
from fencerow.science.forage.plant import Potential, Sky, Stand
from fencerow.science.forage.season import left, potential
from fencerow.science.forage.years import sky_of
from fencerow.science.weather.layer import layer_of
from fencerow.units import convert

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/methods/forage.md"
SCALES = HERE / "forage_growth_scale.csv"
LATITUDE = {"north": 45.5, "south": 35.1}
LOAM = layer_of(40, 20, 2.5, 48.0)
FIRST, DAYS, YEARS = date(2001, 1, 1), 730, 12
CUT_TO = 300.0
UP_SHARE, USEFUL = 0.7, 150.0
SOWN = {
    "small grain": {"north": (8, 25), "south": (9, 20)},
    "ryegrass": {"north": (8, 15), "south": (9, 20)},
    "annual clover": {"north": (8, 15), "south": (9, 20)},
    "brassica": {"north": (7, 25), "south": (8, 25)},
    "warm legume": {"north": (6, 1), "south": (5, 25)},
    "late warm legume": {"north": (6, 1), "south": (5, 25)},
    "warm forb": {"north": (6, 1), "south": (5, 15)},
}
EARLY = {("oats", "north"): (8, 3)}
"""Seeded to be grazed before winter."""
ONCE = {"brassica", "warm legume", "late warm legume", "warm forb"}
BEFORE_WINTER = {"brassica"}
SOUTH = {"annual clover", "ryegrass", "late warm legume"}
"""Groups whose yields are of the South."""


@dataclass(frozen=True)
class Grown:
    """What a stand gives in each year [lb/ac], by day and in all, and its days to first forage."""

    sp: str
    region: str
    sown_at: int
    kept: bool
    total: np.ndarray
    new: np.ndarray
    stood: np.ndarray

    @property
    def months(self) -> np.ndarray:
        """The mean share of a year's growth in each month."""
        at = 365 if self.kept else 0
        number = (np.datetime64(FIRST) + np.arange(DAYS)).astype("datetime64[M]").astype(int) % 12
        sums = [self.new[at:][number[at:] == m].sum(axis=0) for m in range(12)]
        return (np.array(sums) / np.maximum(self.new[at:].sum(axis=0), 1e-9)).mean(axis=1)

    def share_by(self, month: int, day: int) -> float:
        """The mean share of a season's growth by a day; from May on of the year of seeding."""
        year = 2001 if month > 5 else 2002
        at = (date(year, month, day) - FIRST).days
        return float((self.new[: at + 1].sum(axis=0) / self.new.sum(axis=0)).mean())

    @property
    def weeks(self) -> tuple[float, float, float]:
        """Weeks from seeding to first forage: in an early, a middling and a late year."""
        useful = self.stood >= USEFUL
        first = np.where(useful.any(axis=0), useful.argmax(axis=0), DAYS) - self.sown_at
        found = np.quantile(first, (0.1, 0.5, 0.9)) / 7
        return float(found[0]), float(found[1]), float(found[2])


class Calibration:
    """Every plant in its climates, at given factors."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self.group = {r.key: r.text("group") for r in tables["forage_growth_plants"]}

    @cached_property
    def skies(self) -> dict[str, Sky]:
        """Pairs of invented years in the usual climate of each region."""
        return {region: self._sky(region, latitude) for region, latitude in LATITUDE.items()}

    def _sky(self, region: str, latitude: float) -> Sky:
        rows = [self.tables["forage_climates"].row(region, str(m)) for m in range(1, 13)]
        means, swings, rains, wets = (
            [r.number(n) or 0.0 for r in rows]
            for n in ("mean_f", "swing_f", "rain_in", "wet_share")
        )
        series = usual_years(
            latitude, [convert(f, "f", "c") for f in means], [f / 1.8 for f in swings],
            [convert(i, "in", "mm") for i in rains], wets, years=YEARS + 1,
        )  # fmt: skip
        days = np.datetime64(FIRST, "D") + np.arange(DAYS)
        first = [
            int((np.datetime64(f"{2001 + y}-01-01") - days[0]).astype(int)) for y in range(YEARS)
        ]
        names = ("tmax_c", "tmin_c", "rain_mm", "solar_mj_m2_day")
        cut = (np.array([series.values(n)[s : s + DAYS] for s in first]) for n in names)
        return sky_of(days, latitude, 300.0, *cut)

    def regions(self, sp: str) -> tuple[str, ...]:
        """The regions whose yields a plant is set to."""
        return ("south",) if self.group[sp] in SOUTH else ("north", "south")

    def published(self, sp: str, region: str) -> tuple[float, float]:
        """The published range of its yield [lb/ac]."""
        rows = self.tables["forage_yield"].rows
        row = rows.get(f"{sp}/{region}") or rows[f"{sp}/any"]
        return row.number("low_lb_ac") or 0.0, row.number("high_lb_ac") or 0.0

    def wanted(self, sp: str) -> float:
        """The middle of the published yields, over its regions [lb/ac]."""
        return float(np.mean([sum(self.published(sp, r)) / 2 for r in self.regions(sp)]))

    def once(self, sp: str, region: str) -> bool:
        return self.group[sp] in ONCE or (sp, region) in EARLY

    def grown(self, scales: Mapping[str, float]) -> dict[tuple[str, str], Grown]:
        """Every plant in every region of it."""
        settings, found = settings_of(self.tables), {}
        for region, sky in self.skies.items():
            names = [sp for sp in self.group if region in self.regions(sp)]
            stands = [self._stand(sp, region, scales[sp]) for sp in names]
            course = potential(stands, [LOAM], sky, settings)
            for at, sp in enumerate(names):
                found[sp, region] = self._cut(sp, region, stands[at], course, at, sky)
        return found

    def _stand(self, sp: str, region: str, scale: float) -> Stand:
        """A full seeding on its usual day; what winters is kept."""
        plant = plant_of(self.tables, sp, scale=scale)
        assert plant is not None
        day = EARLY.get((sp, region)) or SOWN.get(self.group[sp], {}).get(region)
        if day is None:
            return Stand(plant, 0, 0, DAYS, True, plant.crown_lb_ac)
        rates = self.tables["seeding_rates"].rows
        row = rates.get(f"{sp}/broadcast") or rates[f"{sp}/drilled"]
        rate = ((row.number("low_lb_ac") or 0.0) + (row.number("high_lb_ac") or 0.0)) / 2
        return Stand(plant, 0, (date(2001, *day) - FIRST).days, DAYS, False, UP_SHARE * rate)

    def _cut(
        self, sp: str, region: str, stand: Stand, course: Potential, at: int, sky: Sky
    ) -> Grown:
        """A stand through its years, cut as the trials were whose yields are published."""
        plant, once = stand.plant, self.once(sp, region)
        dark = plant.leaf_ratio * plant.extinction * KG_M2
        stock, gave = np.zeros(YEARS), np.zeros(YEARS)
        new, stood = np.zeros((DAYS, YEARS)), np.zeros((DAYS, YEARS))
        month = sky.days.astype("datetime64[M]")
        ends = np.append(month[1:] != month[:-1], True)
        crown = np.full(YEARS, plant.crown_lb_ac)
        stop = 365 + 31 if self.group[sp] in BEFORE_WINTER else DAYS
        for day in range(stop):
            stock = stock + np.where(course.up[at] == day, stand.start_lb_ac, 0.0)
            new[day] = course.growth[at, :, day] * (1 - np.exp(-dark * stock))
            new[day] *= np.maximum(0.0, 1 - stock / plant.ceiling_lb_ac)
            stock = left(stock + new[day], course.loss[at, :, day], crown)
            stood[day] = stock
            if ends[day] and not once:
                cut = np.maximum(stock - plant.crown_lb_ac - CUT_TO, 0.0)
                stock = stock - cut
                gave = gave + (cut if day >= 365 or not stand.kept else 0.0)
        total = stood.max(axis=0) if once else gave
        return Grown(sp, region, stand.sown_at, stand.kept, total, new, stood)

    def got(self, sp: str, grown: Mapping[tuple[str, str], Grown]) -> float:
        """A plant's yield, over its regions and years [lb/ac]."""
        return float(np.mean([grown[sp, r].total.mean() for r in self.regions(sp)]))

    def solve(self, turns: int = 16) -> dict[str, float]:
        """The factors that bring every plant to the middle of its published yields."""
        scales = dict.fromkeys(self.group, 0.8)
        for _ in range(turns):
            grown = self.grown(scales)
            for sp in scales:
                ratio = self.wanted(sp) / max(self.got(sp, grown), 1.0)
                scales[sp] = min(4.0, scales[sp] * min(2.0, max(0.5, ratio**0.5)))
        return {sp: round(s, 3) for sp, s in scales.items()}

    def months(self, sp: str, region: str) -> list[float] | None:
        """The published share of each month, where a curve was drawn."""
        row = self.tables["forage_curves"].rows.get(f"{sp}/{region}")
        if row is None:
            return None
        curve = self.tables["growth_curves"]
        return [
            curve.row(row.text("curve"), str(m)).number("month_share") or 0.0 for m in range(1, 13)
        ]


def shipped(tables: Tables) -> dict[str, float]:
    """The factors that ship."""
    return {r.key: r.number("scale") or 0.0 for r in tables["forage_growth_scale"]}


SHOWN = (
    ("clover_white", "north"), ("clover_white", "south"), ("clover_red", "north"),
    ("alfalfa", "north"), ("chicory", "south"), ("clover_crimson", "south"), ("rye", "north"),
    ("rye", "south"), ("oats", "north"), ("radish", "south"), ("soybean", "south"),
    ("cowpea", "south"), ("lablab", "south"),
)  # fmt: skip
"""The plants whose months are printed."""
GRAINS = ("rye", "triticale", "oats", "wheat")
TRIAL = {
    "12-04": {"all": 21.0},
    "02-20": {"all": 35.0, "rye": 46.0, "triticale": 36.0, "oats": 35.0, "wheat": 19.0},
}
"""Percent of the season cut by a day in Oklahoma, 2003-04 (noble-small-grains-2004)."""


def yields_table(found: Calibration, grown: Mapping[tuple[str, str], Grown]) -> Iterator[str]:
    yield "| plant | where | predicted, lb/ac (10 to 90 % of years) | published | |"
    yield "|---|---|---|---|---|"
    for (sp, region), g in sorted(grown.items(), key=lambda kv: list(found.group).index(kv[0][0])):
        low, high = found.published(sp, region)
        few, many = np.quantile(g.total, (0.1, 0.9))
        rows = found.tables["forage_yield"].rows
        row = rows.get(f"{sp}/{region}") or rows[f"{sp}/any"]
        name = found.tables["species"].row(sp).text("common")
        mark = "seen" if row.basis <= 2 else "†"
        yield (
            f"| {name} | {region} | {_two(g.total.mean())} ({_two(few)} to {_two(many)})"
            f" | {low:,.0f} to {high:,.0f} | {mark} |"
        )


def months_table(found: Calibration, grown: Mapping[tuple[str, str], Grown]) -> Iterator[str]:
    letters = ["J", "F", "M", "A", "M", "J", "J", "A", "S", "O", "N", "D"]
    yield "| plant, where | | " + " | ".join(letters) + " |"
    yield "|---|---|" + "---|" * 12
    for sp, region in SHOWN:
        name = found.tables["species"].row(sp).text("common")
        predicted = " | ".join(f"{100 * m:.0f}" for m in grown[sp, region].months)
        yield f"| {name}, {region} | predicted | {predicted} |"
        published = found.months(sp, region)
        if published:
            yield "| | published | " + " | ".join(f"{100 * m:.0f}" for m in published) + " |"


def trial_table(grown: Mapping[tuple[str, str], Grown]) -> Iterator[str]:
    yield "| percent of the season | predicted | published |"
    yield "|---|---|---|"
    for day, wanted in TRIAL.items():
        month, number = (int(p) for p in day.split("-"))
        got = {sp: 100 * grown[sp, "south"].share_by(month, number) for sp in GRAINS}
        got["all"] = float(np.mean(list(got.values())))
        when = "4 December" if month == 12 else "20 February"
        for name, percent in wanted.items():
            whose = "small grains" if name == "all" else name
            yield f"| {whose}, by {when} | {got[name]:.0f} | {percent:.0f} |"


def weeks_table(grown: Mapping[tuple[str, str], Grown]) -> Iterator[str]:
    yield "| weeks from seeding until 500 lb/ac stand, in the middle year | predicted | published |"
    yield "|---|---|---|"
    for sp, region, name, published in (
        ("rye", "north", "rye, north", "5 to 7, to grazing"),
        ("rye", "south", "rye, south", "5 to 7, to grazing (Midwest)"),
        ("oats", "north", "oats, north", "4 to 5 †"),
        ("radish", "north", "radish, north", "5 to 6 †"),
        ("soybean", "south", "soybean, south", "3 to 4 †"),
        ("soybean", "north", "soybean, north", "3 to 4 †"),
    ):
        stood = grown[sp, region].stood >= 500
        first = np.where(stood.any(axis=0), stood.argmax(axis=0), DAYS) - grown[sp, region].sown_at
        yield f"| {name} | {np.median(first) / 7:.0f} | {published} |"


def _two(amount: float) -> str:
    """To two places that count."""
    return f"{float(f'{amount:.2g}'):,.0f}"


def page(found: Calibration, grown: Mapping[tuple[str, str], Grown], text: str) -> str:
    """The page with its tables set anew, between the marks that name them."""
    for name, table in (
        ("yields", yields_table(found, grown)), ("months", months_table(found, grown)),
        ("trial", trial_table(grown)), ("weeks", weeks_table(grown)),
    ):  # fmt: skip
        text = set_in(text, name, "\n".join(table))
    return text


def set_in(text: str, name: str, table: str) -> str:
    """A text with a table between the marks of its name."""
    begin, end = f"<!-- {name} -->\n", f"\n<!-- {name} end -->"
    before, rest = text.split(begin)
    return f"{before}{begin}{table}{end}{rest.split(end)[1]}"


def main() -> None:
    found = Calibration(Tables.shipped())
    scales = shipped(found.tables)
    if "--write" in sys.argv:
        scales = found.solve()
        rows = [f"{sp},{s},{found.wanted(sp):g},judgement,from memory" for sp, s in scales.items()]
        SCALES.write_text("\n".join([HEAD, "sp,scale,yield_lb_ac,source,basis", *rows, ""]))
    grown = found.grown(scales)
    made = page(found, grown, PAGE.read_text(encoding="utf-8"))
    if "--write" in sys.argv:
        PAGE.write_text(made, encoding="utf-8")
    for name in ("yields", "months", "trial", "weeks"):
        print(made.split(f"<!-- {name} -->")[1].split(f"<!-- {name} end -->")[0])


HEAD = (
    "# Growth as calibrated: written by bench/forage_calibrate.py, in the usual climates of"
    " forage_climates."
)

if __name__ == "__main__":
    main()

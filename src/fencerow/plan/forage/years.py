"""The runs by weather: every year of the record, each with draws of deer, growth and use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fencerow.figure import Figure, Parts, assume, formula_of
from fencerow.plan.forage.crops import Crop
from fencerow.plan.forage.herd import MONTHS, HerdNeed
from fencerow.plan.forage.learned import Guard, Learned, guard_inputs, guarded
from fencerow.plan.forage.plants import settings_of
from fencerow.plan.forage.runs import Span
from fencerow.plan.forage.series import by_month
from fencerow.plan.graph import Given
from fencerow.plan.learning.factors import Steps, by_day, steps
from fencerow.plan.work.fitness import soils_of, winter_of
from fencerow.science.forage.assimilation import drawn_in
from fencerow.science.forage.canopy import KG_M2
from fencerow.science.forage.days import month_of
from fencerow.science.forage.draws import mixed, triangles, uniform
from fencerow.science.forage.grazed import Runs, grazed
from fencerow.science.forage.plant import Sky
from fencerow.science.forage.season import potential
from fencerow.science.forage.years import years_of
from fencerow.science.weather.layer import Layer, layer_of
from fencerow.science.weather.series import Floats
from fencerow.tract.bodies import Deer
from fencerow.tract.model import Kept

DRAWS = 12
"""Draws to a year: thirty years make 360 runs, enough for shares in twentieths."""
USUAL_TEXTURE, USUAL_TO_FC_H = "loam", 48.0


@dataclass(frozen=True, eq=False)
class Drawn:
    """The ledger of every run [run, crop, week] in lb; `asked` and `short` for all [run, week]."""

    growth: Floats
    eaten: Floats
    lost: Floats
    standing: Floats
    asked: Floats
    short: Floats
    herd: Floats


@dataclass(frozen=True)
class Weather:
    """The years of the record, their sky, and the soil of every plot by its number."""

    years: tuple[int, ...]
    sky: Sky
    layers: tuple[Layer, ...]
    layer_of: Mapping[str, int]
    assumed: frozenset[str]


def weather_of(given: Given, span: Span) -> Weather | None:
    """The weather that growth is run in; None where the record does not carry it."""
    if given.daily is None or given.daily.typical:
        return None
    # snow reaches the ground when it melts, as it does for the work
    record = replace(given.daily, rain_mm=winter_of(given.daily).reaching_mm)
    found = years_of(record, span.before, span.days, given.as_of)
    if found is None:
        return None
    soils = soils_of(given)
    usual = given.tables["soil_textures"].row(USUAL_TEXTURE)
    sand, clay, om = (usual.number(c) or 0.0 for c in ("sand_pct", "clay_pct", "om_pct"))
    layers = [layer_of(sand, clay, om, USUAL_TO_FC_H)]
    at = {}
    for plot in given.tract.plots():
        at[plot.id] = len(layers) if plot.id in soils else 0
        layers += [soils[plot.id].layer] if plot.id in soils else []
    assumed = frozenset(p for p, i in at.items() if i == 0)
    return Weather(*found, tuple(layers), at, assumed)


def run_years(
    given: Given, weather: Weather, crops: Sequence[Crop], span: Span, deer: Kept[Deer] | None,
    need: HerdNeed | None, learned: Learned,
) -> Parts[Drawn]:  # fmt: skip
    """Every run of the ledger by weather; without deer nothing is eaten."""
    stands = [c.sown.stand for c in crops if c.sown]
    course = potential(stands, weather.layers, weather.sky, settings_of(given.tables))
    dice = _Dice(given, len(weather.years), crops, learned)
    growth_factor, use_factor = steps(learned)
    asked, herd = _asked(dice, deer, need, weather.sky)
    guards = [guarded(given.tract, given.tables, c, "likely") for c in crops]
    runs = grazed(
        growth=course.growth, loss=course.loss, up=course.up, start=course.start,
        dark=_dark(crops), crown=[s.plant.crown_lb_ac for s in stands],
        ceiling=[s.plant.ceiling_lb_ac for s in stands], acres=_acres(crops),
        attract=_attract(crops, guards, span), growth_factor=_factors(crops, growth_factor, span),
        use_factor=_factors(crops, use_factor, span), yields=dice.yields(),
        starts=dice.starts(), use=dice.use(), losses=dice.losses(), half_bite=dice.half_bite(),
        asked=asked, week_days=span.weeks,
    )  # fmt: skip
    inputs = _inputs(given, crops, weather, deer, need) | guard_inputs(crops, guards)
    for crop in crops:
        if crop.planting in learned:
            inputs |= learned[crop.planting].named(crop.name)
    return Parts(_drawn(runs, _acres(crops), herd, span), formula_of(grazed), inputs)


class _Dice:
    """The draws of a tract, by name."""

    def __init__(self, given: Given, years: int, crops: Sequence[Crop], learned: Learned) -> None:
        self.tables, self.seed, self.years, self.crops = given.tables, given.seed, years, crops
        self.learned = learned

    def of(self, name: str) -> Floats:
        return uniform(self.seed, name, self.years, DRAWS)

    def row(self, table: str, key: str, unit: str) -> Floats:
        row = self.tables[table].row(key)
        columns = (f"{c}{unit}" for c in ("low", "likely", "high"))
        low, likely, high = (row.number(c) or 0.0 for c in columns)
        return triangles(low, likely, high, self.of(key))

    def yields(self) -> Floats:
        """A factor on each crop's growth: half of its spread it shares with all the others.

        Where clips have told of a crop, no more is left of its spread than they leave.
        """
        out = np.empty((len(self.crops), self.years, DRAWS))
        common = self.of("yield")
        for at, crop in enumerate(self.crops):
            own = mixed(common, self.of(f"yield of {crop.plot} {crop.species}"))
            low, likely, high = (crop.growth.of(c).number() for c in ("low", "likely", "high"))
            set_to = self.tables["forage_growth_scale"].row(crop.species).number("yield_lb_ac")
            ground = crop.sown.ground.number() if crop.sown else 1.0
            held = crop.sown.stand.held_back if crop.sown else 1.0
            middle = (set_to or 1.0) * ground * _soil(crop)
            if not held:
                out[at] = 0.0
                continue
            found = self.learned.get(crop.planting)
            band = found.growth.band.number() if found else 1.0
            drawn = triangles(low, likely, high, own)
            out[at] = drawn_in(likely, drawn, band) / max(middle, 1e-9)
        return out

    def starts(self) -> Floats:
        likely = self.tables["forage_model"].row("seedlings up").number("likely_share") or 1.0
        sprung = self.row("forage_model", "seedlings up", "_share") / likely
        kept = np.array([1.0 if c.sown and c.sown.stand.kept else 0.0 for c in self.crops])
        return np.where(kept[:, None, None] > 0, 1.0, sprung[None])

    def use(self) -> Floats:
        return self.row("forage_shares", "usable", "_share")

    def losses(self) -> Floats:
        """A factor on the loss, as the ends of its range stand to its middle."""
        row = self.tables["standing_loss"].row("7")
        fast, likely, slow = (row.number(f"{c}_share") or 0.0 for c in ("fast", "likely", "slow"))
        return triangles(fast / likely, 1.0, slow / likely, self.of("standing loss"))

    def half_bite(self) -> Floats:
        return self.row("forage_masses", "half bite", "_lb_ac")


def _soil(crop: Crop) -> float:
    return crop.sown.figures["soil"].number() if crop.sown else 1.0


def _asked(
    dice: _Dice, deer: Kept[Deer] | None, need: HerdNeed | None, sky: Sky
) -> tuple[Floats, Floats]:
    """What deer look for in the plots, and eat in all, on each day [day, year, draw]."""
    shape = (len(sky.days), dice.years, DRAWS)
    if deer is None or need is None:
        return np.zeros(shape), np.zeros(shape)
    body = deer.body
    number = triangles(body.low, body.likely, body.high, dice.of("deer"))
    month = month_of(sky.days) - 1
    each = np.array([f.number() for f in need.each])[month]
    herd = each[:, None, None] * number
    at = dice.of("share of plots")
    share = np.empty((12, dice.years, DRAWS))
    for m in range(12):
        low, likely, high = (need.share[c][m].number() for c in ("low", "likely", "high"))
        share[m] = triangles(low, likely, high, at)
    return herd * share[month], herd


def _dark(crops: Sequence[Crop]) -> list[float]:
    plants = [c.sown.stand.plant for c in crops if c.sown]
    return [p.leaf_ratio * p.extinction * KG_M2 for p in plants]


def _acres(crops: Sequence[Crop]) -> Floats:
    """The ground that each crop holds."""
    return np.array([c.acres.number() * c.sown.ground.number() for c in crops if c.sown])


def _attract(crops: Sequence[Crop], guards: Sequence[Guard | None], span: Span) -> Floats:
    """How deer seek each crop on each day that it is there, less where it is guarded."""
    out = np.zeros((len(crops), span.days))
    for at, (crop, guard) in enumerate(zip(crops, guards, strict=True)):
        if crop.sown is None:
            continue
        stand = crop.sown.stand
        out[at, max(0, stand.sown_at) : max(0, stand.gone_at)] = crop.sown.seek
        if guard is not None:
            out[at, : max(0, (guard.until - span.before).days + 1)] *= guard.share.number()
    return out


def _factors(crops: Sequence[Crop], steps: Mapping[str, Steps], span: Span) -> Floats:
    out = np.ones((len(crops), span.days))
    for at, crop in enumerate(crops):
        out[at] = by_day(steps.get(crop.planting, ()), span.before, span.days)
    return out


def _drawn(runs: Runs, acres: Floats, herd: Floats, span: Span) -> Drawn:
    """The runs in one row, in lb."""

    def by_run(values: Floats) -> Floats:
        """[crop, week, year, draw] to [run, crop, week], in its place: there may be much of it."""
        values *= acres[:, None, None, None]
        return values.reshape(*values.shape[:2], -1).transpose(2, 0, 1)

    def all_of(values: Floats) -> Floats:
        return np.ascontiguousarray(values.reshape(values.shape[0], -1).T)

    starts = [0, *np.cumsum(span.weeks)[:-1].tolist()]
    return Drawn(
        by_run(runs.growth), by_run(runs.eaten), by_run(runs.lost), by_run(runs.standing),
        all_of(runs.asked), all_of(runs.short), all_of(np.add.reduceat(herd, starts, axis=0)),
    )  # fmt: skip


def _inputs(
    given: Given, crops: Sequence[Crop], weather: Weather, deer: Kept[Deer] | None,
    need: HerdNeed | None,
) -> dict[str, Figure]:  # fmt: skip
    """Every figure behind the runs, by a name to show."""
    years = weather.years
    found = {
        "weather_years": assume(
            float(len(years)), "years", "forage-years", first=min(years), last=max(years)
        ),
        "draws_count": assume(float(DRAWS), "count", "forage-draws", seed=given.seed),
        "usable_share": given.tables["forage_shares"].row("usable").figure("likely_share"),
        "half_lb_ac": given.tables["forage_masses"].row("half bite").figure("likely_lb_ac"),
    }
    for crop in crops:
        found |= crop_figures(crop)
    if deer is not None and need is not None:
        cases = ("low", "likely", "high")
        found |= {f"deer_{c}": deer.figure(c, "judged", unit="count") for c in cases}
        found |= by_month("each", need.each) | by_month("plot_share", need.share["likely"])
    losses = [given.tables["standing_loss"].row(str(m)).figure("likely_share") for m in MONTHS]
    return found | by_month("loss", losses)


def crop_figures(crop: Crop) -> dict[str, Figure]:
    """The figures that a crop's growth by weather is made of, named for the crop."""
    named = {f"{crop.name}-growth": crop.growth.likely, f"{crop.name}-area": crop.acres}
    made_of = crop.sown.figures if crop.sown else {}
    return named | {f"{crop.name}-{n}": f for n, f in made_of.items() if n != "ground"}

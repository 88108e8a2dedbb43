"""What is to be said beside the ledger: what is not counted, what may fail, what can harm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fencerow.data import Row
from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.forage.crops import Crop, has_water_ph, record_of, region_of
from fencerow.plan.forage.years import DRAWS
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.show import Told, amount, brief
from fencerow.science.forage.draws import rounded
from fencerow.words import Message

ABOUT = "forage"
FRAGILE = 1
HAZARDS = {
    "prussic acid": "forage-prussic-acid",
    "nitrate": "forage-nitrate",
    "moldy sweetclover": "forage-sweetclover",
}


def forage_said(
    given: Given, body: Forage, crops: Sequence[Crop], boundary: Figure | None
) -> Iterator[Said]:
    """Every sentence of the section."""
    yield from _herd(given, body, boundary)
    yield from _limits(given, body, crops)
    yield from _weather(body)
    for place, plot in body.plots.items():
        yield from _plot(given, body, place, plot, [s for s in crops if s.plot == place])


def _note(message: str, /, **params: object) -> Said:
    return Said.of(Weight.NOTE, ABOUT, message, **params)


def _herd(given: Given, body: Forage, boundary: Figure | None) -> Iterator[Said]:
    if body.year is None:
        yield Said.of(Weight.ASK, ABOUT, "forage-no-deer")
        return
    low, likely, high = (Told(f"{f.number():.0f}", f) for f in _each(body))
    if likely.figure.number():
        yield Said.of(
            Weight.NOTE, ABOUT, "forage-short",
            weeks=likely, low=low, high=high,
            day=brief(body.year.first_short),
        )  # fmt: skip
    shares = {r.key: r.number("herd_share") or 0.0 for r in given.tables["herd_make_up"]}
    yield _note("forage-make-up", **{k: f"{100 * v:.0f}" for k, v in shares.items()})
    yield from _home_range(given, boundary)


def _each(body: Forage) -> tuple[Figure, Figure, Figure]:
    assert body.year is not None
    weeks = body.year.weeks_short
    return weeks.low, weeks.likely, weeks.high


def _home_range(given: Given, boundary: Figure | None) -> Iterator[Said]:
    doe, buck = (given.tables["home_range"].row(c) for c in ("doe", "buck"))
    most = buck.number("high_ac") or 0.0
    if boundary is None or not boundary.known or boundary.number() < most:
        yield _note("forage-home-range", doe=_acres(doe), buck=_acres(buck))


def _acres(row: Row) -> Amount:
    return Amount(row.number("low_ac") or 0.0, "ac", row.number("high_ac"), printed=True)


def _weather(body: Forage) -> Iterator[Said]:
    """How the runs were made, and the week that is likeliest to fall short."""
    if not body.years:
        return
    runs = len(body.years) * DRAWS
    yield _note("forage-by-weather", years=len(body.years), runs=f"{runs:,}")
    if body.short_chance is not None:
        shares = body.short_chance.likely
        worst = max(range(len(shares)), key=lambda w: shares[w] or 0.0)
        figure = body.short_chance.figure(worst)
        share = Told(f"{100 * rounded(figure.number(), runs):.0f} %", figure)
        if figure.number():
            day = body.short_chance.day(worst)
            yield _note("forage-chance-short", day=day, share=share)


def _limits(given: Given, body: Forage, crops: Sequence[Crop]) -> Iterator[Said]:
    """What the figures cannot carry, said wherever they are shown."""
    yield _note("forage-ranks")
    if body.years:
        return
    yield _note("forage-usual-year")
    if record_of(given) is None and any(c.known for c in crops):
        yield _note("forage-no-frost")
    state = given.tract.about.body.state
    row = given.tables["forage_regions"].rows.get(state)
    if row is not None and row.text("between") == "yes":
        yield Said.of(Weight.DOUBT, ABOUT, "forage-between", state=state, region=row.text("region"))
    elif region_of(given.tables, state) is None and crops:
        yield Said.of(Weight.ASK, ABOUT, "forage-ask-region", state=state or "none")


def _plot(
    given: Given, body: Forage, place: str, plot: ForagePlot, crops: Sequence[Crop]
) -> Iterator[Said]:
    for why, names in _unknown(crops).items():
        yield Said.of(Weight.DOUBT, place, "forage-not-counted", place=plot.name,
                      species=", ".join(names), why=why)  # fmt: skip
    if not has_water_ph(given.tract.soil_test_of(place, given.as_of)):
        yield Said.of(Weight.DOUBT, place, "forage-no-test", place=plot.name)
    if body.years and _texture_assumed(given, place):
        yield Said.of(Weight.ASK, place, "forage-assumed-soil", place=plot.name)
    yield from _chances(given, place, plot, crops)
    for crop in {s.species: s for s in crops}.values():
        yield from _fragile(given, place, plot, crop)
        yield from _hazards(given, place, plot, crop)


def _unknown(crops: Sequence[Crop]) -> dict[Message, list[str]]:
    """Plants of which nothing is counted, by the reason why."""
    found: dict[Message, list[str]] = {}
    for crop in crops:
        if crop.unknown is not None:
            names = found.setdefault(crop.unknown, [])
            names += [crop.common] if crop.common not in names else []
    return found


def _texture_assumed(given: Given, place: str) -> bool:
    plot = next(p for p in given.tract.plots() if p.id == place)
    test = given.tract.soil_test_of(place, given.as_of)
    return plot.body.texture is None and (test is None or test.body.texture is None)


def _chances(given: Given, place: str, plot: ForagePlot, crops: Sequence[Crop]) -> Iterator[Said]:
    """How often the plot is bare on its day, and which planting seldom makes it."""
    if plot.bare is not None and plot.bare.chance.number() >= OFTEN:
        bare = plot.bare
        yield Said.of(Weight.DOUBT, place, "forage-bare", place=plot.name, least=amount(bare.least),
                      day=brief(bare.on), share=_share(bare.chance))  # fmt: skip
    tender = {c.planting for c in crops if _tender(given, c)}
    for id_, planting in plot.plantings.items():
        made = planting.made_it
        if id_ in tender and made is not None and made.number() <= 1 - OFTEN:
            yield Said.of(Weight.DOUBT, place, "forage-fails", place=plot.name,
                          planting=planting.blend, share=_share(made))  # fmt: skip


OFTEN = 0.5
"""The share of runs from which on something is said to happen often."""
TENDER = 2


def _tender(given: Given, crop: Crop) -> bool:
    """Whether a plant bears browsing badly."""
    row = given.tables["browse_tolerance"].rows.get(crop.species)
    return row is not None and (row.number("tolerance") or 0.0) <= TENDER


def _share(figure: Figure) -> Told:
    return Told(f"{100 * figure.number():.0f} %", figure)


def _fragile(given: Given, place: str, plot: ForagePlot, crop: Crop) -> Iterator[Said]:
    species = plot.plantings[crop.planting].species[crop.species]
    if species.critical is not None and species.critical.known:
        if plot.acres.number() < species.critical.number():
            yield Said.of(Weight.DOUBT, place, "forage-too-small", place=plot.name,
                          species=crop.common, acres=amount(plot.acres),
                          critical=amount(species.critical))  # fmt: skip
    elif species.tolerance is not None and species.tolerance.value == FRAGILE:
        yield Said.of(Weight.DOUBT, place, "forage-fragile", place=plot.name, species=crop.common)


def _hazards(given: Given, place: str, plot: ForagePlot, crop: Crop) -> Iterator[Said]:
    for row in given.tables["forage_cautions"]:
        if row.text("sp") == crop.species and row.text("hazard") in HAZARDS:
            weight = Weight(row.text("weight"))
            yield Said.of(weight, place, HAZARDS[row.text("hazard")], place=plot.name,
                          species=crop.common)  # fmt: skip

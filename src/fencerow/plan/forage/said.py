"""What is to be said beside the ledger: what is not counted, what may fail, what can harm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fencerow.data import Row
from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.forage.crops import Crop, has_water_ph, record_of, region_of
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.show import Told, amount, brief
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
    yield from _limits(given, crops)
    for place, plot in body.plots.items():
        yield from _plot(given, place, plot, [s for s in crops if s.plot == place])


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


def _limits(given: Given, crops: Sequence[Crop]) -> Iterator[Said]:
    """What the figures cannot carry, said wherever they are shown."""
    yield _note("forage-ranks")
    yield _note("forage-usual-year")
    if record_of(given) is None and any(c.known for c in crops):
        yield _note("forage-no-frost")
    state = given.tract.about.body.state
    row = given.tables["forage_regions"].rows.get(state)
    if row is not None and row.text("between") == "yes":
        yield Said.of(Weight.DOUBT, ABOUT, "forage-between", state=state, region=row.text("region"))
    elif region_of(given.tables, state) is None and crops:
        yield Said.of(Weight.ASK, ABOUT, "forage-ask-region", state=state or "none")


def _plot(given: Given, place: str, plot: ForagePlot, crops: Sequence[Crop]) -> Iterator[Said]:
    for why, names in _unknown(crops).items():
        yield Said.of(Weight.DOUBT, place, "forage-not-counted", place=plot.name,
                      species=", ".join(names), why=why)  # fmt: skip
    if not has_water_ph(given.tract.soil_test_of(place, given.as_of)):
        yield Said.of(Weight.DOUBT, place, "forage-no-test", place=plot.name)
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

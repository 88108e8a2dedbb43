"""What a plot carried before: waits by label, families that come again, sorghum and stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, Parts, assume, formula_of, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.parts import common_name, group_of
from fencerow.plan.section import Said, Weight
from fencerow.plan.show import brief
from fencerow.plan.span import plantings_in
from fencerow.science.forage.growth import killing_frost
from fencerow.science.seed import rotation
from fencerow.tract.applied import Application, Label
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot

FAMILY = "brassica"
KILLING_F = 24.0
"""The frost that ends a sorghum, by the rule for prussic acid."""


@dataclass(frozen=True)
class Wait:
    """How long an application keeps a planting off a place."""

    place: str
    blend: str
    label: str
    applied: Figure
    wait: Figure
    earliest: Figure
    sow_on: Figure
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Frosted:
    """When stock may go back on a sorghum, in a middling year."""

    frost: Figure
    graze: Figure


def waits_of(given: Given) -> dict[str, Wait]:
    """For each planting and each application before it: the wait that the label names."""
    found: dict[str, Wait] = {}
    for planting in _sown(given):
        for applied in _before(given.tract, planting):
            wait = _wait(given, planting, applied)
            if wait is not None:
                found[f"{planting.id}-{applied.id}"] = wait
    return found


def _sown(given: Given) -> Iterator[Kept[Planting]]:
    for plot in given.tract.plots():
        for planting in plantings_in(given.tract, plot.id, given.as_of):
            if planting.body.stage == "establish" and planting.body.blend in given.tract.blends:
                yield planting


def _before(tract: Tract, planting: Kept[Planting]) -> list[Kept[Application]]:
    """What went on the plot before a planting, by its label."""
    body = planting.body
    return [
        a
        for a in sorted(tract.applications.values(), key=lambda a: (a.body.on, a.id))
        if a.body.place == body.place and a.body.on <= body.sow_on and a.body.label in tract.labels
    ]


def _wait(given: Given, planting: Kept[Planting], applied: Kept[Application]) -> Wait | None:
    tract = given.tract
    label = tract.labels[applied.body.label]
    species = _species(tract, planting)
    named = {r.species: r for r in label.body.replant if r.species in species}
    missing = tuple(common_name(given.tables, s) for s in species if s not in named)
    day = applied.figure("on", "done", unit="date")
    waits = {common_name(given.tables, s): _days(label, s, r.days) for s, r in named.items()}
    if waits:
        days = {name: figure.number() for name, figure in waits.items()}
        parts = work_parts(rotation.longest_wait, waits, wait_days=days)
        wait = parts.figure(lambda longest: longest, "days")
    else:
        wait = Figure(None, "days", label.figure("name").origin)
    return Wait(
        place=planting.body.place,
        blend=tract.blends[planting.body.blend].body.name,
        label=label.body.name,
        applied=day,
        wait=wait,
        earliest=work(rotation.earliest_sowing, applied_date=day, wait_days=wait),
        sow_on=planting.figure("sow_on", "decided", unit="date"),
        missing=missing,
    )


def _days(label: Kept[Label], species: str, days: int) -> Figure:
    """A wait of a label, as the person read it; its place in the record names the plant."""
    origin = Entered(label.entry, f"replant.{species}.days", "on the label", label.body.read_on)
    return Figure(days, "days", origin)


def _species(tract: Tract, planting: Kept[Planting]) -> list[str]:
    blend = tract.blends.get(planting.body.blend)
    return [] if blend is None else [p.species for p in blend.body.components]


def frosted_of(given: Given) -> dict[str, Frosted]:
    """For each plot that stock graze and that a sorghum is sown on: the day after frost."""
    if given.daily is None or given.daily.typical:
        return {}
    found: dict[str, Frosted] = {}
    for planting in _sown(given):
        if _stock_sorghum(given.tract, given.tables, planting):
            frosted = _frosted(given, planting.body.sow_on.year)
            if frosted is not None:
                found[planting.body.place] = frosted
    return found


def _stock_sorghum(tract: Tract, tables: Tables, planting: Kept[Planting]) -> list[str]:
    """The plants of a planting that gather prussic acid, where stock graze the plot."""
    plot = tract.places[planting.body.place].body
    if not isinstance(plot, Plot) or not plot.stock_graze:
        return []
    cautions = tables["forage_cautions"].rows
    return [s for s in _species(tract, planting) if f"{s}/prussic acid" in cautions]


def _frosted(given: Given, year: int) -> Frosted | None:
    assert given.daily is not None
    daily = given.daily
    day = killing_frost(daily.times, daily.tmin_c, KILLING_F, 0.5, year)
    if day is None:
        return None
    record = Figure(daily, "text", assume(None, "text", "rotation-record").origin)
    inputs = {"record": record, "kill_f": assume(KILLING_F, "f", "rotation-killing")}
    frost = Parts(day, formula_of(killing_frost), inputs).figure(lambda found: found, "date")
    wait = given.tables["seed_settings"].row("stock after frost").figure("days")
    parts = work_parts(
        rotation.graze_from, {"killing frost": frost, "wait_days": wait},
        frost_dates=[day], wait_days=wait.number(),
    )  # fmt: skip
    return Frosted(frost, parts.figure(lambda found: found, "date"))


def rotation_said(
    given: Given, waits: Mapping[str, Wait], frosted: Mapping[str, Frosted]
) -> Iterator[Said]:
    """Every sentence about what was there before."""
    for wait in waits.values():
        yield from _wait_said(given, wait)
    for planting in _sown(given):
        yield from _family_said(given, planting)
        yield from _stock_said(given, planting, frosted.get(planting.body.place))


def _wait_said(given: Given, wait: Wait) -> Iterator[Said]:
    place = given.tract.places[wait.place].body.name
    if wait.earliest.known and wait.sow_on.value < wait.earliest.value:
        yield Said.of(
            Weight.STOPPED, wait.place, "rotation-stops",
            place=place, blend=wait.blend, label=wait.label, on=wait.applied.value,
            wait=Amount(wait.wait.number(), "days"), earliest=brief(wait.earliest),
        )  # fmt: skip
    if wait.missing:
        yield Said.of(Weight.ASK, wait.place, "rotation-ask", place=place, label=wait.label,
                      species=", ".join(wait.missing), on=wait.applied.value)  # fmt: skip


def _family_said(given: Given, planting: Kept[Planting]) -> Iterator[Said]:
    """Brassicas again and again on one plot."""
    tract, tables, body = given.tract, given.tables, planting.body

    def has_family(one: Kept[Planting]) -> bool:
        return any(group_of(tables, s) == FAMILY for s in _species(tract, one))

    if not has_family(planting):
        return
    years = [p.body.sow_on.year for p in tract.plantings_of(body.place) if has_family(p)]
    running = rotation.years_running(years, body.sow_on.year)
    most = tables["seed_settings"].row("brassica running").number("years") or 0
    if running > most:
        yield Said.of(Weight.DOUBT, body.place, "rotation-family", planting.entry,
                      place=tract.places[body.place].body.name, running=running,
                      most=f"{most:g}")  # fmt: skip


def _stock_said(given: Given, planting: Kept[Planting], frosted: Frosted | None) -> Iterator[Said]:
    names = _stock_sorghum(given.tract, given.tables, planting)
    if not names:
        return
    place = given.tract.places[planting.body.place].body.name
    wait = given.tables["seed_settings"].row("stock after frost").number("days") or 0
    yield Said.of(Weight.CAUTION, planting.body.place, "rotation-stock", planting.entry,
                  place=place, wait=Amount(wait, "days"),
                  species=", ".join(common_name(given.tables, s) for s in names))  # fmt: skip
    if frosted is not None:
        yield Said.of(Weight.NOTE, planting.body.place, "rotation-stock-day", place=place,
                      frost=brief(frosted.frost), graze=brief(frosted.graze))  # fmt: skip

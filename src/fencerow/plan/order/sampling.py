"""Soil samples: what to pull on each plot, how, by when, and the bag that each sample fills.

A plot is one sample, unless soil zones are drawn over it or it is larger than one sample may stand
for. How deep and how many cores is what the tract's state says, row by row of `sampling_rules`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from shapely.geometry.base import BaseGeometry

from fencerow.data import Row, Tables
from fencerow.figure import Figure, assume, work
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.lime_when import worked_in
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import plantings_in, year_of
from fencerow.science.ground.measure import area_ac
from fencerow.science.soil import sampling as cores
from fencerow.science.soil import timing
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot, SoilZone
from fencerow.words import Message, say

TEST_GOOD_FOR_MONTHS = 36
LEAST_PART = 0.1
"""A zone over less than a tenth of a plot is no sample of its own."""
SHORT = 15
ROAD_FT = 300.0
"""How far cores stay from a gravel or limestone road: University of Minnesota."""


@dataclass(frozen=True)
class Bag:
    """One composite sample: its label, the part of the plot that it stands for."""

    label: str
    part: str
    texture: str
    surface: bool
    acres: Figure | None
    spacing: Figure | None


@dataclass(frozen=True)
class PlotSamples:
    """What to pull on one plot; no bags while its test still holds."""

    name: str
    task: str
    why: Message
    due: Figure
    last_day: Figure | None
    worked: bool
    crop: str
    sow_on: Figure | None
    depth_low: Figure
    depth_high: Figure
    extra_low: Figure | None
    extra_high: Figure | None
    cores_low: Figure
    cores_high: Figure
    limed: Figure | None
    limed_on: Figure | None
    bags: Mapping[str, Bag] = field(default_factory=dict)


def sampling(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What to pull on every plot."""
    acres = {place: found.acres for place, found in earlier["ground"].body.items()}
    short = _short_names(given.tract)
    plots = {
        plot.id: _samples(given, plot, acres[plot.id], short[plot.id])
        for plot in given.tract.plots()
    }
    said = [s for place, found in plots.items() for s in _said(place, found, given.as_of)]
    if any(found.bags for found in plots.values()):
        road = Amount(ROAD_FT, "ft", printed=True)
        said.append(Said.of(Weight.NOTE, "samples", "sampling-where", road=road))
        said += [Said.of(Weight.NOTE, "samples", id_) for id_ in ("sampling-when", "sampling-ask")]
    return Section("sampling", plots, tuple(said))


def _samples(given: Given, plot: Kept[Plot], acres: Figure | None, short: str) -> PlotSamples:
    tract, as_of = given.tract, given.as_of
    coming = _coming(tract, plot.id, as_of)
    sown = coming if coming is not None and coming.body.sow_on > as_of else None
    worked = worked_in(sown)
    rule = _Rule(given.tables, tract.about.body.state, "worked" if worked else "not worked")
    task, due, why = due_of(tract, as_of, plot)
    pull = due.value <= year_of(tract, as_of)[1]
    most, few = rule.figure("most_ac"), rule.figure("cores_low_count")
    extra = None if worked else rule.figure("extra_low_in")
    parts = list(_parts(tract, plot, acres)) if pull else []
    blend = tract.blends.get(coming.body.blend) if coming else None
    return PlotSamples(
        name=plot.body.name,
        task=task,
        why=why,
        due=due,
        last_day=_last_day(given.tables, sown),
        worked=worked,
        crop=blend.body.name if blend else "",
        sow_on=sown.figure("sow_on", "decided", unit="date") if sown else None,
        depth_low=rule.figure("depth_low_in"),
        depth_high=rule.figure("depth_high_in"),
        extra_low=extra,
        extra_high=None if worked else rule.figure("extra_high_in"),
        cores_low=few,
        cores_high=rule.figure("cores_high_count"),
        limed=plot.figure("lime_ton_ac") if plot.body.lime_ton_ac else None,
        limed_on=plot.figure("limed_on", unit="date") if plot.body.limed_on else None,
        bags=_bags(f"{short}-%s-{as_of:%y}", parts, most, few, surface=extra is not None),
    )


def _coming(tract: Tract, place: str, as_of: date) -> Kept[Planting] | None:
    """The next sowing of a place; else what stands on it in the year."""
    sown = [p for p in tract.plantings_of(place)
            if p.body.stage == "establish" and p.body.sow_on > as_of]  # fmt: skip
    return next(iter([*sown, *plantings_in(tract, place, as_of)]), None)


def due_of(tract: Tract, as_of: date, plot: Kept[Plot]) -> tuple[str, Figure, Message]:
    """The task of pulling cores: its id, the day, the reason.

    Where there is no test it is due at the close of the season, early enough for lime to act.
    """
    test = tract.soil_test_of(plot.id, as_of)
    if test is None:
        start = year_of(tract, as_of)[0]
        when = assume(start, "date", "task-cores-start")
        return f"cores.{plot.id}", when, Message.of("task-cores-none")
    sampled = test.figure("sampled_on", "measured", unit="date")
    good_for = assume(TEST_GOOD_FOR_MONTHS, "months", "task-test-age", months=TEST_GOOD_FOR_MONTHS)
    when = work(timing.months_after, from_date=sampled, after_months=good_for)
    why = Message.of("task-cores-old", day=test.body.sampled_on)
    return f"cores.{plot.id}.{test.body.sampled_on:%Y}", when, why


def _last_day(tables: Tables, sown: Kept[Planting] | None) -> Figure | None:
    """The last day on which cores still get lime in time: its months and the lab's days before."""
    if sown is None:
        return None
    months = tables["lime_reaction"].row("begins_missouri").figure("after_high_months")
    limed = work(
        timing.months_before,
        wanted_date=sown.figure("sow_on", "decided", unit="date"),
        act_months=months,
    )
    wait = tables["lab_turnaround"].row("routine").figure("wait_days")
    return work(timing.days_before, wanted_date=limed, lead_days=wait)


class _Rule:
    """What a state says of coring one kind of ground; its blanks are answered by the next row."""

    def __init__(self, tables: Tables, state: str, ground: str) -> None:
        kinds = dict.fromkeys((ground, "worked"))
        keys = [f"{where}/{kind}" for where in (state, "any") for kind in kinds]
        rows = tables["sampling_rules"].rows
        self.rows: list[Row] = [rows[key] for key in keys if key in rows]

    def figure(self, column: str) -> Figure:
        found = [row.figure(column) for row in self.rows]
        return next((f for f in found if f.known), found[-1])


Part = tuple[str, str, Figure | None]


def _parts(tract: Tract, plot: Kept[Plot], acres: Figure | None) -> Iterator[Part]:
    """The parts of a plot that differ by a drawn soil zone: words, texture, acres."""
    zones = [(zone, shape) for zone, shape in _zoned(tract, plot) if shape is not None]
    texture = plot.body.texture or ""
    if len(zones) < 2:
        only = zones[0][0] if zones else None
        yield say("sampling-whole"), (only.body.texture if only else "") or texture, acres
        return
    for zone, shape in zones:
        if zone is None:
            part = assume(shape, "shape", "sampling-part")
        else:
            part = assume(shape, "shape", "sampling-zone", zone=zone.body.name)
        words = say("sampling-part") if zone is None else say("sampling-zone", zone=zone.body.name)
        yield words, (zone.body.texture if zone else "") or texture, work(area_ac, shape=part)


def _zoned(
    tract: Tract, plot: Kept[Plot]
) -> Iterator[tuple[Kept[SoilZone] | None, BaseGeometry | None]]:
    """Each soil zone with what of a plot it covers, then what none does; no slivers."""
    if plot.body.shape is None:
        return
    left = whole = plot.body.shape.geometry()
    for kept in tract.places.values():
        if isinstance(kept.body, SoilZone) and kept.body.shape is not None:
            covered = left.intersection(kept.body.shape.geometry())
            if covered.area >= LEAST_PART * whole.area:
                left = left.difference(covered)
                yield kept, covered  # type: ignore[misc]
    if left.area >= LEAST_PART * whole.area:
        yield None, left


def _bags(name: str, parts: list[Part], most: Figure, few: Figure, surface: bool) -> dict[str, Bag]:
    """A bag for each sample, lettered over the plot; one more where the surface is watched."""
    bags: dict[str, Bag] = {}
    number = 0
    for words, texture, acres in parts:
        count = None if acres is None else work(
            cores.samples_for, area_ac=acres, most_ac=most
        )  # fmt: skip
        each = None if acres is None or count is None else work(
            cores.ground_of_sample, area_ac=acres, samples_count=count
        )  # fmt: skip
        spacing = None if each is None else work(
            cores.core_spacing, area_ac=each, cores_count=few
        )  # fmt: skip
        for _ in range(int(count.number()) if count is not None and count.known else 1):
            label = name % _letter(number)
            number += 1
            bags[label] = Bag(label, words, texture, False, each, spacing)
            if surface:
                top = f"{label}-S"
                bags[top] = Bag(top, words, texture, True, each, spacing)
    return bags


def _letter(number: int) -> str:
    """A, B, ... Z, A2, B2, ..."""
    turn, letter = divmod(number, 26)
    return chr(ord("A") + letter) + (str(turn + 1) if turn else "")


def _short_names(tract: Tract) -> dict[str, str]:
    """A short name for each plot's bags: its slug, cut where that leaves all of them apart."""
    slugs = {id_: slug for slug, id_ in tract.slugs().items()}
    plots = {plot.id: slugs[plot.id] for plot in tract.plots()}
    cut = [slug[:SHORT].rstrip("-") for slug in plots.values()]
    return {
        id_: short if cut.count(short := slug[:SHORT].rstrip("-")) == 1 else slug
        for id_, slug in plots.items()
    }


def _said(place: str, found: PlotSamples, as_of: date) -> Iterator[Said]:
    if not found.bags:
        return
    last = found.last_day
    if last is not None and last.known and last.value < as_of and found.sow_on is not None:
        yield Said.of(Weight.DOUBT, "samples", "sampling-passed", place=found.name,
                      by=last.value, sow=found.sow_on.value)  # fmt: skip
    if found.extra_low is not None and found.extra_low.known and found.extra_high is not None:
        low, high = found.extra_low.number(), found.extra_high.number()
        depth = Amount(low, "in", high if high != low else None, printed=True)
        yield Said.of(Weight.NOTE, "samples", "sampling-surface", place=found.name, depth=depth)

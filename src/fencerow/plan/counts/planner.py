"""Counts: what each comes to, what the published thresholds say of it, what is due."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from fencerow.figure import Figure, work, work_parts
from fencerow.plan.counts.body import Counted, Counts
from fencerow.plan.counts.cages import seasons_of
from fencerow.plan.counts.due import dues_of, points_of
from fencerow.plan.counts.read import PLANTS, Reading, readings_of
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.parts import common_name, seed_count
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.counted import count_of
from fencerow.plan.work.looks import Looked
from fencerow.plan.work.options import standing_on
from fencerow.science.herd import counts
from fencerow.science.seed import blend
from fencerow.tract.bodies import Closing
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import NativeGrass


def counts_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Every count of the record, cages over the season, photo points, and what is due."""
    looks: Mapping[str, Looked] = earlier["scout"].body
    orders: Mapping[str, PlotOrder] = earlier["order"].body
    found = sorted(readings_of(given), key=lambda r: (r.on.value, r.id), reverse=True)
    counted = {r.id: _counted(given, r, looks.get(r.id), orders) for r in found}
    body = Counts(
        counts=counted,
        due=dues_of(given, counted),
        cages=seasons_of(given, earlier["learned"].body.visits),
        points=points_of(given),
    )
    return Section("counts", body, tuple(_said(given, body)))


def _counted(
    given: Given, reading: Reading, look: Looked | None, orders: Mapping[str, PlotOrder]
) -> Counted:
    count = look.count if look is not None else None
    if count is None:  # a note of before: read by the same rule, but no look of its own
        planting = standing_on(given.tract, reading.place, reading.on.value)
        count = count_of(given, reading, planting)[0]
    sown = _sown(given, reading, orders) if reading.measured == PLANTS else None
    came_up = None
    if sown is not None:
        came_up = work(counts.emergence, counted_plants_ft2=reading.found, sown_seeds_ft2=sown)
    return Counted(
        reading=reading,
        verdict=count.verdict,
        advice=count.advice,
        taken="" if look is None else look.taken,
        year=_year(given, reading),
        sown=sown,
        came_up=came_up,
    )


def _year(given: Given, reading: Reading) -> Figure | None:
    """In which of its growing seasons a stand that comes again was counted."""
    kept = given.tract.places[reading.place]
    if isinstance(kept.body, NativeGrass) and kept.body.planted is not None:
        first = Figure(float(kept.body.planted), "count", kept.figure("planted").origin)
    else:
        planting = standing_on(given.tract, reading.place, reading.on.value)
        if planting is None or planting.body.stage != "maintain":
            return None
        origin = planting.figure("sow_on", unit="date").origin
        first = Figure(float(planting.body.sow_on.year), "count", origin)
    counted = Figure(float(reading.on.value.year), "count", reading.on.origin)
    return work(counts.year_of_stand, counted_year=counted, first_year=first)


def _sown(given: Given, reading: Reading, orders: Mapping[str, PlotOrder]) -> Figure | None:
    """Live seeds sown on a square foot of what was counted, where its seeding is of this year."""
    planting = standing_on(given.tract, reading.place, reading.on.value)
    order = orders.get(reading.place)
    if planting is None or order is None or planting.body.stage == "maintain":
        return None
    sown = order.plantings.get(planting.id)
    if sown is None or sown.seed is None:
        return None
    seeds: dict[str, Figure] = {}
    for species, line in sown.seed.species.items():
        wanted = not reading.species or reading.species == species
        if not wanted or line.factor is None or species not in given.tables["species"]:
            continue
        seeds[common_name(given.tables, species)] = work(
            counts.sown_seeds,
            pls_rate_lb_ac=line.rate,
            seeding_factor=line.factor,
            count_seeds_lb=seed_count(given.tables, species, line.rate),
        )
    if not seeds or not all(s.known for s in seeds.values()):
        return None
    if len(seeds) == 1:
        return next(iter(seeds.values()))
    whole = work_parts(blend.seeds_together, seeds, seeds_ft2=[s.number() for s in seeds.values()])
    return whole.figure(float, "seeds_ft2")


def closed_on(tract: Tract, place: str, on: date) -> Kept[Closing] | None:
    """The closing that keeps people off a place on a day."""
    for kept in tract.closings.values():
        if kept.body.closes <= on < kept.body.opens and place in (kept.body.places or (place,)):
            return kept
    return None


def _said(given: Given, body: Counts) -> Iterator[Said]:
    yield Said.of(Weight.NOTE, "counts", "counts-how")
    sure = given.tables["count_settings"].row("sure").figure("sure_pct")
    if body.counts:
        yield Said.of(Weight.NOTE, "counts", "counts-sure", sure=f"{sure.number():g}")
    for id_, counted in body.counts.items():
        reading = counted.reading
        if reading.low is None and reading.found.known:
            yield Said.of(Weight.DOUBT, id_, "counts-one-throw", reading.entry, place=reading.name,
                          day=reading.on.value)  # fmt: skip
        if reading.method == "cover by eye":
            yield Said.of(Weight.DOUBT, id_, "counts-by-eye", reading.entry, place=reading.name)
    for id_, due in body.due.items():
        shut = closed_on(given.tract, due.place, due.by.value)
        if shut is not None:
            yield Said.of(Weight.ASK, id_, "counts-due-closed", shut.entry, place=due.name,
                          day=due.by.value, closes=shut.body.closes)  # fmt: skip
    for season in body.cages.values():
        if season.growth is None:
            yield Said.of(Weight.NOTE, "cages", "counts-cages-start", place=season.name,
                          year=season.year.value)  # fmt: skip
        if season.pairs is None:
            yield Said.of(Weight.DOUBT, "cages", "counts-cages-unpaired", place=season.name,
                          year=season.year.value)  # fmt: skip
        elif season.low is not None and season.low.known and season.low.number() < 0:
            yield Said.of(Weight.DOUBT, "cages", "counts-cages-unsure", place=season.name,
                          year=season.year.value)  # fmt: skip
    if body.cages:
        yield Said.of(Weight.NOTE, "cages", "counts-cages-taken")
    for id_, point in body.points.items():
        if not point.facing.known:
            yield Said.of(Weight.ASK, id_, "counts-point-facing", place=point.name)

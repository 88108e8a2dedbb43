"""What is to be said of a planting's seed: old tests, thick nurses, two passes, what stops it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fencerow.data import Tables
from fencerow.plan.order.lots import tag_of
from fencerow.plan.order.seed_lines import SeedLine, SeedOrder, status_of
from fencerow.plan.parts import group_of
from fencerow.plan.section import Said, Weight
from fencerow.science.seed import age, depth, inoculant, mix, pls, rates
from fencerow.science.soil.timing import age_months
from fencerow.tract.bodies import Planting, SeedLot
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message

WEIGHTS = {
    "order-noxious": Weight.STOPPED,
    "order-noxious-form": Weight.ASK,
    "order-treated-on-top": Weight.STOPPED,
    "order-tag-noxious": Weight.ASK,
    "order-treated-care": Weight.CAUTION,
    "order-factor-capped": Weight.NOTE,
    "order-inoculated": Weight.NOTE,
    "order-inoculant-ask": Weight.NOTE,
    "order-seed-apart": Weight.NOTE,
    "seed-inoculant-doubtful": Weight.NOTE,
}
"""How each sentence weighs; all others are doubts."""


def seed_said(
    tract: Tract, tables: Tables, planting: Kept[Planting], seed: SeedOrder, as_of: date
) -> Iterator[Said]:
    """Every sentence about the seed of one planting."""
    about = planting.body.place
    teller = _Teller(tract, tables, planting, as_of)
    for species, line in seed.species.items():
        for message in teller.line(species, line):
            weight = WEIGHTS.get(message.id, Weight.DOUBT)
            yield Said(weight, about, message, (planting.entry,))
    for message in _mix_said(tract, tables, planting, seed):
        yield Said(Weight.DOUBT, about, message, (planting.entry,))


class _Teller:
    """What is said of each line of one planting."""

    def __init__(self, tract: Tract, tables: Tables, planting: Kept[Planting], as_of: date) -> None:
        self.tract, self.tables, self.as_of = tract, tables, as_of
        self.body = planting.body
        blend = tract.blends[planting.body.blend]
        self.mixed = blend.body.rate_lb_ac is not None
        self.blend = blend.id

    def line(self, species: str, line: SeedLine) -> Iterator[Message]:
        yield from self._status(species, line)
        if line.factor is not None and line.factor.value != self.body.seeding_factor:
            yield Message.of("order-factor-capped", species=line.common,
                             factor=f"{self.body.seeding_factor:g}",
                             cap=f"{line.factor.number():g}")  # fmt: skip
        lot = self.tract.seed_lots.get(line.lot)
        if lot is not None:
            yield from self._lot(lot)
        elif not self.mixed or species == self.blend:
            yield Message.of("order-lot-missing", species=line.common)
        if line.inoculant is not None:
            yield from self._inoculant(species, line, lot)

    def _status(self, species: str, line: SeedLine) -> Iterator[Message]:
        if line.stopped:
            yield Message.of(line.stopped, species=line.common, state=self.tract.about.body.state)
        if status_of(self.tract, self.tables, species) == "form":
            row = self.tables["seed_status"].row(self.tract.about.body.state, species)
            yield Message.of("order-noxious-form", species=line.common, note=row.text("note"))

    def _lot(self, lot: Kept[SeedLot]) -> Iterator[Message]:
        body = lot.body
        if body.noxious:
            yield Message.of("order-tag-noxious", name=body.name, what=body.noxious)
        if body.treated:
            yield Message.of("order-treated-care", name=body.name)
        if tag_of(self.tract, lot, self.as_of).arrival is None and body.tested_on is None:
            yield Message.of("order-lot-untested", name=body.name)
        elif body.tested_on is not None:
            old = pls.age_caution(body.name, max(0, age_months(body.tested_on, self.as_of)))
            if old:
                yield old

    def _inoculant(
        self, species: str, line: SeedLine, lot: Kept[SeedLot] | None
    ) -> Iterator[Message]:
        yield Message.of("order-seed-apart")
        if lot is not None:
            yield from self._inoculated(lot.body)
        row = self.tables["inoculants"].row(species)
        group = self.tables["inoculant_groups"].row(row.text("group_code"))
        doubtful = inoculant.inoculant_caution(line.common, group.text("doubtful") == "yes")
        if doubtful:
            yield doubtful

    def _inoculated(self, lot: SeedLot) -> Iterator[Message]:
        if lot.inoculated_on is not None and lot.inoculant_good_days is not None:
            until = age.inoculant_good_until(lot.inoculated_on, lot.inoculant_good_days)
            if self.body.sow_on > until:
                yield Message.of("order-inoculant-late", name=lot.name, until=until)
        elif lot.inoculated:
            yield Message.of("order-inoculated", name=lot.name)
        elif lot.inoculated is False and lot.inoculant_treats_lb is None:
            yield Message.of("order-inoculant-ask", name=lot.name)


def _mix_said(
    tract: Tract, tables: Tables, planting: Kept[Planting], seed: SeedOrder
) -> Iterator[Message]:
    parts = tract.blends[planting.body.blend].body.components
    shares = [p.share_pct / 100 for p in parts if p.share_pct is not None]
    if len(shares) == len(parts):
        whole = mix.shares_caution(mix.Convention.FRACTION, shares)
        if whole:
            yield whole
    yield from _nurse_said(tables, planting.body, seed)
    depths = {
        line.common: (line.depth_low.number(), line.depth_high.number())
        for line in seed.species.values()
        if line.depth_low and line.depth_high
    }
    trips = depth.seeding_passes(depths)
    if len(trips) > 1:
        *most, last = [depth.pass_said(t) for t in trips]
        for one in most[::-1]:
            last = Message.of("order-then", first=one, then=last)
        yield Message.of("order-two-passes", passes=last)
    for trip in trips:
        said = depth.depth_caution(trip)
        if said:
            yield said


def _nurse_said(tables: Tables, planting: Planting, seed: SeedOrder) -> Iterator[Message]:
    """A small grain over clover is held to half its own rate."""
    groups = {s: group_of(tables, s) for s in seed.species}
    if not any("clover" in g or "legume" in g for g in groups.values()):
        return
    for species, group in groups.items():
        row = tables["seeding_rates"].rows.get(f"{species}/{planting.method}")
        rate = seed.species[species].rate
        if group == "small grain" and row is not None and rate.known:
            low, high = row.number("low_lb_ac"), row.number("high_lb_ac")
            assert low is not None
            assert high is not None
            limit = mix.nurse_limit(rates.middle_rate(low, high))
            said = mix.nurse_caution(seed.species[species].common, rate.number(), limit)
            if said:
                yield said

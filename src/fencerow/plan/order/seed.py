"""Seed for one planting: each component's rate, pure live seed, and pounds from the bag."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, not_known, work
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.science.seed import depth, inoculant, mix, order, pls, rates
from fencerow.science.soil.timing import age_months
from fencerow.tract.bodies import Component, Planting, SeedLot
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message


@dataclass(frozen=True)
class SeedLine:
    """One species of a planting."""

    common: str
    lot: str
    rate: Figure
    need: Figure
    depth_low: Figure | None
    depth_high: Figure | None
    inoculant: Figure | None


@dataclass(frozen=True)
class SeedOrder:
    """The seed of one planting, by species."""

    blend: str
    species: dict[str, SeedLine]


def seed_order(
    tract: Tract, tables: Tables, planting: Kept[Planting], acres: Figure
) -> SeedOrder | None:
    """What a planting needs of each species; None where its blend is gone."""
    blend = tract.blends.get(planting.body.blend)
    if blend is None:
        return None
    lines = {
        part.species: _line(tract, tables, planting, acres, part, blend.entry)
        for part in blend.body.components
    }
    return SeedOrder(blend.body.name, lines)


def _line(
    tract: Tract, tables: Tables, planting: Kept[Planting], acres: Figure,
    part: Component, blend_entry: str,
) -> SeedLine:  # fmt: skip
    rate = _rate(tables, planting.body, part, blend_entry)
    lot = lot_for(tract, part.species)
    need = work(
        order.component_need,
        pls_rate_lb_ac=rate,
        seeding_factor=planting.figure("seeding_factor", "decided"),
        area_ac=acres,
        pls_share=_pls(lot, planting),
    )
    row = tables["seeding_depth"].rows.get(part.species)
    return SeedLine(
        common=common_name(tables, part.species),
        lot=lot.id if lot else "",
        rate=rate,
        need=need,
        depth_low=row.figure("low_in") if row else None,
        depth_high=row.figure("high_in") if row else None,
        inoculant=_inoculant(tables, part.species),
    )


def common_name(tables: Tables, species: str) -> str:
    """A species as it is called."""
    row = tables["species"].rows.get(species)
    return row.text("common") if row else species


def lot_for(tract: Tract, species: str) -> Kept[SeedLot] | None:
    """The lot that a planting takes: what is on hand first, then the cheapest live pound."""

    def cost(kept: Kept[SeedLot]) -> tuple[bool, float, str]:
        lot = kept.body
        live = pls.pls_share(lot.purity_pct, lot.germination_pct, lot.hard_pct)
        price = float("inf") if lot.price_usd is None else lot.price_usd
        return lot.on_hand_lb <= 0, price / (lot.bag_lb * live), kept.id

    lots = [k for k in tract.seed_lots.values() if k.body.species == species]
    return min(lots, key=cost, default=None)


def _rate(tables: Tables, planting: Planting, part: Component, entry: str) -> Figure:
    """The component's rate of pure live seed: the person's own, or a share of the full rate."""
    kept = Kept(part.species, entry, part)
    if part.rate_lb_ac is not None:
        return kept.figure("rate_lb_ac", "decided")
    row = tables["seeding_rates"].rows.get(f"{part.species}/{planting.method}")
    if row is None:
        share = kept.figure("share_pct", "decided")
        return not_known(
            "lb_ac", share.origin, "order-no-rate", species=part.species, method=planting.method
        )
    full = work(
        rates.middle_rate, low_lb_ac=row.figure("low_lb_ac"), high_lb_ac=row.figure("high_lb_ac")
    )
    return work(
        mix.rate_by_fraction,
        full_rate_lb_ac=full,
        fraction_share=kept.figure("share_pct", "decided"),
    )


def _pls(lot: Kept[SeedLot] | None, planting: Kept[Planting]) -> Figure:
    if lot is None:
        origin = planting.figure("blend").origin
        return not_known("share", origin, "order-no-lot")
    return work(
        pls.pls_share,
        purity_pct=lot.figure("purity_pct", "on the tag"),
        germination_pct=lot.figure("germination_pct", "on the tag"),
        dormant_pct=lot.figure("hard_pct", "on the tag"),
    )


def _inoculant(tables: Tables, species: str) -> Figure | None:
    row = tables["inoculants"].rows.get(species)
    group = tables["inoculant_groups"].rows.get(row.text("group_code")) if row else None
    # a grass or a forb takes none, and nothing need be said of it
    return group.figure("words") if group and group.key != "none" else None


def seed_said(
    tract: Tract, tables: Tables, planting: Kept[Planting], seed: SeedOrder, as_of: date
) -> Iterator[Said]:
    """What is to be said of a planting's seed: old tests, thick nurses, two passes."""
    about = planting.body.place
    for species, line in seed.species.items():
        for message in _line_said(tract, tables, planting, species, line, as_of):
            note = message.id in ("order-inoculated", "order-seed-apart", "seed-inoculant-doubtful")
            weight = Weight.NOTE if note else Weight.DOUBT
            yield Said(weight, about, message, (planting.entry,))
    for message in _mix_said(tract, tables, planting, seed):
        yield Said(Weight.DOUBT, about, message, (planting.entry,))


def _line_said(
    tract: Tract, tables: Tables, planting: Kept[Planting], species: str, line: SeedLine,
    as_of: date,
) -> Iterator[Message]:  # fmt: skip
    lot = tract.seed_lots.get(line.lot)
    if lot is None:
        yield Message.of("order-lot-missing", species=line.common)
    elif lot.body.tested_on is None:
        yield Message.of("order-lot-untested", name=lot.body.name)
    else:
        old = pls.age_caution(lot.body.name, max(0, age_months(lot.body.tested_on, as_of)))
        if old:
            yield old
    row = tables["inoculants"].rows.get(species)
    if line.inoculant is not None and row is not None:
        yield Message.of("order-seed-apart")
        if lot is not None and lot.body.inoculated:
            yield Message.of("order-inoculated", name=lot.body.name)
        group = tables["inoculant_groups"].row(row.text("group_code"))
        doubtful = inoculant.inoculant_caution(line.common, group.text("doubtful") == "yes")
        if doubtful:
            yield doubtful


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
        *most, last = [_pass_said(t) for t in trips]
        for one in most[::-1]:
            last = Message.of("order-then", first=one, then=last)
        yield Message.of("order-two-passes", passes=last)
    for trip in trips:
        said = depth.depth_caution(trip)
        if said:
            yield said


def _pass_said(trip: depth.Pass) -> Message:
    at = Amount(trip.low_in, "in", trip.high_in, printed=True)
    return Message.of("order-pass", parts=" and ".join(trip.parts), depth=at)


def _nurse_said(tables: Tables, planting: Planting, seed: SeedOrder) -> Iterator[Message]:
    """A small grain over clover is held to half its own rate."""
    groups = {
        s: tables["species"].rows[s].text("group") for s in seed.species if s in tables["species"]
    }
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

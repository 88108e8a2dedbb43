"""Seed for one planting: each component's rate, pure live seed, and pounds from the bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, not_known, work, work_parts
from fencerow.plan.order.lots import Tag, tag_for
from fencerow.plan.parts import common_name, group_of, part_figure, part_rate
from fencerow.science.seed import age, blend, order
from fencerow.tract.bodies import Blend, Component, Planting
from fencerow.tract.model import Kept, Tract


@dataclass(frozen=True)
class SeedLine:
    """One species of a planting, or the bag that holds them mixed; `stopped` says by what."""

    common: str
    lot: str
    rate: Figure
    need: Figure
    depth_low: Figure | None
    depth_high: Figure | None
    inoculant: Figure | None
    packets: Figure | None = None
    factor: Figure | None = None
    stopped: str = ""


@dataclass(frozen=True)
class SeedOrder:
    """The seed of one planting, by species; a blend that is sold mixed stands as one more line."""

    blend: str
    species: dict[str, SeedLine]


def seed_order(
    tract: Tract, tables: Tables, planting: Kept[Planting], acres: Figure, as_of: date | None = None
) -> SeedOrder | None:
    """What a planting needs of each species; None where its blend is gone."""
    sown = tract.blends.get(planting.body.blend)
    if sown is None:
        return None
    maker = _Lines(tract, tables, planting, sown, acres, as_of)
    return SeedOrder(sown.body.name, maker.lines())


def status_of(tract: Tract, tables: Tables, species: str) -> str:
    """What the list of the tract's state says of a plant: noxious, form, checked, or nothing."""
    row = tables["seed_status"].rows.get(f"{tract.about.body.state}/{species}")
    return row.text("status") if row else ""


class _Lines:
    """The lines of one planting in the making."""

    def __init__(
        self, tract: Tract, tables: Tables, planting: Kept[Planting], sown: Kept[Blend],
        acres: Figure, as_of: date | None,
    ) -> None:  # fmt: skip
        self.tract, self.tables, self.planting = tract, tables, planting
        self.sown, self.acres, self.as_of = sown, acres, as_of
        self.wanted = planting.figure("seeding_factor", "decided")

    def lines(self) -> dict[str, SeedLine]:
        parts = self.sown.body.components
        if self.sown.body.rate_lb_ac is None:
            return {part.species: self._line(part) for part in parts}
        bag = self._bag()
        return {self.sown.id: bag} | {part.species: self._in_bag(part, bag) for part in parts}

    def _line(self, part: Component) -> SeedLine:
        """A species from a lot of its own."""
        tag = tag_for(self.tract, part.species, self.as_of)
        rate, factor = self._rate(part), self._factor([part.species])
        need = work(
            order.component_need,
            pls_rate_lb_ac=rate,
            seeding_factor=factor,
            area_ac=self.acres,
            pls_share=self._no_lot() if tag is None else tag.pls,
        )
        return self._shown(part.species, tag, rate, need, factor)

    def _bag(self) -> SeedLine:
        """The bag that holds the blend mixed."""
        tag = tag_for(self.tract, self.sown.id, self.as_of)
        species = [part.species for part in self.sown.body.components]
        factor = self._factor(species)
        need = work(
            blend.bag_need,
            bag_rate_lb_ac=self.sown.figure("rate_lb_ac", "decided"),
            seeding_factor=factor,
            area_ac=self.acres,
        )
        stopped = next((s for sp in species if (s := self._stopped(sp, tag))), "")
        return SeedLine(
            common=self.sown.body.name,
            lot=tag.lot.id if tag else "",
            rate=together({s.species: self._rate(s) for s in self.sown.body.components}),
            need=self._stop(need, stopped, species[0]),
            depth_low=None, depth_high=None, inoculant=None, factor=factor, stopped=stopped,
        )  # fmt: skip

    def _in_bag(self, part: Component, bag: SeedLine) -> SeedLine:
        """A species of a mixed bag: it is bought with the bag, and has no lot of its own."""
        share = part_figure(self.sown, part, "weight_pct", "on the tag")
        need = work(blend.part_of_bag, need_lb=bag.need, weight_pct=share)
        return self._shown(part.species, None, self._rate(part), need, bag.factor)

    def _shown(
        self, species: str, tag: Tag | None, rate: Figure, need: Figure, factor: Figure | None
    ) -> SeedLine:
        row = self.tables["seeding_depth"].rows.get(species)
        stopped = self._stopped(species, tag)
        need = self._stop(need, stopped, species)
        inoculant = _inoculant(self.tables, species)
        return SeedLine(
            common=common_name(self.tables, species),
            lot=tag.lot.id if tag else "",
            rate=rate,
            need=need,
            depth_low=row.figure("low_in") if row else None,
            depth_high=row.figure("high_in") if row else None,
            inoculant=inoculant,
            packets=_packets(tag, need) if inoculant else None,
            factor=factor,
            stopped=stopped,
        )

    def _rate(self, part: Component) -> Figure:
        return part_rate(self.tables, self.sown, part, self.planting.body.method)

    def _factor(self, species: list[str]) -> Figure:
        """The person's seeding factor, held to the cap of a plant that crowds itself."""
        rows = self.tables["seeding_factor_caps"].rows
        groups = [group_of(self.tables, s) for s in species]
        caps = [rows[g].figure("cap_factor") for g in groups if g in rows]
        cap = min(caps, key=Figure.number, default=None)
        if cap is None or self.wanted.number() <= cap.number():
            return self.wanted
        return work(blend.capped_factor, seeding_factor=self.wanted, cap_factor=cap)

    def _stopped(self, species: str, tag: Tag | None) -> str:
        """What keeps the seed from being bought."""
        if status_of(self.tract, self.tables, species) == "noxious":
            return "order-noxious"
        body = self.planting.body
        on_top = body.method == "broadcast" and not body.covered
        if tag is not None and tag.lot.body.treated and on_top:
            return "order-treated-on-top"
        return ""

    def _stop(self, need: Figure, stopped: str, species: str) -> Figure:
        if not stopped:
            return need
        name = common_name(self.tables, species)
        state = self.tract.about.body.state
        return not_known("lb", need.origin, stopped, species=name, state=state)

    def _no_lot(self) -> Figure:
        return not_known("share", self.planting.figure("blend").origin, "order-no-lot")


def together(rates_: dict[str, Figure]) -> Figure:
    """The sum of rates; not known where one of them is not."""
    unknown = next((f for f in rates_.values() if not f.known), None)
    values = [f.number() for f in rates_.values() if f.known]
    parts = work_parts(blend.rates_together, rates_, rates_lb_ac=values)
    figure = parts.figure(lambda total: total, "lb_ac")
    return figure if unknown is None else Figure(None, "lb_ac", figure.origin, unknown.reason)


def _inoculant(tables: Tables, species: str) -> Figure | None:
    row = tables["inoculants"].rows.get(species)
    group = tables["inoculant_groups"].rows.get(row.text("group_code")) if row else None
    # a grass or a forb takes none, and nothing need be said of it
    return group.figure("words") if group and group.key != "none" else None


def _packets(tag: Tag | None, need: Figure) -> Figure | None:
    """Packets of inoculant for bare seed, where the person entered what a packet treats."""
    if tag is None or tag.lot.body.inoculated or tag.lot.body.inoculant_treats_lb is None:
        return None
    treats = tag.lot.figure("inoculant_treats_lb", "on the package")
    return work(age.packets_needed, need_lb=need, treats_lb=treats)

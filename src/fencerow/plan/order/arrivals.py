"""Seed that came against seed that was ordered: tag by tag, in pounds and in bags."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.order.lots import Tag, tag_of
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.parts import common_name
from fencerow.plan.section import Said, Weight
from fencerow.science.seed import order
from fencerow.science.soil import totals
from fencerow.tract.bodies import Arrival, SeedLot
from fencerow.tract.model import Kept, Tract

COMPARED = ("purity_pct", "germination_pct", "hard_pct", "coating_pct", "bag_lb")
FELL = 0.02
"""Pure live seed that fell by more than this share is worth a word; a tag rounds to a percent."""


@dataclass(frozen=True)
class Differs:
    """A line of a tag that came other than it was ordered."""

    ordered: Figure
    came: Figure


@dataclass(frozen=True)
class Arrived:
    """What came of one lot, what is still wanted, and where its tag differs."""

    name: str
    ordered: str
    came: str
    came_lb: Figure
    need: Figure
    balance: Figure
    still_bags: Figure
    ordered_pls: Figure
    pls: Figure
    tags: Mapping[str, Differs]

    @property
    def replaced(self) -> bool:
        return self.ordered != self.came


def arrivals_of(tract: Tract, tables: Tables, plots: Mapping[str, PlotOrder]) -> dict[str, Arrived]:
    """Every lot of which something came."""
    came: dict[str, list[Kept[Arrival]]] = {}
    for arrival in tract.arrivals.values():
        if arrival.body.lot in tract.seed_lots:
            came.setdefault(arrival.body.lot, []).append(arrival)
    return {lot: _arrived(tract, tables, plots, lot, found) for lot, found in sorted(came.items())}


def _arrived(
    tract: Tract, tables: Tables, plots: Mapping[str, PlotOrder], lot: str,
    came: list[Kept[Arrival]],
) -> Arrived:  # fmt: skip
    kept = tract.seed_lots[lot]
    tag = tag_of(tract, kept)
    weights = {str(a.body.on): _weight(Tag(kept, a)) for a in came}
    here = here_of(tract, kept)
    assert here is not None
    need = _sum(_wanted(plots, lot))
    left = work(totals.beyond_hand, used_lb=need, on_hand_lb=here)
    return Arrived(
        name=kept.body.name,
        ordered=_holds(tract, tables, kept.body.species),
        came=_holds(tract, tables, tag.species),
        came_lb=_sum(weights),
        need=need,
        balance=work(order.surplus, bought_lb=here, need_lb=need),
        still_bags=work(order.bags_needed, need_lb=left, bag_lb=tag.figure("bag_lb")),
        ordered_pls=tag.ordered_pls,
        pls=tag.pls,
        tags={
            name: Differs(kept.figure(name, "on the tag"), tag.figure(name))
            for name in COMPARED
            if tag.figure(name).value != getattr(kept.body, name)
        },
    )


def here_of(tract: Tract, kept: Kept[SeedLot]) -> Figure | None:
    """What is here of a lot: on hand as entered, and what came since; None where nothing is."""
    came = {
        str(a.body.on): _weight(Tag(kept, a))
        for a in tract.arrivals.values()
        if a.body.lot == kept.id
    }
    if kept.body.on_hand_lb > 0:
        came["on hand"] = kept.figure("on_hand_lb")
    return _sum(came) if came else None


def _weight(tag: Tag) -> Figure:
    assert tag.arrival is not None
    return work(
        order.weight_of_bags,
        bought_bags=tag.arrival.figure("bags", "came", unit="bags"),
        bag_lb=tag.figure("bag_lb"),
    )


def _wanted(plots: Mapping[str, PlotOrder], lot: str) -> dict[str, Figure]:
    """What each planting takes of a lot."""
    return {
        f"{plot.name}, {planting.blend}": line.need
        for plot in plots.values()
        for planting in plot.plantings.values()
        if planting.seed is not None
        for line in planting.seed.species.values()
        if line.lot == lot and line.need.known
    }


def _sum(amounts: Mapping[str, Figure]) -> Figure:
    values = [f.number() for f in amounts.values()]
    return work_parts(totals.total_lb, amounts, amounts_lb=values).figure(lambda t: t, "lb")


def _holds(tract: Tract, tables: Tables, species: str) -> str:
    mixed = tract.blends.get(species)
    return mixed.body.name if mixed else common_name(tables, species)


def arrivals_said(arrived: Mapping[str, Arrived]) -> Iterator[Said]:
    """Other seed, less live seed, too few bags."""
    for lot, found in arrived.items():
        if found.replaced:
            yield Said.of(Weight.DOUBT, lot, "arrival-other", name=found.name,
                          ordered=found.ordered, came=found.came)  # fmt: skip
        if found.pls.known and found.ordered_pls.known:
            fell = found.pls.number() < found.ordered_pls.number() * (1 - FELL)
            if fell:
                yield Said.of(Weight.DOUBT, lot, "arrival-less-live", name=found.name,
                              ordered=f"{100 * found.ordered_pls.number():.0f}",
                              came=f"{100 * found.pls.number():.0f}")  # fmt: skip
        if found.balance.known and found.still_bags.known and found.still_bags.value:
            yield Said.of(Weight.DOUBT, lot, "arrival-short", name=found.name,
                          short=Amount(-found.balance.number(), "lb"),
                          bags=f"{found.still_bags.number():.0f}")  # fmt: skip

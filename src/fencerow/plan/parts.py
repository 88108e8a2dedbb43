"""The rate of one part of a blend, in whichever of four ways it was entered."""

from __future__ import annotations

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, not_known, work
from fencerow.science.seed import blend, mix, rates
from fencerow.tract.bodies import Blend, Component
from fencerow.tract.model import Kept
from fencerow.units import unit_of
from fencerow.words import Message


def part_figure(sown: Kept[Blend], part: Component, name: str, how: str = "decided") -> Figure:
    """A field of one part of a blend; its place in the record names the part."""
    value = getattr(part, name)
    reason = Message.of("not-entered", name=name) if value is None else None
    origin = Entered(sown.entry, f"components.{part.species}.{name}", how, sown.on)
    return Figure(value, unit_of(name), origin, reason)


def common_name(tables: Tables, species: str) -> str:
    """A species as it is called."""
    row = tables["species"].rows.get(species)
    return row.text("common") if row else species


def group_of(tables: Tables, species: str) -> str:
    """The group that a species belongs to; empty where it is not known."""
    row = tables["species"].rows.get(species)
    return row.text("group") if row else ""


def part_rate(tables: Tables, sown: Kept[Blend], part: Component, method: str) -> Figure:
    """A component's rate of pure live seed: a share of the full rate, the person's own rate, live
    seeds on a square foot, or what a mixed bag brings."""
    if part.rate_lb_ac is not None:
        return part_figure(sown, part, "rate_lb_ac")
    if part.seeds_ft2 is not None:
        wanted = part_figure(sown, part, "seeds_ft2")
        return work(
            rates.rate_from_seeds,
            target_seeds_ft2=wanted,
            count_seeds_lb=seed_count(tables, part.species, wanted),
        )
    if part.weight_pct is not None:
        return work(
            blend.rate_in_bag,
            bag_rate_lb_ac=sown.figure("rate_lb_ac", "decided"),
            weight_pct=part_figure(sown, part, "weight_pct", "on the tag"),
            germination_pct=part_figure(sown, part, "germination_pct", "on the tag"),
        )
    share = part_figure(sown, part, "share_pct")
    full = full_rate(tables, part.species, method)
    if full is None:
        return not_known(
            "lb_ac", share.origin, "order-no-rate", species=part.species, method=method
        )
    return work(mix.rate_by_fraction, full_rate_lb_ac=full, fraction_share=share)


def full_rate(tables: Tables, species: str, method: str) -> Figure | None:
    """The rate of a species sown alone: the middle of the published range."""
    row = tables["seeding_rates"].rows.get(f"{species}/{method}")
    if row is None:
        return None
    return work(
        rates.middle_rate, low_lb_ac=row.figure("low_lb_ac"), high_lb_ac=row.figure("high_lb_ac")
    )


def seed_count(tables: Tables, species: str, asked: Figure) -> Figure:
    """Seeds in a pound of a species, by the table; `asked` is the figure that it is asked for."""
    row = tables["species_seeds"].rows.get(species)
    if row is None:
        return not_known("seeds_lb", asked.origin, "order-no-count", species=species)
    return work(
        rates.middle_count,
        low_seeds_lb=row.figure("low_seeds_lb"),
        high_seeds_lb=row.figure("high_seeds_lb"),
    )

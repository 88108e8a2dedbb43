"""A plant of a planting as the growth model takes it, with the figures that it was made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, assume, work
from fencerow.plan.forage.plants import plant_of
from fencerow.plan.parts import group_of
from fencerow.science.forage import canopy, draws, emergence
from fencerow.science.forage.plant import Stand
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot

FIXES_ITS_OWN = ("clover", "other legume", "warm legume")
"""Groups of `species` that need no nitrogen."""


@dataclass(frozen=True)
class Place:
    """Where a planting grows: its plot, the number of its soil, and the days of the run."""

    plot: Kept[Plot]
    layer: int
    first: date
    span_days: int


@dataclass(frozen=True)
class Sown:
    """A stand, how deer seek it, and the figures behind it."""

    stand: Stand
    ground: Figure
    seek: float
    figures: Mapping[str, Figure]


def sown_stand(
    tables: Tables, place: Place, planting: Kept[Planting], species: str, ground: Figure,
    rate: Figure, soil: Figure, gone: date,
) -> Sown | None:  # fmt: skip
    """A plant of a planting; None where the model does not know it."""
    plant = plant_of(tables, species)
    if plant is None or not ground.known:
        return None
    kept = planting.body.stage == "maintain"
    up = tables["forage_model"].row("seedlings up").figure("likely_share")
    start = _crown(tables, species) if kept else work(
        emergence.start_mass, rate_lb_ac=rate, ground_share=ground, up_share=up,
        seeding_factor=planting.figure("seeding_factor", "decided"),
    )  # fmt: skip
    if not start.known:
        return None
    nitrogen = _nitrogen(tables, planting, species)
    seek = _seek(tables, place.plot, species)
    stand = Stand(
        plant,
        place.layer,
        (planting.body.sow_on - place.first).days,
        min(place.span_days, (gone - place.first).days),
        kept,
        start.number(),
        soil.number() * nitrogen.number(),
    )
    made_of = {"start": start, "soil": soil, "nitrogen": nitrogen, "ground": ground}
    made_of["scale"] = tables["forage_growth_scale"].row(species).figure("scale")
    made_of |= {f"seek-{n}": f for n, f in seek.items()}
    pull = 1.0
    for figure in seek.values():
        pull *= figure.number()
    return Sown(stand, ground, pull, made_of)


def _crown(tables: Tables, species: str) -> Figure:
    group = tables["forage_growth_plants"].row(species).text("group")
    return tables["forage_growth_habits"].row(group).figure("crown_lb_ac")


def _nitrogen(tables: Tables, planting: Kept[Planting], species: str) -> Figure:
    if group_of(tables, species) in FIXES_ITS_OWN:
        return assume(1.0, "share", "forage-fixes-its-own")
    if planting.body.nitrogen_pct is None:
        return assume(1.0, "share", "forage-nitrogen-given")
    bare = tables["forage_model"].row("bare nitrogen").figure("likely_share")
    given = planting.figure("nitrogen_pct", "decided")
    return work(canopy.nitrogen_share, given_share=given, bare_share=bare)


def _seek(tables: Tables, plot: Kept[Plot], species: str) -> dict[str, Figure]:
    group = tables["forage_growth_plants"].row(species).text("group")
    found = {"preference": tables["forage_preference"].row(group).figure("preference")}
    if plot.body.cover_yd is not None:
        far = tables["forage_model"].row("far").figure("likely_share")
        found["near"] = work(
            draws.near_share, cover_yd=plot.figure("cover_yd", "entered"), far_share=far
        )
    return found

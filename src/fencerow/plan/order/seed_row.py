"""Fertilizer in the row with the seed: what a planting puts there, and what seedlings bear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, assume, not_known, work
from fencerow.manner import Amount
from fencerow.plan.order.nitrogen import is_legume
from fencerow.plan.order.urea import is_urea
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import seed_row
from fencerow.tract.bodies import Material, Planting
from fencerow.tract.model import Kept, Tract, slug_of

_CEREALS = ("wheat", "rye", "oats", "triticale")
_SLOPE_OF = {"wheat": "spring_wheat"}
_SOILS = {
    "light": ("sand", "loamy sand", "sandy loam"),
    "medium": ("loam", "silt loam", "silt", "sandy clay loam"),
    "heavy": ("clay loam", "silty clay loam", "sandy clay", "silty clay", "clay"),
}
"""Manitoba prints its limits for light, medium and heavy soils; which texture is which is ours."""


@dataclass(frozen=True)
class SeedRow:
    """What goes into the row, and the most that was published; `limit` not known: none was."""

    material: str
    put: Figure
    limit: Figure
    loss: Figure | None
    """The share of the stand that it may cost, where the crop's slope was published."""


def seed_row_of(
    tract: Tract, tables: Tables, planting: Kept[Planting], texture: str | None
) -> SeedRow | None:
    """The salt that a planting's fertilizer puts into the row, and its limit.

    None where nothing goes into the row, or the material is not one that is entered.
    """
    body = planting.body
    material = material_of(tract, body)
    if body.row_fertilizer_lb_ac is None or material is None or body.method != "drilled":
        return None
    product = planting.figure("row_fertilizer_lb_ac", "decided")
    n = material.figure("n_pct", "on the bag")
    if is_urea(material):
        put = work(seed_row.row_nitrogen, product_lb_ac=product, n_pct=n)
    else:
        k2o = material.figure("k2o_pct", "on the bag")
        put = work(seed_row.row_salt, product_lb_ac=product, n_pct=n, k2o_pct=k2o)
    limit = _limit(tract, tables, planting, material, texture)
    return SeedRow(material.body.name, put, limit, _loss(tract, tables, planting, material))


def _loss(
    tract: Tract, tables: Tables, planting: Kept[Planting], material: Kept[Material]
) -> Figure | None:
    """The stand that urea or UAN in the row may cost; None where no slope was published."""
    blend = tract.blends.get(planting.body.blend)
    species = [part.species for part in blend.body.components] if blend else []
    if len(species) != 1 or not is_urea(material):
        return None
    crop = _SLOPE_OF.get(species[0], species[0])
    liquid = "uan28" if material.body.row == "uan28" else "urea"
    row = tables["seed_row_slopes"].rows.get(f"{liquid}/{crop}")
    if row is None or planting.body.row_width_in is None:
        return None
    return work(
        seed_row.stand_lost,
        product_lb_ac=planting.figure("row_fertilizer_lb_ac", "decided"),
        slope=row.figure("slope"),
        row_in=planting.figure("row_width_in", "entered"),
        furrow_in=assume(1.0, "in", "seed-row-furrow"),
        moisture=assume(1.0, "", "seed-row-moist"),
    )


def material_of(tract: Tract, body: Planting) -> Kept[Material] | None:
    """The material that goes into the row, by its id or its name."""
    wanted = slug_of(body.row_material) if body.row_material else ""
    for kept in tract.materials.values():
        if body.row_material and (
            kept.id == body.row_material or slug_of(kept.body.name) == wanted
        ):
            return kept
    return None


def _limit(
    tract: Tract, tables: Tables, planting: Kept[Planting], material: Kept[Material],
    texture: str | None,
) -> Figure:  # fmt: skip
    """The most that was published for the crop that bears least; not known where none was."""
    blend = tract.blends.get(planting.body.blend)
    species = [part.species for part in blend.body.components] if blend else []
    if is_urea(material) and species and all(s in _CEREALS for s in species):
        soil = next((s for s, of in _SOILS.items() if texture in of), "")
        width = planting.body.row_width_in
        row = tables["seed_row_urea"].rows.get(f"{soil}/{width or 0:.1f}/1.0")
        if row is not None:
            return row.figure("most_lb_ac")
    elif len(species) == 1 and species[0] in tables["seed_row_salt"]:
        row = tables["seed_row_salt"].row(species[0])
        if planting.body.row_width_in == row.number("row_in"):
            return row.figure("most_lb_ac")
    origin = planting.figure("row_fertilizer_lb_ac").origin
    return not_known("lb_ac", origin, "seed-row-no-limit")


def seed_row_said(
    tract: Tract, tables: Tables, planting: Kept[Planting], name: str, found: SeedRow | None
) -> Iterator[Said]:
    """What is to be said where fertilizer goes into the row with the seed."""
    body = planting.body
    if body.row_fertilizer_lb_ac is None or body.method != "drilled":
        return
    place = body.place
    if found is None:
        yield Said.of(Weight.ASK, place, "seed-row-material", planting.entry, place=name)
        return
    material = material_of(tract, body)
    assert material is not None
    if is_urea(material):
        yield Said.of(Weight.CAUTION, place, "seed-row-urea", planting.entry, place=name)
    if found.loss is not None and found.loss.known:
        yield Said.of(Weight.CAUTION, place, "seed-row-loss", planting.entry, place=name,
                      loss=Amount(found.loss.number(), "pct"))  # fmt: skip
    if not found.limit.known:
        yield Said.of(Weight.CAUTION, place, "seed-row-unknown", planting.entry, place=name)
    elif found.put.known and found.put.number() > found.limit.number():
        yield Said.of(Weight.CAUTION, place, "seed-row-too-much", planting.entry, place=name,
                      put=Amount(found.put.number(), "lb_ac"),
                      limit=Amount(found.limit.number(), "lb_ac"))  # fmt: skip
    blend = tract.blends.get(body.blend)
    if blend and any(is_legume(tables, part.species) for part in blend.body.components):
        yield Said.of(Weight.CAUTION, place, "seed-row-inoculant", planting.entry, place=name)

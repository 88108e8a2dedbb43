"""What is to be said of a plot's lime: what is missing, what is late, what can hurt."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fencerow.data import Tables
from fencerow.manner import Amount
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.lime_offer import carries_magnesium, magnesium_low
from fencerow.plan.section import Said, Weight
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message


def lime_said(
    tract: Tract, tables: Tables, plot: Kept[Plot], order: LimeOrder, test: Kept[SoilTest],
    target: float, as_of: date,
) -> Iterator[Said]:  # fmt: skip
    """What is to be said of a plot's lime."""
    place, name = plot.id, plot.body.name
    yield from _sour(tables, place, name, order, test, as_of)
    if not order.need.known:
        yield Said.of(Weight.ASK, place, "lime-ask", test.entry, place=name, why=order.need.reason)
        return
    if order.need.number() <= 0:
        return
    yield from _short_of(place, name, order, target)
    if not order.material:
        yield Said.of(Weight.ASK, place, "lime-usual", place=name)
    yield from _magnesium(tract, tables, place, name, order, test)
    yield from _depth(tract, plot, order)
    yield from _rest(tables, place, name, order)
    if order.half is not None and order.half.known:
        half = Amount(order.half.number(), "ton_ac")
        yield Said.of(Weight.NOTE, place, "lime-half-twice", place=name, half=half)
    by = order.spread_by
    if by is not None and by.known and as_of > by.value:
        yield Said.of(Weight.DOUBT, place, "lime-late", place=name, by=by.value)
    yield Said.of(Weight.CAUTION, place, "lime-dust")


def _rest(tables: Tables, place: str, name: str, order: LimeOrder) -> Iterator[Said]:
    """What is left after the first time: for a later season, or too little for a trip."""
    if not order.later.known or order.later.number() <= 0:
        return
    least = tables["lime_least"].row("north-carolina").number("least_ton_ac") or 0.0
    left = order.rate.number() - order.now.number()
    if left < least:
        amount = Amount(least, "ton_ac", printed=True)
        yield Said.of(Weight.NOTE, place, "lime-rest-little", place=name, least=amount)
    else:
        yield Said.of(Weight.NOTE, place, "lime-split", place=name)


def _short_of(place: str, name: str, order: LimeOrder, target: float) -> Iterator[Said]:
    """A table that lifts the soil to less than the planting would like."""
    to = order.to_ph
    if to is None or to.number() >= target:
        return
    if order.method.id == "lime-by-system":
        yield Said.of(Weight.NOTE, place, "lime-to-six", place=name, target=target)
    else:
        title = dict(order.method.params)["title"]
        yield Said.of(Weight.NOTE, place, "lime-to-printed", place=name, title=title,
                      to=to.value, target=target)  # fmt: skip


def _sour(
    tables: Tables, place: str, name: str, order: LimeOrder, test: Kept[SoilTest], as_of: date
) -> Iterator[Said]:
    """Soil below what a species bears; in doubt where lime can no longer come in time."""
    sour, by = order.too_sour, order.spread_by
    if sour is None:
        return
    in_time = by is not None and by.known and as_of <= by.value
    said = "lime-acid" if sour.bears else "lime-acid-none"
    yield Said.of(Weight.NOTE if in_time else Weight.DOUBT, place, said, test.entry, place=name,
                  ph=test.body.ph, least=sour.least.value, species=sour.species)  # fmt: skip
    limit = tables["soil_limits"].row("metals").number("soil_ph")
    if limit is not None and test.body.ph < limit:
        yield Said.of(Weight.NOTE, place, "lime-metals", test.entry, place=name, limit=limit)


def _magnesium(
    tract: Tract, tables: Tables, place: str, name: str, order: LimeOrder, test: Kept[SoilTest]
) -> Iterator[Said]:
    if not magnesium_low(tables, test.body):
        return
    least = tables["soil_limits"].row("magnesium").number("mg_ppm")
    material = tract.materials.get(order.material)
    told = {"place": name, "mg": f"{test.body.mg_ppm:g}", "least": f"{least:g} ppm"}
    if material is not None and carries_magnesium(material.body):
        yield Said.of(Weight.NOTE, place, "lime-magnesium", test.entry, **told,
                      name=material.body.name)  # fmt: skip
    else:
        yield Said.of(Weight.ASK, place, "lime-magnesium-none", test.entry, **told)


def _depth(tract: Tract, plot: Kept[Plot], order: LimeOrder) -> Iterator[Said]:
    """A depth that is known beside the one that the rate means, and is not applied to it."""
    if not order.worked_in:
        return
    own = plot.body.mixing_depth_in
    if own and order.method == Message.of("lime-by-lab"):
        yield Said.of(Weight.NOTE, plot.id, "lime-depth-lab", plot.entry, place=plot.body.name,
                      depth=Amount(own, "in", printed=True))  # fmt: skip
    tools = {e.body.mixing_depth_in for e in tract.equipment.values()} - {None}
    if own is None and order.depth is not None and tools - {order.depth.value}:
        assumed = Amount(order.depth.number(), "in", printed=True)
        yield Said.of(Weight.NOTE, plot.id, "lime-depth-beside", plot.entry,
                      place=plot.body.name, assumed=assumed)  # fmt: skip

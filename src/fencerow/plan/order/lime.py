"""Lime for one plot: the need, the lime on offer that meets it for least, and when it goes on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.data import Tables
from fencerow.data.system import System
from fencerow.figure import Figure, work
from fencerow.plan.order.lime_meanwhile import TooSour, too_sour
from fencerow.plan.order.lime_need import Report, lime_need
from fencerow.plan.order.lime_offer import (
    Depth,
    Offer,
    cheapest,
    for_depth,
    lime_offers,
    magnesium_low,
    usual_rate,
)
from fencerow.plan.order.lime_when import Application, schedule, spread_by, worked_in
from fencerow.science.soil import lime_use
from fencerow.science.soil.materials import tons_for_area
from fencerow.tract.bodies import Planting, SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message


@dataclass(frozen=True)
class LimeOrder:
    """Lime for a plot: what the soil asks for, and how much of the lime at hand that is.

    `half` is another way for ground that is not worked, shown beside; `depth` and `to_ph` are what
    the need's method means.
    """

    method: Message
    material: str
    material_name: str
    need: Figure
    rate: Figure
    now: Figure
    total: Figure
    later: Figure
    applications: Figure
    spread_by: Figure | None
    worked_in: bool = False
    depth: Figure | None = None
    to_ph: Figure | None = None
    half: Figure | None = None
    offers: Mapping[str, Offer] = field(default_factory=dict)
    schedule: Mapping[str, Application] = field(default_factory=dict)
    too_sour: TooSour | None = None


def lime_order(
    tract: Tract,
    tables: Tables,
    system: System | None,
    plot: Kept[Plot],
    test: Kept[SoilTest],
    target: Figure,
    acres: Figure,
    today: Figure,
    planting: Kept[Planting] | None,
    light_only: bool,
) -> LimeOrder:
    """Lime for a plot: need, material, rate, what goes on now and what later, and by when.

    Args:
        planting: the first planting to be sown, whose day the lime has to come before.
        light_only: nothing heavy may drive there, so that lime comes in bags.
    """
    need = lime_need(tract, tables, system, Report(plot, test, target, today))
    mixed = worked_in(planting)
    depth = _depth(plot, need.depth) if mixed else None
    offers = lime_offers(tract, tables, need.amount, depth)
    low_mg = magnesium_low(tables, test.body)
    chosen = cheapest(tract, offers, light_only, with_magnesium=low_mg)
    usual = for_depth(usual_rate(tables, need.amount), depth)
    rate = offers[chosen].rate if chosen else usual
    placement = "tilled" if mixed else "surface"
    cap = tables["lime_caps"].row(placement).figure("cap_ton_ac")
    now = work(lime_use.lime_now, rate_ton_ac=rate, cap_ton_ac=cap)
    later = work(lime_use.lime_later, rate_ton_ac=rate, cap_ton_ac=cap)
    by = spread_by(tables, need.amount, planting)
    return LimeOrder(
        method=need.method,
        material=chosen,
        material_name=offers[chosen].name if chosen else "",
        need=need.amount,
        rate=rate,
        now=now,
        total=work(tons_for_area, rate_ton_ac=now, area_ac=acres),
        later=work(tons_for_area, rate_ton_ac=later, area_ac=acres),
        applications=work(lime_use.lime_applications, rate_ton_ac=rate, cap_ton_ac=cap),
        spread_by=by,
        worked_in=mixed,
        depth=need.depth,
        to_ph=need.to_ph,
        half=None if mixed else work(lime_use.surface_rate, rate_ton_ac=rate),
        offers=offers,
        schedule=schedule(tables, rate, acres, placement, by, today),
        too_sour=too_sour(tract, tables, planting, test),
    )


def _depth(plot: Kept[Plot], assumed: Figure | None) -> Depth | None:
    """The plot's own mixing depth beside the method's, where both are known."""
    if assumed is None or not plot.body.mixing_depth_in:
        return None
    return Depth(plot.figure("mixing_depth_in", "entered"), assumed)

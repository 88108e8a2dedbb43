"""Lime for one plot: the lab's word first, else a published method, then the lime at hand.

A need stays on the basis of whoever printed it (lb of ENP, of ENM, of CCE, tons of agricultural
lime); a material meets it only by its value on that same basis.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.data.system import System
from fencerow.figure import Figure, assume, not_known, work
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import lime, lime_use, lime_value, timing
from fencerow.science.soil.materials import tons_for_area
from fencerow.tract.bodies import Material, Planting, SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message


@dataclass(frozen=True)
class LimeOrder:
    """Lime for a plot: what the soil asks for, and how much of the lime at hand that is."""

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


def target_ph(tract: Tract, tables: Tables, plantings: Iterable[Kept[Planting]]) -> Figure | None:
    """The soil pH that the plantings want: the highest target among their species."""
    species = [
        part.species
        for planting in plantings
        if planting.body.blend in tract.blends
        for part in tract.blends[planting.body.blend].body.components
    ]
    rows = [tables["species_ph"].rows.get(f"{s}/target") for s in species]
    figures = [row.figure("soil_ph") for row in rows if row is not None]
    return max(figures, key=Figure.number, default=None)


def lime_need(
    tract: Tract,
    system: System | None,
    plot: Kept[Plot],
    test: Kept[SoilTest],
    target: Figure,
    today: Figure,
) -> tuple[Message, Figure]:
    """The lime that a soil test asks for, an acre, and by whose method."""
    body = test.body
    if body.lab_lime is not None:
        return Message.of("lime-by-lab"), test.figure(
            "lab_lime", "recommended by the lab", unit=body.lab_lime_basis
        )
    soil_ph = test.figure("ph", "measured")
    if body.ph_kind == "water" and body.ph >= target.number():
        at_target = work(lime.nothing_to_lift, soil_ph=soil_ph, target_ph=target)
        return Message.of("lime-none"), at_target
    if system is not None and body.buffer_method in (None, "smp", "sikora"):
        return Message.of("lime-by-system", title=system.title), _by_system(tract, system, test)
    if body.ph_kind == "water" and body.buffer_method == "mehlich":
        return Message.of("lime-by-ncda"), _by_mehlich(plot, test, target, today)
    unknown = not_known("ton_ac", soil_ph.origin, "lime-no-method", ph=body.ph)
    return Message.of("lime-unknown"), unknown


def _by_system(tract: Tract, system: System, test: Kept[SoilTest]) -> Figure:
    """The printed rate of a state's table; `plot_enp` holds reading and row together."""
    body = test.body
    printed = system.lime(
        body.ph,
        body.buffer_ph,
        area=tract.about.body.lime_area,
        ph_kind=body.ph_kind,
        buffer_method=body.buffer_method or "",
    )
    if printed.value is None or system.lime_basis != "enp_lb_ac":
        return printed.figure()
    inputs = {"soil_ph": test.figure("ph", "measured"), **printed.inputs()}
    if body.buffer_ph is not None and "printed_buffer_ph" in inputs:
        inputs["buffer_ph"] = test.figure("buffer_ph", "measured")
    return work(lime.plot_enp, **inputs)


def _by_mehlich(plot: Kept[Plot], test: Kept[SoilTest], target: Figure, today: Figure) -> Figure:
    """North Carolina's equation, with credit for an earlier application where one is entered."""
    soil_ph = test.figure("ph", "measured")
    return work(
        lime.mehlich_requirement,
        acidity_meq_100cm3=work(
            lime.mehlich_acidity, buffer_ph=test.figure("buffer_ph", "measured")
        ),
        share_to_lift=work(lime.share_to_lift, soil_ph=soil_ph, target_ph=target),
        credit_ton_ac=_credit(plot, today),
    )


def _credit(plot: Kept[Plot], today: Figure) -> Figure:
    if plot.body.lime_ton_ac is None or plot.body.limed_on is None:
        return assume(0.0, "ton_ac", "lime-no-credit")
    limed_on = plot.figure("limed_on", unit="date")
    return work(
        lime.residual_credit,
        applied_ton_ac=plot.figure("lime_ton_ac"),
        age_months=work(timing.age_months, sampled_date=limed_on, as_of_date=today),
    )


def material_rate(tables: Tables, material: Kept[Material], need: Figure) -> Figure | None:
    """Tons an acre of a lime that meet a need; None without its value on that basis."""
    body, worth = material.body, "on the ticket"
    if need.unit == "enp_lb_ac" and body.enp_lb_ton is not None:
        enp = material.figure("enp_lb_ton", worth)
        return work(lime_value.tons_for_enp, need_enp_lb_ac=need, enp_lb_ton=enp)
    if need.unit == "enm_lb_ac" and body.enm_lb_ton is not None:
        enm = material.figure("enm_lb_ton", worth)
        return work(lime_value.tons_for_enm, need_enm_lb_ac=need, enm_lb_ton=enm)
    if need.unit == "cce_lb_ac" and body.cce_pct is not None and body.fineness_pct is not None:
        return work(
            lime_value.tons_for_cce,
            need_cce_lb_ac=need,
            cce_pct=material.figure("cce_pct", worth),
            fineness_pct=material.figure("fineness_pct", worth),
        )
    if need.unit == "ton_ac" and body.cce_pct is not None:
        reference = tables["lime_reference"].row("ncda-aglime").figure("cce_pct")
        cce = material.figure("cce_pct", worth)
        return work(
            lime_value.tons_for_aglime, rate_ton_ac=need, reference_cce_pct=reference, cce_pct=cce
        )
    return None


def _usual_rate(tables: Tables, need: Figure) -> Figure:
    """Where no lime is on offer: the lime that the table itself means by a ton."""
    if need.unit == "enp_lb_ac":
        usual = tables["lime_reference"].row("minnesota-aglime").figure("enp_lb_ton")
        return work(lime_value.tons_for_enp, need_enp_lb_ac=need, enp_lb_ton=usual)
    if need.unit == "ton_ac":
        return need
    return not_known("ton_ac", need.origin, "lime-no-material")


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
    method, need = lime_need(tract, system, plot, test, target, today)
    chosen, rate = _choose(tract, tables, need, light_only)
    worked_in = planting is not None and planting.body.covered and planting.body.stage != "maintain"
    cap = tables["lime_caps"].row("tilled" if worked_in else "surface").figure("cap_ton_ac")
    now = work(lime_use.lime_now, rate_ton_ac=rate, cap_ton_ac=cap)
    later = work(lime_use.lime_later, rate_ton_ac=rate, cap_ton_ac=cap)
    return LimeOrder(
        method=method,
        material=chosen.id if chosen else "",
        material_name=chosen.body.name if chosen else "",
        need=need,
        rate=rate,
        now=now,
        total=work(tons_for_area, rate_ton_ac=now, area_ac=acres),
        later=work(tons_for_area, rate_ton_ac=later, area_ac=acres),
        applications=work(lime_use.lime_applications, rate_ton_ac=rate, cap_ton_ac=cap),
        spread_by=_spread_by(tables, need, planting),
    )


def _choose(
    tract: Tract, tables: Tables, need: Figure, light_only: bool
) -> tuple[Kept[Material] | None, Figure]:
    """The lime on offer that meets the need for least money; the usual lime where none is."""
    if not need.known:
        return None, not_known("ton_ac", need.origin, "lime-need-unknown", why=need.reason)
    found: list[tuple[float, str, Kept[Material], Figure]] = []
    for material in tract.materials.values():
        rate = material_rate(tables, material, need) if material.body.form == "lime" else None
        if rate is None or not rate.known or (light_only and material.body.sold_by == "ton"):
            continue
        price = material.body.price_usd
        a_lb = float("inf") if price is None else price / material.body.package_lb
        found.append((a_lb * rate.number() if rate.number() else a_lb, material.id, material, rate))
    if not found:
        return None, _usual_rate(tables, need)
    _, _, chosen, rate = min(found, key=lambda f: f[:2])
    return chosen, rate


def _spread_by(tables: Tables, need: Figure, planting: Kept[Planting] | None) -> Figure | None:
    if planting is None or planting.body.stage == "maintain" or not need.known:
        return None
    if need.number() <= 0:
        return None
    months = tables["lime_reaction"].row("begins_missouri").figure("after_high_months")
    sow_on = planting.figure("sow_on", "decided", unit="date")
    return work(timing.months_before, wanted_date=sow_on, act_months=months)


def lime_said(
    place: str, name: str, order: LimeOrder, test: Kept[SoilTest], target: Figure, as_of: date
) -> Iterator[Said]:
    """What is to be said of a plot's lime: what is missing, what is late, what can hurt."""
    if not order.need.known:
        yield Said.of(Weight.ASK, place, "lime-ask", test.entry, place=name, why=order.need.reason)
        return
    if order.need.number() <= 0:
        return
    if (
        order.need.unit == "enp_lb_ac"
        and order.method.id == "lime-by-system"
        and target.number() > 6
    ):
        yield Said.of(Weight.NOTE, place, "lime-to-six", place=name, target=target.value)
    if not order.material:
        yield Said.of(Weight.ASK, place, "lime-usual", place=name)
    if order.later.known and order.later.number() > 0:
        yield Said.of(Weight.NOTE, place, "lime-split", place=name)
    by = order.spread_by
    if by is not None and by.known and as_of > by.value:
        yield Said.of(Weight.DOUBT, place, "lime-late", place=name, by=by.value)
    yield Said.of(Weight.CAUTION, place, "lime-dust")

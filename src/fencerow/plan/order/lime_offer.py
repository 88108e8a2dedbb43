"""The limes on offer for a need: what each is worth on the need's basis, its rate, its cost.

A need meets only a value on its own basis: what the ticket prints, or what purity and sieves on
the ticket come to by the sieves of the state whose need it is. Nothing converts one state's value
into another's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.data import Row, Tables
from fencerow.figure import Figure, assume, not_known, work, work_parts
from fencerow.science.soil import lime, lime_value, lime_worth
from fencerow.tract.bodies import Material, SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.words import OutsideRange

TICKET = "on the ticket"
_VALUE_FOR = {"enp_lb_ac": "enp_lb_ton", "enm_lb_ac": "enm_lb_ton", "cce_lb_ac": "pct"}


@dataclass(frozen=True)
class Offer:
    """One lime for one need: its value on the need's basis, the rate that meets it, the cost."""

    name: str
    form: str
    value: Figure
    rate: Figure
    cost_area: Figure
    cost_effective: Figure


@dataclass(frozen=True)
class Depth:
    """A mixing depth that the person entered, and the depth that the need's method means."""

    mixed: Figure
    assumed: Figure


def lime_offers(
    tract: Tract, tables: Tables, need: Figure, depth: Depth | None = None
) -> dict[str, Offer]:
    """Every lime that can be valued on a need's basis, by id; none where the need is not known."""
    if not need.known:
        return {}
    found: dict[str, Offer] = {}
    for material in tract.materials.values():
        if material.body.form != "lime":
            continue
        made = _offer(tables, tract.about.body.state, material, need, depth)
        if made is not None and made.rate.known:
            found[material.id] = made
    return found


def _offer(
    tables: Tables, state: str, material: Kept[Material], need: Figure, depth: Depth | None
) -> Offer | None:
    share = _effective(tables, state, material, need.unit)
    value = _value(tables, material, need.unit, share)
    if value is None or share is None:
        return None
    price = work(
        lime_worth.price_of_ton,
        price_usd=material.figure("price_usd", "quoted"),
        package_lb=material.figure("package_lb", "quoted"),
    )
    rate = for_depth(_rate(tables, need, value), depth)
    return Offer(
        name=material.body.name,
        form=material.body.lime_form or "",
        value=value,
        rate=rate,
        cost_area=work(lime_worth.cost_an_acre, rate_ton_ac=rate, price_usd_ton=price),
        cost_effective=work(
            lime_worth.cost_of_effective_ton, price_usd_ton=price, effective_pct=share
        ),
    )


def for_depth(rate: Figure, depth: Depth | None) -> Figure:
    """A rate for the depth that it is mixed into, where the person entered one; else as it is."""
    if depth is None or depth.mixed.value == depth.assumed.value:
        return rate
    return work(
        lime.rate_for_depth,
        rate_ton_ac=rate,
        depth_in=depth.mixed,
        assumed_depth_in=depth.assumed,
    )


def _effective(tables: Tables, state: str, material: Kept[Material], unit: str) -> Figure | None:
    """What of a lime is effective on a need's scale: by the ticket's value, else by its sieves.

    A need in tons of agricultural lime asks for purity alone.
    """
    body = material.body
    if unit == "ton_ac":
        return None if body.cce_pct is None else material.figure("cce_pct", TICKET)
    if unit == "enp_lb_ac" and body.enp_lb_ton is not None:
        enp = material.figure("enp_lb_ton", TICKET)
        return work(lime_worth.effective_of_enp, enp_lb_ton=enp)
    if unit == "enm_lb_ac" and body.enm_lb_ton is not None:
        enm = material.figure("enm_lb_ton", TICKET)
        return work(lime_worth.effective_of_enm, enm_lb_ton=enm)
    scale = _scale(tables, state, unit)
    by_state = unit == "cce_lb_ac" and body.fineness_pct is not None
    fine = (
        material.figure("fineness_pct", TICKET)
        if by_state
        else None if scale is None else fineness_of(tables, material, scale.text("scheme"))
    )  # fmt: skip
    if fine is None or body.cce_pct is None:
        return None
    inputs = {"cce_pct": material.figure("cce_pct", TICKET), "fineness_pct": fine}
    if scale is not None and not by_state and scale.text("moisture") == "yes":
        dry = assume(0.0, "pct", "lime-dry")
        wet = material.figure("moisture_pct", TICKET)
        inputs["moisture_pct"] = wet if wet.known else dry
    return work(lime_worth.effective_pct, **inputs)


def _scale(tables: Tables, state: str, unit: str) -> Row | None:
    """The scale of a state whose need is in a unit; lb of ENM are Missouri's wherever they are."""
    scales = [s for s in tables["lime_scales"] if s.text("value_on") == _VALUE_FOR[unit]]
    if unit == "enm_lb_ac":
        return scales[0]
    return next((s for s in scales if state in s.text("states").split()), None)


def fineness_of(tables: Tables, material: Kept[Material], scheme: str) -> Figure | None:
    """The fineness factor of a lime by a scheme's sieves; None where the ticket lacks one."""
    steps = [row for row in tables["fineness_schemes"] if row.text("scheme") == scheme]
    steps.sort(key=lambda row: int(row.text("passes")))
    passed = {f"pass_{row.text('passes')}_pct": row for row in steps}
    if not steps or any(getattr(material.body, name, None) is None for name in passed):
        return None
    inputs: dict[str, Figure] = {}
    for name, row in passed.items():
        inputs[name] = material.figure(name, TICKET)
        inputs[f"counts_{row.text('passes')}_share"] = row.figure("counts_share")
    try:
        made = work_parts(
            lime_worth.fineness,
            inputs,
            pass_pct=tuple(inputs[name].number() for name in passed),
            counts_share=tuple(row.number("counts_share") for row in steps),
        )
    except OutsideRange:
        return None
    return made.figure(lambda answer: answer, "pct")


def _value(
    tables: Tables, material: Kept[Material], unit: str, share: Figure | None
) -> Figure | None:
    """A lime's value on the scale of a need."""
    if share is None:
        return None
    body = material.body
    if unit == "enp_lb_ac":
        if body.enp_lb_ton is not None:
            return material.figure("enp_lb_ton", TICKET)
        return work(lime_worth.enp_of, effective_pct=share)
    if unit == "enm_lb_ac":
        if body.enm_lb_ton is not None:
            return material.figure("enm_lb_ton", TICKET)
        return work(lime_worth.enm_of, effective_pct=share)
    return share


def _rate(tables: Tables, need: Figure, value: Figure) -> Figure:
    """Tons an acre of a lime of a value that meet a need on the same basis."""
    if need.unit == "enp_lb_ac":
        return work(lime_value.tons_for_enp, need_enp_lb_ac=need, enp_lb_ton=value)
    if need.unit == "enm_lb_ac":
        return work(lime_value.tons_for_enm, need_enm_lb_ac=need, enm_lb_ton=value)
    if need.unit == "cce_lb_ac":
        return work(lime_worth.tons_for_effective, need_cce_lb_ac=need, effective_pct=value)
    reference = tables["lime_reference"].row("ncda-aglime").figure("cce_pct")
    return work(
        lime_value.tons_for_aglime, rate_ton_ac=need, reference_cce_pct=reference, cce_pct=value
    )


def usual_rate(tables: Tables, need: Figure) -> Figure:
    """Where no lime is on offer: the lime that the table itself means by a ton."""
    if not need.known:
        return not_known("ton_ac", need.origin, "lime-need-unknown", why=need.reason)
    if need.unit == "enp_lb_ac":
        usual = tables["lime_reference"].row("minnesota-aglime").figure("enp_lb_ton")
        return work(lime_value.tons_for_enp, need_enp_lb_ac=need, enp_lb_ton=usual)
    if need.unit == "ton_ac":
        return need
    return not_known("ton_ac", need.origin, "lime-no-material")


def cheapest(
    tract: Tract, offers: Mapping[str, Offer], light_only: bool, with_magnesium: bool
) -> str:
    """The lime that meets the need for least money, by id; empty where none is on offer.

    A lime that carries magnesium goes before one that does not where magnesium is wanted. A lime
    without a price comes last; where nothing heavy may drive, bulk does not come at all.
    """
    fit = [id_ for id_ in offers if not (light_only and tract.materials[id_].body.sold_by == "ton")]

    def key(id_: str) -> tuple[bool, float, float, str]:
        offer = offers[id_]
        cost = offer.cost_area.number() if offer.cost_area.known else float("inf")
        a_ton = offer.cost_effective.number() if offer.cost_effective.known else float("inf")
        plain = with_magnesium and not carries_magnesium(tract.materials[id_].body)
        return plain, cost, a_ton, id_

    return min(fit, key=key, default="")


def carries_magnesium(body: Material) -> bool:
    """Whether a lime is sold as dolomitic, or its ticket prints magnesium."""
    return body.lime_form == "dolomitic" or (body.mg_pct or 0) > 0


def magnesium_low(tables: Tables, body: SoilTest) -> bool:
    """Whether a soil test is under the level at which dolomitic lime is called for."""
    least = tables["soil_limits"].row("magnesium").number("mg_ppm")
    return body.mg_ppm is not None and least is not None and body.mg_ppm < least

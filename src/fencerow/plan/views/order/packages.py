"""Whole packages as they are sold: a 50-lb bag holds 50 lb, whatever the person reads in."""

from __future__ import annotations

from fencerow.manner import Amount, in_both
from fencerow.plan.order.purchase import Purchase
from fencerow.plan.show import Told, brief, value_text
from fencerow.science.soil.offers import NUTRIENTS
from fencerow.tract.bodies import Material, SeedLot
from fencerow.units import convert
from fencerow.words import say


def packages_text(bought: Purchase) -> str:
    """'3 bags of 50 lb', '12 tons in bulk'; nothing where that is not known."""
    if not bought.packages.known:
        return ""
    lb = bought.package_lb.number()
    return Told(packages_words(bought.packages.number(), bought.sold_by, lb), bought.packages)


def packages_words(packages: float, sold_by: str, package_lb: float) -> str:
    """Packages of one size, or tons in bulk."""
    if sold_by == "ton":
        return say("view-tons", size=in_both(packages, "ton", printed=True))
    count = f"{packages:.0f}"
    size = in_both(package_lb, "lb", printed=True)
    return say("view-bags" if count != "1" else "view-bag", count=count, size=size)


def need_text(bought: Purchase) -> str:
    """A need in the unit that the thing is sold by."""
    need = bought.need
    if not need.known or bought.sold_by != "ton":
        return brief(need)
    return Told(value_text(convert(need.number(), need.unit, "ton"), "ton"), need)


def analysis_text(body: Material | SeedLot) -> str:
    """What it has to be: a grade, a value as lime, a tag."""
    if isinstance(body, SeedLot):
        alive = Amount(body.germination_pct + body.hard_pct, "pct", printed=True)
        return say(
            "analysis-seed", purity=Amount(body.purity_pct, "pct", printed=True), alive=alive
        )
    if body.form == "lime":
        # ENP and ENM are a state's own scales, lb to the ton wherever they are read
        values = {"enp": (body.enp_lb_ton, "enp_lb_ton"), "enm": (body.enm_lb_ton, "enm_lb_ton"),
                  "cce": (body.cce_pct, "pct")}  # fmt: skip
        return ", ".join(
            say(f"analysis-lime-{basis}", value=Amount(value, unit, printed=True))
            for basis, (value, unit) in values.items()
            if value is not None
        )
    grade = "-".join(f"{getattr(body, f'{n}_pct'):g}" for n in NUTRIENTS[:3])
    for trace in ("s", "b"):
        pct = getattr(body, f"{trace}_pct")
        if pct:
            amount = Amount(pct, "pct", printed=True)
            grade = say(f"analysis-{trace}", grade=grade, pct=amount)
    return grade

"""What is to be said beside the plans: what cannot be told apart, what is left out."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.compare.body import Comparison, Side, Suggestion
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.show import Told, amount
from fencerow.words import Message

ABOUT = "compare"


def compare_said(given: Given, body: Comparison) -> Iterator[Said]:
    """Every sentence of the section."""
    for name, why in body.unable.items():
        message = "compare-unable" if name else "compare-needs-deer"
        yield Said.of(Weight.ASK, ABOUT, message, name=name, why=why)
    for side in body.sides.values():
        yield from _side(side)
    if body.sides:
        yield Said.of(Weight.NOTE, ABOUT, "compare-same-years")
        yield Said.of(Weight.NOTE, ABOUT, "compare-by-the-pound")
        yield from _repellent(given, body)
    if body.suggestion is not None:
        yield from _suggested(body, body.suggestion)


def _side(side: Side) -> Iterator[Said]:
    if side.against is not None:
        told = side.against.told
        if told.value == "same":
            yield Said.of(Weight.NOTE, ABOUT, "compare-same", name=side.name)
        else:
            message = "compare-eats-more" if told.value == "more" else "compare-eats-less"
            gap = abs(side.against.eaten.likely.number())
            yield Said.of(Weight.NOTE, ABOUT, message, name=side.name, lb=Amount(gap, "lb"),
                          cost=_for(side.against.cost))  # fmt: skip
    for why in side.costs.missing:
        yield Said.of(Weight.DOUBT, ABOUT, "compare-cost-more", name=side.name, why=why)


def _for(cost: Figure) -> Message:
    """By how much it costs more, or less."""
    if not cost.known:
        return Message.of("compare-for-unknown")
    message = "compare-for-more" if cost.number() >= 0 else "compare-for-less"
    return Message.of(message, cost=Amount(abs(cost.number()), "usd"))


def _repellent(given: Given, body: Comparison) -> Iterator[Said]:
    """The caution where something is to be sprayed."""
    tried = [c for k in given.tract.alternatives.values() for c in k.body.changes]
    said = any(c.protection == "repellent" for c in tried)
    kept = (p.body.protection for p in given.tract.plantings.values())
    if said or "repellent" in kept:
        yield Said.of(Weight.CAUTION, ABOUT, "compare-repellent-label")


def _suggested(body: Comparison, found: Suggestion) -> Iterator[Said]:
    if found.picked is None:
        yield Said.of(Weight.DOUBT, ABOUT, "compare-nothing-within", budget=amount(found.budget))
        return
    yield Said.of(
        Weight.NOTE, ABOUT, "compare-picked", budget=amount(found.budget),
        factor=Told(f"{found.picked.factor.number():g}", found.picked.factor),
        cost=amount(found.picked.cost), points=f"{found.points.number():.0f}",
    )  # fmt: skip
    one, two = body.sides.get("suggested"), body.sides.get("runner-up")
    if one and two and one.against and two.against:
        yield Said.of(Weight.NOTE, ABOUT, "compare-runner-up",
                      lb=amount(one.eaten.likely), other=amount(two.eaten.likely))  # fmt: skip

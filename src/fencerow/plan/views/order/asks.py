"""What a plot asks for, and by whom: lime, then the nutrients of each planting."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.nutrients import NutrientOrder
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.words import name_of, say

Row = tuple[str, ...]


def asks_table(order: PlotOrder) -> Ruled:
    rows: list[Row] = []
    if order.target_ph is not None:
        decided = say("view-decided", species=order.decided_by) if order.decided_by else ""
        rows.append(_row("target_ph", order.target_ph, decided))
    if order.liming is not None:
        rows += _lime(order.liming)
    for planting in order.plantings.values():
        if planting.nutrients is not None:
            rows += _nutrients(planting.nutrients)
    return Ruled(columns("what", "need#", "by-whom+"), tuple(rows), say("view-asks"))


def _lime(lime: LimeOrder) -> Iterator[Row]:
    """The need, with the pH and the depth that its method means."""
    by = [str(lime.method)]
    if lime.to_ph is not None and lime.need.known:
        by.append(say("view-lime-to", to=f"{lime.to_ph.number():.1f}"))
    if lime.depth is not None and lime.need.known:
        depth = Amount(lime.depth.number(), "in", printed=True)
        by.append(say("view-lime-deep", depth=depth))
    yield _row("lime", lime.need, ", ".join(by))


def _nutrients(nutrients: NutrientOrder) -> Iterator[Row]:
    for nutrient, figure in nutrients.each().items():
        yield _row(nutrient, figure, str(nutrients.method))


def _row(name: str, figure: Figure, by: str) -> Row:
    return (name_of(name), brief(figure) + unchecked_mark(figure), by)

"""What a plot asks for, and by whom: lime, then the nutrients of each planting.

Nitrogen by blend is said as a range, with what is reckoned with; beside it what residue ties up,
what urea may lose and what goes into the seed row, where there is any.
"""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.nutrients import NutrientOrder
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told, brief, unchecked_mark
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
        rows += _beside(planting)
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
        by = say("view-by-blend") if nutrient == "n" and nutrients.nitrogen else nutrients.method
        yield _row(nutrient, figure, str(by))
    for trace, asked in (("s", nutrients.s), ("b", nutrients.b)):
        if asked is not None:
            yield _row(f"nutrient {trace}", asked, say("view-trace"))
    if nutrients.residue is not None and nutrients.residue.low.known:
        tied = nutrients.residue
        yield _span("residue takes", tied.low, tied.high, tied.name)


def _beside(planting: PlantingOrder) -> Iterator[Row]:
    """What goes with the nutrients of a planting: urea's loss, salt in the seed row."""
    if planting.urea is not None:
        yield _span("urea may lose", planting.urea.low, planting.urea.high, say("view-trials"))
    if planting.seed_row is not None:
        row = planting.seed_row
        limit = say("view-row-limit", limit=brief(row.limit)) if row.limit.known else row.material
        yield _row("in the seed row", row.put, limit)


def _span(name: str, low: Figure, high: Figure, by: str) -> Row:
    """A range by its two ends; the higher one leads to its working."""
    ends = Amount(low.number(), low.unit, high.number())
    return (name_of(name), Told(str(ends), high) + unchecked_mark(high), by)


def _row(name: str, figure: Figure, by: str) -> Row:
    return (name_of(name), brief(figure) + unchecked_mark(figure), by)

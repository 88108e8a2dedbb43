"""The seed of one planting, species by species."""

from __future__ import annotations

from fencerow.plan.order.planner import PlantingOrder
from fencerow.plan.order.seed import SeedLine
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.plan.views.blends import depth_text
from fencerow.words import say


def seed_table(planting: PlantingOrder) -> Ruled:
    assert planting.seed is not None
    rows = tuple(_row(line) for line in planting.seed.species.values())
    title = say("view-seed", blend=planting.blend, method=planting.method)
    return Ruled(
        columns("species+", "live#", "from-bag#", "depth", "inoculant", "packets#"), rows, title
    )


def _row(line: SeedLine) -> tuple[str, ...]:
    return (
        line.common,
        brief(line.rate) + unchecked_mark(line.rate),
        brief(line.need),
        depth_text(line.depth_low, line.depth_high),
        brief(line.inoculant) + (unchecked_mark(line.inoculant) if line.inoculant else ""),
        brief(line.packets),
    )

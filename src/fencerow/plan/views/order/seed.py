"""The seed of one planting, species by species."""

from __future__ import annotations

from fencerow.manner import Amount
from fencerow.plan.order.planner import PlantingOrder
from fencerow.plan.order.seed import SeedLine
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say


def seed_table(planting: PlantingOrder) -> Ruled:
    assert planting.seed is not None
    rows = tuple(_row(line) for line in planting.seed.species.values())
    title = say("view-seed", blend=planting.blend, method=planting.method)
    return Ruled(columns("species+", "live#", "from-bag#", "depth", "inoculant"), rows, title)


def _row(line: SeedLine) -> tuple[str, ...]:
    depth = ""
    if line.depth_low and line.depth_high:
        low, high = line.depth_low.number(), line.depth_high.number()
        words = str(Amount(low, "in", high, printed=True))
        depth = Told(words, line.depth_low) + unchecked_mark(line.depth_low)
    return (
        line.common,
        brief(line.rate) + unchecked_mark(line.rate),
        brief(line.need),
        depth,
        brief(line.inoculant) + (unchecked_mark(line.inoculant) if line.inoculant else ""),
    )

"""What goes on a plot, at what rate, in how many loads."""

from __future__ import annotations

from collections.abc import Iterable

from fencerow.plan.order.spreading import Spread
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say


def spread_table(lines: Iterable[Spread]) -> Ruled:
    rows = tuple(
        (
            line.name,
            brief(line.lb) + unchecked_mark(line.lb),
            brief(line.rate),
            brief(line.patch),
            _loads(line),
        )
        for line in lines
    )
    heads = columns("material+", "in-all#", "rate#", "patch#", "loads")
    return Ruled(heads, rows, say("view-spread"))


def _loads(line: Spread) -> str:
    if not line.spreader or line.loads is None:
        return line.spreader
    count = f"{line.loads.number():.0f}" if line.loads.known else ""
    message = "view-load" if count == "1" else "view-loads"
    return Told(say(message, loads=count, spreader=line.spreader), line.loads)

"""The lots of seed: what came against what was ordered, and counts of one's own."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.order.arrivals import Arrived
from fencerow.plan.order.blends import Blends
from fencerow.plan.order.rotation import Wait
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, label, value_text
from fencerow.words import say

Row = tuple[str, ...]


def lots_sheets(plan: Plan) -> Iterator[Sheet]:
    """One sheet, where something came or was counted."""
    section = plan.sections["blends"]
    body: Blends = section.body
    if not body.arrived and not body.counted:
        return
    said = by_weight([s for s in section.said if s.about in body.arrived])
    tables = (_came(body), _tags(body), _counted(body))
    yield Sheet("seed", say("seed-view"), say("seed-view-under"), tables, said)


def _came(body: Blends) -> Ruled:
    rows = tuple(_came_row(found) for found in body.arrived.values())
    heads = columns(
        "lot+", "live-ordered#", "live-came#", "need#", "came#", "balance#", "still#", of="seed-"
    )
    return Ruled(heads, rows, say("seed-view-came"))


def _came_row(found: Arrived) -> Row:
    live = [
        Told(value_text(100 * f.number(), "pct"), f) if f.known else brief(f)
        for f in (found.ordered_pls, found.pls)
    ]
    return (
        found.name,
        *live,
        brief(found.need),
        brief(found.came_lb),
        brief(found.balance),
        _count(found.still_bags),
    )


def _count(figure: Figure) -> str:
    return Told(f"{figure.number():.0f}", figure) if figure.known else brief(figure)


def _tags(body: Blends) -> Ruled:
    rows: list[Row] = []
    for found in body.arrived.values():
        if found.replaced:
            rows.append((found.name, say("head-species"), found.ordered, found.came))
        rows += [
            (found.name, label(name), brief(tag.ordered), brief(tag.came))
            for name, tag in found.tags.items()
        ]
    heads = columns("lot+", "what", "ordered#", "came#", of="seed-")
    return Ruled(heads, tuple(rows), say("seed-view-tags"))


def _counted(body: Blends) -> Ruled:
    rows = tuple(
        (c.name, brief(c.tag), brief(c.own), brief(c.low), brief(c.high))
        for c in body.counted.values()
    )
    heads = columns("lot+", "tag#", "own#", "low#", "high#", of="seed-")
    return Ruled(heads, rows, say("seed-view-counted"))


def waits_table(plan: Plan, place: str) -> Ruled:
    """The waits by label on one plot."""
    body: Blends = plan.sections["blends"].body
    rows = tuple(_wait_row(wait) for wait in body.waits.values() if wait.place == place)
    heads = columns("blend+", "label", "on#", "wait#", "earliest#", "sow#", of="seed-")
    return Ruled(heads, rows, say("seed-view-waits"))


def _wait_row(wait: Wait) -> Row:
    figures = (wait.applied, wait.wait, wait.earliest, wait.sow_on)
    return (wait.blend, wait.label, *(brief(figure) for figure in figures))

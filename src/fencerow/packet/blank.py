"""Sheets to fill in by hand in the field: what was sprayed, and what was counted.

The columns of the sprayings are what Minnesota's Department of Agriculture prints for private
applicators, and the weather; another state may ask for more.
"""

from __future__ import annotations

from typing import Any

from fencerow.plan.counts.body import Counts
from fencerow.plan.counts.walks import Spot, walks_of
from fencerow.plan.plan import Plan
from fencerow.plan.show import compass
from fencerow.words import say

HEADS = ("day", "place", "product", "plants", "area", "amount", "weather", "person")
ROWS = 8
_ROOM = " \n \n "
"""Blank lines that leave room to write."""


def blank_sheets(plan: Plan) -> list[dict[str, Any]]:
    """The blank record, for a tract that has a sprayer or a label; else none."""
    tract = plan.given.tract
    if not tract.labels and not any(k.body.form == "sprayer" for k in tract.equipment.values()):
        return []
    columns = [{"name": say(f"head-blank-{h}"), "number": False, "wide": True} for h in HEADS]
    table = {"title": "", "columns": columns, "rows": [[_ROOM] * len(HEADS)] * ROWS}
    return [{"id": "blank", "title": say("packet-blank"), "under": say("packet-blank-under"),
             "tables": [table], "said": []}]  # fmt: skip


THROWS = 10
COUNT_HEADS = ("throw", "walked", "held", "weeds", "seen")


def count_sheets(plan: Plan) -> list[dict[str, Any]]:
    """A blank sheet to count by hand, and the way across each place whose count is due."""
    body: Counts = plan.sections["counts"].body
    if not body.due and not body.counts:
        return []
    columns = [{"name": say(f"head-blank-{h}"), "number": False, "wide": True} for h in COUNT_HEADS]
    rows = [[str(at + 1), *[" \n "] * (len(COUNT_HEADS) - 1)] for at in range(THROWS)]
    blank = {"title": say("packet-count-rows"), "columns": columns, "rows": rows}
    return [{"id": "blank-count", "title": say("packet-count"), "under": say("packet-count-under"),
             "tables": [blank, *_ways(plan, body)], "said": []}]  # fmt: skip


def _ways(plan: Plan, body: Counts) -> list[dict[str, Any]]:
    """A line for each place whose count is due: the steps and directions from spot to spot."""
    walks = walks_of(plan.given.tract, plan.given.tables)
    due = dict.fromkeys(d.place for d in body.due.values())
    rows = [
        [plan.given.tract.places[place].body.name, _way(walks[place].spots[THROWS])]
        for place in due
        if place in walks and THROWS in walks[place].spots
    ]
    heads = [("head-blank-place", False), ("head-blank-way", True)]
    columns = [{"name": say(h), "number": False, "wide": wide} for h, wide in heads]
    return [{"title": say("packet-count-ways"), "columns": columns, "rows": rows}] if rows else []


def _way(spots: tuple[Spot, ...]) -> str:
    return ", ".join(
        say("packet-count-leg", steps=s.steps, toward=compass(s.bearing), bearing=_whole(s))
        for s in spots
        if s.steps is not None
    )


def _whole(spot: Spot) -> str:
    return "" if spot.bearing is None else f"{spot.bearing.number() % 360:.0f}"

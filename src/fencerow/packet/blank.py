"""A sheet to fill in by hand in the field: what was sprayed, where, in which weather, by whom.

Its columns are what Minnesota's Department of Agriculture prints for private applicators, and the
weather; another state may ask for more.
"""

from __future__ import annotations

from typing import Any

from fencerow.plan.plan import Plan
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

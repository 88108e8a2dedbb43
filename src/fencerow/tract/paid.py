"""What was paid: money that went out, for what, and for which places."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

PaidFor = Literal[
    "seed", "fertilizer", "lime", "spray", "fuel", "hire", "repair", "treestands and cameras",
    "fence and repellent", "soil tests", "lease", "other",
]  # fmt: skip
GROWING = ("seed", "fertilizer", "lime", "spray", "fence and repellent")
"""What goes into the ground or keeps deer off it; the plan's own costs are of these."""


@dataclass(frozen=True, config=CONFIG)
class Paid:
    """A bill or a receipt. No place named means that it is shared by all plots, by their acres."""

    paid_usd: Annotated[float, Field(ge=0, le=1_000_000)]
    on: date
    bought: PaidFor = "other"
    places: tuple[str, ...] = ()
    paid_to: Text = ""
    note: Text = ""

"""Who is there when, on which days of the week, and who does what."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Chore = Literal[
    "spread lime", "spread fertilizer", "spray", "mow", "till", "drill seed", "broadcast seed",
    "overseed", "frost-seed", "pack", "trim", "road", "hang treestand", "inspect treestand",
    "licking branches", "camera", "soil cores", "scouted",
]  # fmt: skip
CHORES: tuple[str, ...] = Chore.__args__  # type: ignore[attr-defined]
"""What the tasks of a year are called, by what is done."""


def in_order(first: date | None, last: date | None) -> None:
    """Refuses a spell that ends before it begins."""
    if first is not None and last is not None and last < first:
        raise ValueError("until_on should not be before from_on")


@dataclass(frozen=True, config=CONFIG)
class Crew:
    """Somebody who is there: from a day until a day, on some days of the week, for some hours.

    No person named is one more pair of hands; no days of the week named means all of them.
    """

    hours_h: Annotated[float, Field(gt=0, le=24)]
    person: str = ""
    from_on: date | None = None
    until_on: date | None = None
    weekdays: tuple[Weekday, ...] = ()
    note: Text = ""

    @model_validator(mode="after")
    def _spell(self) -> Crew:
        in_order(self.from_on, self.until_on)
        return self


@dataclass(frozen=True, config=CONFIG)
class Assignment:
    """Work that is a person's: one task by its id, or a job, or places, or a job on places."""

    person: Annotated[str, Field(min_length=1)]
    job: Chore | None = None
    places: tuple[str, ...] = ()
    task: Text = ""
    on: date | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _something(self) -> Assignment:
        if not (self.task or self.job or self.places):
            raise ValueError("name a job, places, or a task by its id")
        return self

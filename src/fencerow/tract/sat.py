"""Who sits where and when: planned while the day is to come, and afterward what it was like."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Bearing, Text

Clock = Annotated[str, Field(pattern=r"^(([01]\d|2[0-3]):[0-5]\d)?$")]


@dataclass(frozen=True, config=CONFIG)
class Sit:
    """Somebody at a treestand or blind on a day; `begins` and `ends` are 24-hour clock times.

    `noticed` says how a deer took notice of the person, or that none did; `deer_count` how many
    deer were seen.
    """

    place: Annotated[str, Field(min_length=1)]
    on: date
    person: str = ""
    begins: Clock = ""
    ends: Clock = ""
    wind_from_deg: Bearing | None = None
    wind_mph: Annotated[float, Field(ge=0, le=100)] | None = None
    noticed: Literal["none", "smelled", "seen", "heard"] | None = None
    seen: Text = ""
    deer_count: Annotated[int, Field(ge=0, le=500)] | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _in_order(self) -> Sit:
        if self.begins and self.ends and self.ends <= self.begins:
            raise ValueError("ends should be after begins, on the 24-hour clock: 05:40, 17:10")
        return self

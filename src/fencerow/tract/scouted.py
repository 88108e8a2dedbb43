"""What was found on a plot, and what the person decides to do about it."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

WeedKind = Literal[
    "broadleaf annual", "broadleaf perennial", "grass annual", "grass perennial", "woody"
]
Stage = Literal["seedling", "growing", "flowering", "seed set"]
Choice = Literal["mow", "spray", "leave", "change the crop", "overseed", "replant"]


@dataclass(frozen=True, config=CONFIG)
class Scouting:
    """Weeds as they stood on a day, or plants counted; `species` says which of those sown."""

    place: str
    on: date
    what: Literal["weeds", "plant count"]
    weed: Text = ""
    kind_of_weed: WeedKind | None = None
    stage: Stage | None = None
    cover_pct: Annotated[float, Field(ge=0, le=100)] | None = None
    plants_ft2: Annotated[float, Field(ge=0, le=1000)] | None = None
    species: str = ""
    note: Text = ""

    @model_validator(mode="after")
    def _counted(self) -> Scouting:
        if self.what == "plant count" and self.plants_ft2 is None:
            raise ValueError("a plant count needs plants_ft2: how many on a square foot?")
        return self


@dataclass(frozen=True, config=CONFIG)
class Decision:
    """What the person does about what was found."""

    scouting: str
    choice: Choice
    note: Text = ""

"""What was clipped, or measured with a stick, in cages and beside them."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

Weight = Annotated[float, Field(ge=0, le=20_000)]
Inches = Annotated[float, Field(ge=0, le=150)]
Readings = Annotated[tuple[Weight, ...], Field(max_length=60)]
Heights = Annotated[tuple[Inches, ...], Field(max_length=200)]


@dataclass(frozen=True, config=CONFIG)
class Clip:
    """Frames clipped on a plot on a day, inside cages and beside them, a weight for each frame.

    Weights are dry, unless `dry_matter_pct` says how much of them is. Heights stand in where
    nothing was clipped. `caged_on` is the day on which the cages were set for the first time;
    `moved` says whether they were set on new ground after this clip.
    """

    place: str
    on: date
    frame_ft2: Annotated[float, Field(ge=0.1, le=100)] | None = None
    inside_g: Readings = ()
    outside_g: Readings = ()
    dry_matter_pct: Annotated[float, Field(gt=0, le=100)] | None = None
    inside_in: Heights = ()
    outside_in: Heights = ()
    caged_on: date | None = None
    moved: bool = True
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Clip:
        weights, heights = self.inside_g + self.outside_g, self.inside_in + self.outside_in
        if not weights and not heights:
            raise ValueError("give weights (inside_g, outside_g) or heights, or both")
        if weights and self.frame_ft2 is None:
            raise ValueError("weights need frame_ft2: how large is the frame?")
        if self.caged_on is not None and self.caged_on > self.on:
            raise ValueError("caged_on should not be after the day of the clip")
        return self

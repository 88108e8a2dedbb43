"""What was counted on a place, throw by throw: cells of a grid, seedlings, cover."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

Method = Literal["frequency grid", "seedlings in frames", "cover by steps", "cover by eye"]
Number = Annotated[int, Field(ge=0, le=10_000)]
Numbers = Annotated[tuple[Number, ...], Field(max_length=500)]
Glances = Annotated[tuple[Annotated[float, Field(ge=0, le=100)], ...], Field(max_length=500)]

NEEDS = {
    "frequency grid": ("cells", "hits"),
    "seedlings in frames": ("frame_ft2", "counts"),
    "cover by steps": ("steps", "hits"),
    "cover by eye": ("glances_pct",),
}
"""What each way of counting has to say."""


@dataclass(frozen=True, config=CONFIG)
class Count:
    """A count, with each throw by itself, so that it can say how sure it is.

    A frequency grid says `cells` of one throw, and in `hits` the cells with a plant of each throw;
    frames say `frame_ft2` of one and the `counts` of each; steps say how many were looked at, and
    in `hits` how many of them met the crop; an eye says the cover of each spot.
    `species` says which of those sown was counted; `weeds` are those of each throw.
    """

    place: str
    on: date
    method: Method
    species: str = ""
    cells: Annotated[int, Field(ge=1, le=1000)] | None = None
    hits: Numbers = ()
    frame_ft2: Annotated[float, Field(ge=0.1, le=100)] | None = None
    counts: Numbers = ()
    steps: Annotated[int, Field(ge=1, le=10_000)] | None = None
    glances_pct: Glances = ()
    weeds: Numbers = ()
    person: str = ""
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Count:
        missing = [n for n in NEEDS[self.method] if getattr(self, n) in (None, ())]
        if missing:
            raise ValueError(f"a {self.method} count needs {' and '.join(missing)}")
        if self.method == "frequency grid" and max(self.hits) > (self.cells or 0):
            raise ValueError(
                f"hits has {max(self.hits)} in one throw, and a throw has {self.cells} cells"
            )
        if self.method == "cover by steps" and sum(self.hits) > (self.steps or 0):
            raise ValueError(f"hits come to {sum(self.hits)}, of {self.steps} steps")
        return self

    @property
    def throws(self) -> int:
        """Throws, frames or spots; of steps the looks."""
        if self.method == "cover by steps":
            return self.steps or 0
        return len(self.hits or self.counts or self.glances_pct)

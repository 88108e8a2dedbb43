"""Deer that were taken, what must follow, and a survey by cameras."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Acres, Bearing, Name, Text

Pounds = Annotated[float, Field(ge=5, le=500)]
Inches = Annotated[float, Field(ge=0, le=60)]
Few = Annotated[int, Field(ge=0, le=4)]
Points = Annotated[int, Field(ge=0, le=40)]
Age = Literal["fawn", "1.5", "2.5", "3.5", "3.5 or older", "4.5", "4.5 or older", "5.5 or older"]


@dataclass(frozen=True, config=CONFIG)
class Harvest:
    """A deer that was taken; points are those of an inch or more, left and right together.

    `sample` is the id of what was sent in for disease, `report` the number under which it was
    reported.
    """

    on: date
    sex: Literal["doe", "buck"]
    place: str = ""
    person: str = ""
    age: Age | None = None
    aged_by: Literal["tooth wear", "cementum", "guess"] | None = None
    dressed_lb: Pounds | None = None
    live_lb: Pounds | None = None
    points: Points | None = None
    spread_in: Inches | None = None
    beam_in: Inches | None = None
    lactating: bool | None = None
    fetuses: Few | None = None
    wind_from_deg: Bearing | None = None
    sample: Text = ""
    report: Text = ""
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Harvest:
        if self.sex == "buck" and (self.lactating or self.fetuses):
            raise ValueError("lactating and fetuses are for a doe")
        if self.aged_by and self.age is None:
            raise ValueError("aged_by needs the age that was found")
        both = self.dressed_lb is not None and self.live_lb is not None
        if both and self.dressed_lb > self.live_lb:  # type: ignore[operator]
            raise ValueError("dressed_lb should not be above live_lb: is one in the other's place?")
        return self

    @property
    def fawn(self) -> bool:
        """Whether it was a fawn of the year."""
        return self.age == "fawn"


@dataclass(frozen=True, config=CONFIG)
class Survey:
    """A survey by cameras: where, from when to when, over bait or not, of how much ground.

    No cameras named means all that had a visit. `bucks_known` is how many bucks were told apart,
    where their names do not stand on the visits. The last three are for cameras that stand where
    chance put them: the way that a deer walks in a day, and what a camera takes for certain.
    """

    name: Name
    first_on: date
    last_on: date
    cameras: tuple[str, ...] = ()
    covered_ac: Acres | None = None
    baited: bool | None = None
    round_days: Annotated[int, Field(ge=1, le=30)] = 1
    bucks_known: Annotated[int, Field(ge=0, le=5000)] | None = None
    by_chance: bool | None = None
    walked_mi: Annotated[float, Field(gt=0, le=30)] | None = None
    reach_yd: Annotated[float, Field(gt=0, le=60)] | None = None
    arc_deg: Annotated[float, Field(gt=0, le=360)] | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _in_order(self) -> Survey:
        if self.last_on < self.first_on:
            raise ValueError("last_on should not be before first_on")
        return self


@dataclass(frozen=True, config=CONFIG)
class Duty:
    """What a rule asks for after a deer is taken, or by a day, in the person's own words.

    `within_days` counts from the day on which the deer was taken; `due_on` is one day. `checked_on`
    is the day on which the person read the rule at its source.
    """

    what: Literal["report", "sample", "carcass", "tag", "other"]
    rule: Annotated[str, Field(min_length=1, max_length=2000)]
    jurisdiction: Text = ""
    source: Text = ""
    checked_on: date | None = None
    within_days: Annotated[int, Field(ge=0, le=366)] | None = None
    due_on: date | None = None
    sex: Literal["doe", "buck"] | None = None
    from_on: date | None = None
    until_on: date | None = None

    @model_validator(mode="after")
    def _when(self) -> Duty:
        if (self.within_days is None) == (self.due_on is None):
            raise ValueError(
                "give either within_days after a deer is taken, or due_on, the day by which"
            )
        return self

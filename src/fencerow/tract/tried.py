"""Plans that a person holds side by side: what would be otherwise, and what may be spent."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Acres, Name, Text

Protection = Literal["none", "fence", "repellent"]
What = Literal["seeding factor", "acres", "blend", "protect", "sow", "leave out"]
NEEDS: dict[str, tuple[str, ...]] = {
    "seeding factor": ("factor",),
    "acres": ("place", "more_ac"),
    "blend": ("planting", "blend"),
    "protect": ("planting", "protection"),
    "sow": ("place", "blend", "sow_on"),
    "leave out": ("planting",),
}
"""What each kind of change cannot do without."""


@dataclass(frozen=True, config=CONFIG)
class Change:
    """One thing that would be otherwise.

    A seeding factor without a planting is for all that are to be sown; `more_ac` below 0 takes
    ground away; `until` ends a crop that is sown first, or a fence or repellent.
    """

    what: What
    planting: str = ""
    place: str = ""
    factor: Annotated[float, Field(ge=0.1, le=3)] | None = None
    more_ac: Annotated[float, Field(ge=-1000, le=1000)] | None = None
    blend: str = ""
    sow_on: date | None = None
    until: date | None = None
    protection: Protection | None = None
    cost_usd: Annotated[float, Field(ge=0, le=1_000_000)] | None = None

    @model_validator(mode="after")
    def _whole(self) -> Change:
        missing = [n for n in NEEDS[self.what] if getattr(self, n) in (None, "")]
        if missing:
            raise ValueError(f"a change of '{self.what}' needs {' and '.join(missing)}")
        return self


@dataclass(frozen=True, config=CONFIG)
class Alternative:
    """A plan beside the one in the record: its changes are laid over it and never written."""

    name: Name
    changes: Annotated[tuple[Change, ...], Field(min_length=1, max_length=40)]
    note: Text = ""


@dataclass(frozen=True, config=CONFIG)
class Spending:
    """What may be spent on seed, fertilizer and lime: asks for a seeding factor and acres.

    No places named means every plot that is sown this year.
    """

    most_usd: Annotated[float, Field(gt=0, le=1_000_000)]
    places: tuple[str, ...] = ()
    step_ac: Acres = 0.5

"""A camera's card as it was read, and the visits that its photos come to, with their tags."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import AwareDatetime, Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Name, Text

Count = Annotated[int, Field(ge=0, le=1_000_000)]
Heads = Annotated[int, Field(ge=0, le=500)]
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
YEARS_MIN = 60.0 * 24 * 366 * 60
"""No clock is off by more: a camera that fell back to its factory date is some decades behind."""


@dataclass(frozen=True, config=CONFIG)
class Card:
    """A card of a camera, read once: what was on it, and what was wrong with its clock.

    `kept` photos are left when `doubles` (the same bytes again) are out; `unread` files gave no
    time. `clock_shift_min` was added to the camera's clock, by the known moment in `clock_why`.
    """

    camera: Annotated[str, Field(min_length=1)]
    read_on: date
    photos: Count
    kept: Count
    doubles: Count = 0
    unread: Count = 0
    first_at: AwareDatetime | None = None
    last_at: AwareDatetime | None = None
    clock_shift_min: Annotated[float, Field(ge=-YEARS_MIN, le=YEARS_MIN)] | None = None
    clock_why: Text = ""
    baited: bool | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Card:
        if self.kept + self.doubles + self.unread > self.photos:
            raise ValueError("kept, doubles and unread should come to photos at most")
        if (self.first_at is None) != (self.last_at is None):
            raise ValueError("first_at needs last_at, and the other way round")
        if self.first_at is not None and self.last_at is not None and self.last_at < self.first_at:
            raise ValueError("last_at should not be before first_at")
        if self.clock_shift_min and not self.clock_why:
            raise ValueError("clock_shift_min needs clock_why: by what known moment?")
        return self


@dataclass(frozen=True, config=CONFIG)
class Visit:
    """Photos of one camera that belong together, and what a person saw in them.

    A count that is None was not tagged yet; 0 was looked at, and there was none. `shots` are the
    previews kept with the record, by SHA-256.
    """

    camera: Annotated[str, Field(min_length=1)]
    began: AwareDatetime
    ended: AwareDatetime
    photos: Annotated[int, Field(ge=1, le=1_000_000)]
    card: str = ""
    does: Heads | None = None
    bucks: Heads | None = None
    fawns: Heads | None = None
    unknown: Heads | None = None
    animals: Annotated[tuple[Name, ...], Field(max_length=30)] = ()
    other: Text = ""
    shots: Annotated[tuple[Digest, ...], Field(max_length=4)] = ()
    note: Text = ""

    @model_validator(mode="after")
    def _in_order(self) -> Visit:
        if self.ended < self.began:
            raise ValueError("ended should not be before began")
        return self

    @property
    def tagged(self) -> bool:
        """Whether somebody has looked: a count stands, or another animal is named."""
        counts = (self.does, self.bucks, self.fawns, self.unknown)
        return any(c is not None for c in counts) or bool(self.other or self.animals)

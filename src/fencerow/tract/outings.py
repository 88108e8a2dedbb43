"""Who went in where, when, and by when they mean to be back."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Text

Errand = Literal["sit", "work", "camera check", "trailing", "scouting", "guest", "other"]
Called = Annotated[str, Field(max_length=80)]


@dataclass(frozen=True, kw_only=True, config=CONFIG)
class Outing:
    """Somebody on the ground: `left_at` as they go in, `back_by` as they mean to be back, `back_at`
    once they are. `guest` names somebody who is none of the tract's people.

    Trailing a hit deer is an outing like any other; a closing never stands against it.
    """

    person: str = ""
    guest: Called = ""
    place: str = ""
    what: Errand = "other"
    back_by: AwareDatetime | None = None
    left_at: AwareDatetime
    route: str = ""
    back_at: AwareDatetime | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Outing:
        if not (self.person or self.guest):
            raise ValueError("name the person, or the guest by name")
        if not (self.place or self.route):
            raise ValueError("name the place or the route: where would somebody look for them?")
        if self.back_by is not None and self.back_by <= self.left_at:
            raise ValueError("back_by should be after left_at")
        if self.back_at is not None and self.back_at < self.left_at:
            raise ValueError("back_at should not be before left_at")
        return self

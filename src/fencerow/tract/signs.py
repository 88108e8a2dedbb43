"""What deer left on the ground, and milkweed or smoke let go where somebody sits."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Bearing, Text

Clock = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]
SignForm = Literal["rub", "scrape", "trail", "bed", "deer bumped", "tracks", "no sign"]


@dataclass(frozen=True, config=CONFIG)
class Sign:
    """Deer sign, at a position or somewhere on a place; `no sign` where none was to be found."""

    form: SignForm
    on: date
    place: str = ""
    longitude_deg: Annotated[float, Field(ge=-180, le=180)] | None = None
    latitude_deg: Annotated[float, Field(ge=-90, le=90)] | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _somewhere(self) -> Sign:
        if (self.longitude_deg is None) != (self.latitude_deg is None):
            raise ValueError("longitude_deg needs latitude_deg, and the other way round")
        if self.longitude_deg is None and not self.place:
            raise ValueError("give a place, or longitude_deg and latitude_deg")
        return self


@dataclass(frozen=True, config=CONFIG)
class Drift:
    """Milkweed or smoke let go at a treestand or blind: the bearing that it went, and how far.

    `wind_from_deg` and `wind_mph` are the wind as a station or a forecast told it then.
    """

    place: str
    on: date
    at: Clock
    went_deg: Bearing
    far_yd: Annotated[float, Field(gt=0, le=2000)] | None = None
    minutes_min: Annotated[float, Field(gt=0, le=600)] | None = None
    wind_from_deg: Bearing | None = None
    wind_mph: Annotated[float, Field(ge=0, le=100)] | None = None
    note: Text = ""

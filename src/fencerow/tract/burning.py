"""What the person wrote and arranged before anything burns. The plan never sets a burn."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Bearing, Text

Temperature = Annotated[float, Field(ge=-20, le=120)]
Humidity = Annotated[float, Field(ge=0, le=100)]
Wind = Annotated[float, Field(ge=0, le=60)]
Above = Annotated[float, Field(ge=0, le=20_000)]
Days = Annotated[int, Field(ge=0, le=120)]

RANGE_OF = {
    "rain": "rain_{}_days", "temperature": "temp_{}_f", "humidity": "rh_{}_pct",
    "wind": "wind_{}_mph", "mixing": "mixing_{}_ft", "transport": "transport_{}_mph",
}  # fmt: skip
"""The fields of each element's range, 'low' and 'high' in the blank."""
FIRST_NEEDED = ("permit", "permit_by", "permit_starts", "permit_ends", "notice", "crew_count",
                "burn_boss")  # fmt: skip
"""What has to be entered before a forecast is held against the rest."""


@dataclass(frozen=True, config=CONFIG)
class BurnPrescription:
    """A written prescription for one place, the permit, notice, crew and burn boss behind it.

    An end of a range that is not written does not bound it. The wind blows from `wind_first_deg`
    clockwise to `wind_last_deg`; `wind_at` says for which height its speed is written.
    """

    place: str
    temp_low_f: Temperature | None = None
    temp_high_f: Temperature | None = None
    rh_low_pct: Humidity | None = None
    rh_high_pct: Humidity | None = None
    wind_low_mph: Wind | None = None
    wind_high_mph: Wind | None = None
    wind_at: Literal["20 ft", "10 m", "eye level"] | None = None
    wind_first_deg: Bearing | None = None
    wind_last_deg: Bearing | None = None
    mixing_low_ft: Above | None = None
    mixing_high_ft: Above | None = None
    transport_low_mph: Wind | None = None
    transport_high_mph: Wind | None = None
    rain_low_days: Days | None = None
    rain_high_days: Days | None = None
    rain_in: Annotated[float, Field(gt=0, le=5)] | None = None
    permit: Text = ""
    permit_by: Text = ""
    permit_starts: date | None = None
    permit_ends: date | None = None
    notice: Text = ""
    crew_count: Annotated[int, Field(ge=1, le=200)] | None = None
    burn_boss: Text = ""
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> BurnPrescription:
        for field in RANGE_OF.values():
            low, high = self.range_of(field)
            if low is not None and high is not None and high < low:
                names = field.format("high"), field.format("low")
                raise ValueError("{} should not be below {}".format(*names))
        if (self.wind_first_deg is None) != (self.wind_last_deg is None):
            raise ValueError("wind_first_deg and wind_last_deg stand together")
        if self.bounds("wind") and self.wind_at is None:
            raise ValueError("the wind's range needs wind_at: 20 ft, 10 m or eye level")
        if self.bounds("rain") and self.rain_in is None:
            raise ValueError("days since rain need rain_in: from how much on is it rain?")
        if self.permit_starts and self.permit_ends and self.permit_ends < self.permit_starts:
            raise ValueError("permit_ends should not be before permit_starts")
        return self

    def range_of(self, field: str) -> tuple[float | None, float | None]:
        """Both ends of a range, by its field with the end left blank."""
        return getattr(self, field.format("low")), getattr(self, field.format("high"))

    def bounds(self, element: str) -> bool:
        """Whether an element of the weather is written at all."""
        if element == "direction":
            return self.wind_first_deg is not None
        return element in RANGE_OF and self.range_of(RANGE_OF[element]) != (None, None)

    def missing(self) -> list[str]:
        """The fields that have to be entered before a forecast is held against it."""
        return [name for name in FIRST_NEEDED if not getattr(self, name)]

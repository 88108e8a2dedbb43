"""What is put on the ground, as the person read it, caught it and did it.

A label is copied from the product's own by the person; nothing here names a product or a rate.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.places import CONFIG, Bearing, Name, Text

Rate = Annotated[float, Field(gt=0, le=50_000)]
Carrier = Annotated[float, Field(gt=0, le=300)]
Hours = Annotated[float, Field(ge=0, le=2000)]
Clock = Annotated[str, Field(pattern=r"^(([01]\d|2[0-3]):[0-5]\d)?$")]

WEIGHED: tuple[str, ...] = ("lb", "oz", "kg", "g")
POURED: tuple[str, ...] = ("fl_oz", "ml")
READ_IN: dict[str, tuple[str, ...]] = {
    "spreader ground": WEIGHED,
    "nozzles": POURED,
    "patch": POURED,
    "course": ("s",),
}
"""The units that the readings of a walk may be in; what pans hold may be in any one unit."""
MEASURED: dict[str, tuple[str, ...]] = {
    "spreader pans": ("spacing_ft",),
    "spreader ground": ("distance_ft",),
    "nozzles": ("time_s",),
    "course": ("distance_ft",),
    "patch": ("distance_ft", "width_ft"),
}
"""What has to be measured beside the readings of each walk."""


@dataclass(frozen=True, config=CONFIG)
class Replant:
    """How long a label keeps a species from being sown."""

    species: str
    days: Annotated[int, Field(ge=0, le=1500)]


@dataclass(frozen=True, config=CONFIG)
class Label:
    """A product's label as the person read it; `crops` are the species that it names.

    `sunset_stop_h` and `sunrise_start_h`: not from so long before sunset until so long after
    sunrise; `inversion` is what it says of inversions, in its own words.
    """

    name: Name
    read_on: date
    restricted: bool = False
    crops: tuple[str, ...] = ()
    rate_low: Rate | None = None
    rate_high: Rate | None = None
    rate_unit: Literal["fl_oz_ac", "pt_ac", "qt_ac", "oz_ac", "lb_ac"] | None = None
    carrier_low_gal_ac: Carrier | None = None
    carrier_high_gal_ac: Carrier | None = None
    least_wind_mph: Annotated[float, Field(ge=0, le=50)] | None = None
    most_wind_mph: Annotated[float, Field(ge=0, le=50)] | None = None
    most_temp_f: Annotated[float, Field(ge=32, le=130)] | None = None
    sunset_stop_h: Annotated[float, Field(ge=0, le=12)] | None = None
    sunrise_start_h: Annotated[float, Field(ge=0, le=12)] | None = None
    inversion: Text = ""
    rainfast_h: Hours | None = None
    reentry_h: Hours | None = None
    replant: tuple[Replant, ...] = ()
    water_setback_ft: Annotated[float, Field(ge=0, le=5000)] | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _in_order(self) -> Label:
        if (self.rate_low or self.rate_high) and self.rate_unit is None:
            raise ValueError("a rate needs rate_unit: fl_oz_ac, pt_ac, qt_ac, oz_ac or lb_ac")
        pairs = (
            ("rate_low", "rate_high"),
            ("carrier_low_gal_ac", "carrier_high_gal_ac"),
            ("least_wind_mph", "most_wind_mph"),
        )
        for low, high in pairs:
            least, most = getattr(self, low), getattr(self, high)
            if least is not None and most is not None and most < least:
                raise ValueError(f"{high} should not be below {low}")
        return self


@dataclass(frozen=True, config=CONFIG)
class Application:
    """What went on a place on a day: a product by its label, or a lime or fertilizer."""

    place: str
    on: date
    label: str = ""
    material: str = ""
    by: str = ""
    start: Clock = ""
    end: Clock = ""
    rate: Rate | None = None
    rate_unit: Literal["fl_oz_ac", "pt_ac", "qt_ac", "oz_ac", "lb_ac", "ton_ac"] | None = None
    area_ac: Annotated[float, Field(gt=0, le=10_000)] | None = None
    volume_gal: Annotated[float, Field(gt=0, le=100_000)] | None = None
    wind_mph: Annotated[float, Field(ge=0, le=100)] | None = None
    wind_from_deg: Bearing | None = None
    temp_f: Annotated[float, Field(ge=-40, le=130)] | None = None
    equipment: str = ""
    note: Text = ""

    @model_validator(mode="after")
    def _one(self) -> Application:
        if bool(self.label) == bool(self.material):
            raise ValueError("give either the label of what was sprayed or the material spread")
        if (self.rate is None) != (self.rate_unit is None):
            raise ValueError("rate and rate_unit stand together")
        return self


@dataclass(frozen=True, config=CONFIG)
class Catch:
    """Readings taken to calibrate a machine.

    `of` says what the readings are: what each pan of a row held, from left to right; what a
    spreader used on each run of a course; what each nozzle gave in a time; the time of each run
    of a course; what went on a test patch, run by run.
    """

    equipment: str
    on: date
    of: Literal["spreader pans", "spreader ground", "nozzles", "course", "patch"]
    readings: Annotated[
        tuple[Annotated[float, Field(ge=0, le=100_000)], ...], Field(min_length=1, max_length=99)
    ]
    reading_unit: Literal["lb", "oz", "kg", "g", "fl_oz", "ml", "s"]
    material: str = ""
    spacing_ft: Annotated[float, Field(gt=0, le=20)] | None = None
    distance_ft: Annotated[float, Field(ge=10, le=10_000)] | None = None
    width_ft: Annotated[float, Field(gt=0, le=200)] | None = None
    time_s: Annotated[float, Field(ge=1, le=3600)] | None = None
    speed_mph: Annotated[float, Field(ge=0.5, le=20)] | None = None
    pressure_psi: Annotated[float, Field(gt=0, le=500)] | None = None
    gate: Text = ""
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Catch:
        missing = [n for n in MEASURED[self.of] if getattr(self, n) is None]
        if missing:
            raise ValueError(f"a catch of {self.of} needs {' and '.join(missing)}")
        units = READ_IN.get(self.of)
        if units and self.reading_unit not in units:
            raise ValueError(f"readings of {self.of} are in {', '.join(units)}")
        if self.of == "spreader pans" and (len(self.readings) < 5 or len(self.readings) % 2 == 0):
            raise ValueError("readings of spreader pans are 5 or more, as many left as right, "
                             "and the pan in the middle")  # fmt: skip
        return self

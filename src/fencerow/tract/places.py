"""The kinds of place, each with its own attributes and the outlines that it may have."""

from __future__ import annotations

from datetime import date
from typing import Annotated, ClassVar, Literal

from pydantic import ConfigDict, Field, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.shape import Shape

CONFIG = ConfigDict(extra="forbid", str_strip_whitespace=True, allow_inf_nan=False)

Name = Annotated[str, Field(min_length=1, max_length=80)]
Text = Annotated[str, Field(max_length=4000)]
Acres = Annotated[float, Field(gt=0, le=100_000)]
Bearing = Annotated[float, Field(ge=0, lt=360)]
Height = Annotated[float, Field(ge=0, le=250)]
Width = Annotated[float, Field(gt=0, le=1000)]
Texture = Literal[
    "sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam",
    "clay loam", "silty clay loam", "sandy clay", "silty clay", "clay", "organic",
]  # fmt: skip
Drainage = Literal["drains well", "drains slowly", "stays wet"]

_AREA = ("Polygon", "MultiPolygon")
_LINE = ("LineString", "MultiLineString")
_POINT = ("Point",)


@dataclass(frozen=True, config=CONFIG)
class PlaceBase:
    """What every place has. `stated_ac` stands where nothing has been drawn yet."""

    outlines: ClassVar[tuple[str, ...]] = _AREA

    name: Name
    shape: Shape | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _outline(self) -> PlaceBase:
        if self.shape is not None and self.shape.type not in self.outlines:
            raise ValueError(f"its outline should be {' or '.join(self.outlines)}")
        return self


@dataclass(frozen=True, config=CONFIG)
class Plot(PlaceBase):
    kind: Literal["plot"] = "plot"
    stated_ac: Acres | None = None
    texture: Texture | None = None
    drainage: Drainage | None = None
    last_crop: Text = ""
    mixing_depth_in: Annotated[float, Field(ge=0, le=12)] | None = None
    lime_ton_ac: Annotated[float, Field(ge=0, le=10)] | None = None
    limed_on: date | None = None
    stock_graze: bool | None = None
    cover_yd: Annotated[float, Field(ge=0, le=3000)] | None = None
    bare_lb_ac: Annotated[float, Field(gt=0, le=10_000)] | None = None
    bare_on: Annotated[str, Field(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")] | None = None


@dataclass(frozen=True, config=CONFIG)
class Lane(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _LINE + _AREA
    kind: Literal["lane"] = "lane"
    width_ft: Width | None = None


@dataclass(frozen=True, config=CONFIG)
class Firebreak(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _LINE + _AREA
    kind: Literal["firebreak"] = "firebreak"
    width_ft: Width | None = None
    kept: Literal["bare", "mown", "sown"] | None = None


@dataclass(frozen=True, config=CONFIG)
class NativeGrass(PlaceBase):
    kind: Literal["native-grass field"] = "native-grass field"
    stated_ac: Acres | None = None
    planted: Annotated[int, Field(ge=1900, le=2200)] | None = None
    species: tuple[str, ...] = ()
    texture: Texture | None = None


@dataclass(frozen=True, config=CONFIG)
class Cover(PlaceBase):
    kind: Literal["cover"] = "cover"
    stated_ac: Acres | None = None
    made_of: Text = ""
    height_ft: Height | None = None
    hides_at_yd: Annotated[float, Field(gt=0, le=500)] | None = None


@dataclass(frozen=True, config=CONFIG)
class Timber(PlaceBase):
    kind: Literal["timber"] = "timber"
    stated_ac: Acres | None = None
    leaf: Literal["deciduous", "evergreen", "mixed"] | None = None
    height_ft: Height | None = None


@dataclass(frozen=True, config=CONFIG)
class Water(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _AREA + _LINE + _POINT
    kind: Literal["water"] = "water"
    form: Literal["creek", "river", "pond", "spring", "marsh"] | None = None
    setback_ft: Annotated[float, Field(ge=0, le=2000)] | None = None
    """How far fertilizer is kept off it, as the person read in the rules of the state."""


@dataclass(frozen=True, config=CONFIG)
class Treestand(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["treestand"] = "treestand"
    height_ft: Height | None = None
    facing_deg: Bearing | None = None
    last_inspection: date | None = None
    form: Literal["ladder", "hang-on", "climbing", "tripod", "box"] | None = None


@dataclass(frozen=True, config=CONFIG)
class Blind(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["blind"] = "blind"
    height_ft: Height | None = None
    facing_deg: Bearing | None = None


@dataclass(frozen=True, config=CONFIG)
class MockScrape(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["mock scrape"] = "mock scrape"
    post_wood: Text = ""
    limb_wood: Text = ""
    branches_due: date | None = None
    attractants: tuple[Literal["scents", "minerals", "bait"], ...] = ()
    """What the person would put there: by local rules as they entered them, or not planned."""


@dataclass(frozen=True, config=CONFIG)
class Camera(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["camera"] = "camera"
    facing_deg: Bearing | None = None
    height_ft: Height | None = None
    view_deg: Annotated[float, Field(ge=5, le=150)] | None = None
    check_days: Annotated[int, Field(ge=1, le=366)] | None = None
    transmits: bool | None = None


@dataclass(frozen=True, config=CONFIG)
class PhotoPoint(PlaceBase):
    """A spot from which the same picture is taken again and again: the same way, as high."""

    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["photo point"] = "photo point"
    facing_deg: Bearing | None = None
    height_ft: Height | None = None


@dataclass(frozen=True, config=CONFIG)
class Gate(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT
    kind: Literal["gate"] = "gate"
    width_ft: Width | None = None
    locked: bool | None = None


@dataclass(frozen=True, config=CONFIG)
class AccessRoute(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _LINE
    kind: Literal["access route"] = "access route"
    carries: Literal["foot", "utv", "truck", "tractor"] | None = None


@dataclass(frozen=True, config=CONFIG)
class Dwelling(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _POINT + _AREA
    kind: Literal["dwelling"] = "dwelling"
    setback_yd: Annotated[float, Field(ge=0, le=2000)] | None = None


@dataclass(frozen=True, config=CONFIG)
class Road(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _LINE
    kind: Literal["road"] = "road"
    public: bool | None = None


@dataclass(frozen=True, config=CONFIG)
class Boundary(PlaceBase):
    kind: Literal["boundary"] = "boundary"
    stated_ac: Acres | None = None


@dataclass(frozen=True, config=CONFIG)
class SoilZone(PlaceBase):
    kind: Literal["soil zone"] = "soil zone"
    texture: Texture | None = None
    map_unit: Text = ""


@dataclass(frozen=True, config=CONFIG)
class RightOfWay(PlaceBase):
    outlines: ClassVar[tuple[str, ...]] = _AREA + _LINE
    kind: Literal["right-of-way"] = "right-of-way"
    width_ft: Width | None = None
    carries: Text = ""


Place = Annotated[
    Plot | Lane | Firebreak | NativeGrass | Cover | Timber | Water | Treestand | Blind | MockScrape
    | Camera | PhotoPoint | Gate | AccessRoute | Dwelling | Road | Boundary | SoilZone | RightOfWay,
    Field(discriminator="kind"),
]  # fmt: skip
PLACE_CLASSES: tuple[type[PlaceBase], ...] = (
    Plot, Lane, Firebreak, NativeGrass, Cover, Timber, Water, Treestand, Blind, MockScrape,
    Camera, PhotoPoint, Gate, AccessRoute, Dwelling, Road, Boundary, SoilZone, RightOfWay,
)  # fmt: skip
PLACE_KINDS: dict[str, type[PlaceBase]] = {
    c.__dataclass_fields__["kind"].default: c for c in PLACE_CLASSES
}

POSITIONS = (Treestand, Blind, MockScrape, Camera)
"""The kinds that tell where somebody sits or watches."""

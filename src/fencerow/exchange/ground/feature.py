"""What every reader hands over: features with their attributes, in the coordinates of the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shapely.geometry import GeometryCollection, MultiPoint
from shapely.geometry.base import BaseGeometry

from fencerow.words import Message

WGS84 = "EPSG:4326"
MOST_FEATURES = 10_000


@dataclass(frozen=True)
class Feature:
    """One thing of a ground file.

    `hints` are what the file says of its kind, nearest first: ("folder", "Bedding"). `problem`
    stands where its geometry could not be made out; `notes` tell what was mended on the way.
    """

    number: int
    geometry: BaseGeometry | None
    attributes: Mapping[str, Any] = field(default_factory=dict)
    layer: str = ""
    hints: tuple[tuple[str, str], ...] = ()
    problem: Message | None = None
    notes: tuple[Message, ...] = ()

    def value(self, column: str) -> Any:
        """What stands in a column, whatever its case; '' where it has none."""
        for name, value in self.attributes.items():
            if name.casefold() == column.casefold() and value is not None:
                return value
        return next((text for hint, text in self.hints if hint == column.casefold()), "")

    def text(self, *columns: str) -> str:
        """The first of these columns that says anything, as text."""
        found = (str(self.value(column)).strip() for column in columns)
        return next((text for text in found if text), "")


@dataclass(frozen=True)
class Layer:
    """Features that share a coordinate system; `crs` is '' where the file names none."""

    name: str
    crs: str
    features: tuple[Feature, ...]


@dataclass(frozen=True)
class Contents:
    format: str
    layers: tuple[Layer, ...]
    remarks: tuple[Message, ...] = ()


def parts_of(geometry: BaseGeometry) -> list[BaseGeometry]:
    """A collection and a set of points taken apart; a group of one taken out of its group."""
    if isinstance(geometry, GeometryCollection | MultiPoint):
        return [part for member in geometry.geoms for part in parts_of(member)]
    grouped = getattr(geometry, "geoms", None)
    return [grouped[0]] if grouped is not None and len(grouped) == 1 else [geometry]

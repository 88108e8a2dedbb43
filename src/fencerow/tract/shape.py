"""Shape: a place's outline, lon/lat on WGS84, as GeoJSON spells it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Any, Literal

from pydantic import ConfigDict, model_validator
from pydantic.dataclasses import dataclass
from shapely.errors import ShapelyError
from shapely.geometry import shape as to_shapely
from shapely.geometry.base import BaseGeometry
from shapely.validation import explain_validity

ShapeType = Literal["Point", "LineString", "MultiLineString", "Polygon", "MultiPolygon"]
_DEPTH = {"Point": 0, "LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}


def _frozen(value: Any) -> Any:
    return tuple(_frozen(v) for v in value) if isinstance(value, list | tuple) else value


def _points(value: Any, depth: int) -> Iterator[tuple[float, float]]:
    if depth == 0:
        yield value
    else:
        for part in value:
            yield from _points(part, depth - 1)


@dataclass(frozen=True, config=ConfigDict(extra="forbid", allow_inf_nan=False))
class Shape:
    """A GeoJSON geometry with two-number positions, valid in the sense of OGC simple features."""

    type: ShapeType
    coordinates: Any

    @model_validator(mode="after")
    def _check(self) -> Shape:
        object.__setattr__(self, "coordinates", _frozen(self.coordinates))
        try:
            points = list(self.points())
            fits = all(abs(lon) <= 180 and abs(lat) <= 90 for lon, lat in points)
        except (TypeError, ValueError):
            points, fits = [], False
        if not points or not fits:
            raise ValueError("positions should be [longitude, latitude] in degrees")
        try:
            geometry = self.geometry()
        except (ShapelyError, ValueError, TypeError, IndexError) as error:
            raise ValueError(f"not a {self.type}: {error}") from None
        if not geometry.is_valid:
            raise ValueError(f"the outline is broken: {explain_validity(geometry)}")
        return self

    def points(self) -> Iterator[tuple[float, float]]:
        """Every position, in order [deg lon, deg lat]."""
        return _points(self.coordinates, _DEPTH[self.type])

    def geometry(self) -> BaseGeometry:
        """The shapely geometry, in degrees lon/lat."""
        return self._geometry

    @cached_property
    def _geometry(self) -> BaseGeometry:
        return to_shapely({"type": self.type, "coordinates": self.coordinates})

"""LocalGrid: elevation on the tract's own square cells, north up, in metres of its UTM zone.

Only here does anything measure on a flat map: within a tract UTM is true to a part in a thousand.
A cell that is not known is NaN in `elevation_m` and False in `known`, and is never ground.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from pyproj import Transformer
from shapely.geometry.base import BaseGeometry

from fencerow.words import OutsideRange

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Index = NDArray[np.int_]


def utm_epsg(lon: float, lat: float) -> int:
    """EPSG code of the WGS84 / UTM zone that a position lies in.

    Six degrees to a zone, counted from 180 W; the widened zones of Norway are not followed.

    Args:
        lon, lat: position [deg].

    Raises:
        OutsideRange: the position is no longitude and latitude, or UTM does not reach there
            (north of 84 N, south of 80 S).
    """
    for name, value, low, high in (("longitude", lon, -180, 180), ("latitude", lat, -80, 84)):
        if not low <= value <= high:
            raise OutsideRange("outside-range", name=name, value=value, low=low, high=high)
    zone = int((lon + 180) // 6) % 60 + 1
    return (32600 if lat >= 0 else 32700) + zone


@dataclass(frozen=True, eq=False)
class LocalGrid:
    """A north-up grid of elevations.

    Args:
        elevation_m: rows from north to south; NaN where it is not known [m].
        x0, y0: outer corner of the north-west cell, easting and northing [m].
        cell_m: side of a cell [m].
        crs: EPSG code of the UTM zone.

    Raises:
        ValueError: fewer than 2 rows or columns, or no cell size.
    """

    elevation_m: NDArray[np.float32]
    x0: float
    y0: float
    cell_m: float
    crs: int
    known: Mask = field(init=False)

    def __post_init__(self) -> None:
        elevation = np.array(self.elevation_m, dtype=np.float32)
        if elevation.ndim != 2 or min(elevation.shape) < 2 or not self.cell_m > 0:
            raise ValueError("a grid has at least 2 rows and 2 columns, and a cell size above 0")
        known = np.isfinite(elevation)
        elevation[~known] = np.nan
        for array in (elevation, known):
            array.flags.writeable = False
        object.__setattr__(self, "elevation_m", elevation)
        object.__setattr__(self, "known", known)

    @classmethod
    def of(cls, grid: LocalGrid | Mapping[str, Any]) -> LocalGrid:
        """The grid itself, or one from a mapping of its fields."""
        return cls(**grid) if isinstance(grid, Mapping) else grid

    def range_m(self) -> tuple[float, float]:
        """The lowest and the highest known elevation [m]; NaN where none is known."""
        heights = self.elevation_m[self.known]
        return (float(heights.min()), float(heights.max())) if heights.size else (np.nan, np.nan)

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the heights and where they lie: the same ground has the same digest."""
        where = repr((self.elevation_m.shape, self.x0, self.y0, self.cell_m, self.crs))
        return hashlib.sha256(where.encode() + self.elevation_m.tobytes()).hexdigest()

    def xy(self, lon: ArrayLike, lat: ArrayLike) -> tuple[Floats, Floats]:
        """Easting and northing of positions [m]."""
        x, y = _from_lonlat(self.crs).transform(np.asarray(lon, float), np.asarray(lat, float))
        return np.asarray(x), np.asarray(y)

    def project(self, geometry: BaseGeometry) -> BaseGeometry:
        """A lon/lat geometry in the grid's eastings and northings."""
        return shapely.transform(
            geometry, lambda points: np.column_stack(self.xy(points[:, 0], points[:, 1]))
        )

    def cell(self, x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
        """Row and column of positions, 0.0 at the centre of the north-west cell."""
        return (
            (self.y0 - np.asarray(y, float)) / self.cell_m - 0.5,
            (np.asarray(x, float) - self.x0) / self.cell_m - 0.5,
        )

    def sample(self, lon: ArrayLike, lat: ArrayLike) -> Floats:
        """Elevation between the four centres around each position [m].

        NaN outside the outermost centres, and where one of the four is not known.
        """
        row, column = self.cell(*self.xy(lon, lat))
        rows, columns = self.elevation_m.shape
        inside = (row >= 0) & (row <= rows - 1) & (column >= 0) & (column <= columns - 1)
        row, column = np.where(inside, row, 0.0), np.where(inside, column, 0.0)
        i = np.minimum(row.astype(int), rows - 2)
        j = np.minimum(column.astype(int), columns - 2)
        down, right = row - i, column - j
        z = self.elevation_m.astype(float)
        north = z[i, j] * (1 - right) + z[i, j + 1] * right
        south = z[i + 1, j] * (1 - right) + z[i + 1, j + 1] * right
        return np.where(inside, north * (1 - down) + south * down, np.nan)

    def nearest(self, lon: ArrayLike, lat: ArrayLike) -> Floats:
        """What the cell holds that each position lies in; NaN outside, and where not known."""
        row, column = (np.floor(a + 0.5).astype(int) for a in self.cell(*self.xy(lon, lat)))
        rows, columns = self.elevation_m.shape
        inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        held = self.elevation_m[np.where(inside, row, 0), np.where(inside, column, 0)]
        return np.where(inside, held.astype(float), np.nan)

    def cells_of(self, geometry: BaseGeometry) -> tuple[Index, Index]:
        """Rows and columns of the cells of a lon/lat geometry.

        For an area those whose centre lies inside; for a line, a point, or an area so small that
        it holds no centre, those that it passes through or stands in.
        """
        flat = self.project(geometry)
        if flat.area > 0:
            i, j = self._centres_in(flat)
            if i.size:
                return i, j
            flat = flat.representative_point()
        points = shapely.get_coordinates(shapely.segmentize(flat, self.cell_m / 2))
        found = np.floor(np.column_stack(self.cell(points[:, 0], points[:, 1])) + 0.5).astype(int)
        inside = ((found >= 0) & (found < self.elevation_m.shape)).all(axis=1)
        i, j = np.unique(found[inside], axis=0).T
        return i, j

    def _centres_in(self, flat: BaseGeometry) -> tuple[Index, Index]:
        west, south, east, north = flat.bounds
        (top, left), (bottom, right) = self.cell(west, north), self.cell(east, south)
        rows, columns = self.elevation_m.shape
        i, j = np.meshgrid(
            np.arange(max(0, int(top)), min(rows, int(bottom) + 2)),
            np.arange(max(0, int(left)), min(columns, int(right) + 2)),
            indexing="ij",
        )
        x, y = self.x0 + (j + 0.5) * self.cell_m, self.y0 - (i + 0.5) * self.cell_m
        inside = shapely.contains_xy(flat, x, y)
        return i[inside], j[inside]


@cache
def _from_lonlat(crs: int) -> Transformer:
    return Transformer.from_crs(4326, crs, always_xy=True)

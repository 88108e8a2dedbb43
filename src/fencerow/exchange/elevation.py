"""Elevation in: a GeoTIFF or lidar points in any system, onto the tract's own square cells.

Only GDAL's GeoTIFF driver opens it, in the child process of `ground.guard`; no sidecar file is
looked at, and only the part around the tract is read, so a file of any size will do. What the
raster doesn't know stays unknown. Heights whose unit nobody states are taken for metres where the
map is in metres or degrees, and that is said; over a map in feet nothing is guessed. Of points only
those classified as ground are taken for it, and what stands above them grows there: how both are
made stands in `ground.points`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import numpy as np
import shapely
from pyproj import CRS, Transformer
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground import guard
from fencerow.science.ground.grid import Floats, LocalGrid, utm_epsg
from fencerow.words import BadInput, Message, OutsideRange

VerticalUnit = Literal["m", "ft", "us-ft"]
METRES: dict[str, float] = {"m": 1.0, "ft": 0.3048, "us-ft": 1200 / 3937}
MARGIN_M = 300.0
FINEST_M = 3.0
"""Finer cells show ditches and brush, and slope read on them says little about a plot."""
MOST_CELLS = 4_000_000
SECONDS = 120.0
POINTS_SECONDS = 600.0
"""Compressed points take a processor some 0.3 s a million."""
LOWEST_M, HIGHEST_M = -500.0, 9000.0
TALLEST_M = 60.0
"""What stands higher above the ground is a bird or a mast; our judgement."""
_SPELLINGS: dict[str, VerticalUnit] = {
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "ft": "ft", "foot": "ft", "feet": "ft", "international foot": "ft",
    "us-ft": "us-ft", "us survey foot": "us-ft", "us_survey_foot": "us-ft", "ftus": "us-ft",
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Elevation(LocalGrid):
    """A grid that remembers its file: its system, cell and unit there, and what is to be said."""

    system: str
    native_m: float
    vertical_unit: VerticalUnit
    notes: tuple[Message, ...]
    canopy: LocalGrid | None = None
    """The top of what grows above the ground, where points told it [m]."""


def write_geotiff(grid: LocalGrid, path: Path) -> None:
    """Write what a grid holds, in metres, as a GeoTIFF, to be read again without the points."""
    import rasterio

    rows, columns = grid.elevation_m.shape
    corner = rasterio.Affine(grid.cell_m, 0, grid.x0, 0, -grid.cell_m, grid.y0)
    with rasterio.open(
        path, "w", driver="GTiff", width=columns, height=rows, count=1, dtype="float32",
        crs=f"EPSG:{grid.crs}", transform=corner, nodata=np.nan, compress="deflate",
    ) as file:  # fmt: skip
        file.write(grid.elevation_m, 1)


def read_elevation(
    path: Path,
    shapes: Iterable[BaseGeometry],
    *,
    margin_m: float = MARGIN_M,
    cell_m: float | None = None,
    vertical_unit: str = "",
    nodata: float | None = None,
) -> Elevation:
    """The heights around a tract.

    Args:
        path: a GeoTIFF of one band, or points as LAS or LAZ with the ground classified.
        shapes: the outlines of the tract, lon/lat; at least one.
        margin_m: how far around them heights are wanted [m].
        cell_m: side of a cell; the raster's own, and no finer than 3 m, where it is not given [m].
        vertical_unit: m, ft or us-ft, where the file doesn't say what its heights are in, or says
            it wrong; '' asks the file.
        nodata: the value that stands for "not known", where the file declares none.

    Raises:
        BadInput: neither of the two; it names no coordinate system, is turned, has several bands,
            misses the tract, knows nothing of it, holds heights that no ground has, or is in feet
            without saying whether its heights are; no point is classified as ground, or points
            are missing.
    """
    points = _is_points(path)
    _told(path.name, vertical_unit)
    read = read_cells(path, shapes, points=points, margin_m=margin_m, cell_m=cell_m, nodata=nodata)
    facts, heights = read.facts, read.held
    system = CRS.from_wkt(facts["wkt"])
    unit, notes = unit_of_heights(path.name, system, facts["band_unit"], vertical_unit)
    factor, lift = METRES[unit] * facts["scale"], METRES[unit] * facts["offset"]
    _on_earth(path.name, [facts[end] * factor + lift for end in ("lowest", "highest")])
    canopy = None
    if points:
        canopy = plants(read, read.canopy * METRES[unit])
        share = round(100 * facts["filled_share"])
        notes.append(Message.of("lidar-made", count=facts["points"], share=share))
    if facts["known_share"] < 1:
        notes.append(Message.of("elevation-partly", share=int(100 * facts["known_share"])))
    return Elevation(
        heights * factor + lift,
        facts["x0"],
        facts["y0"],
        facts["cell_m"],
        read.crs,
        system.name,
        facts["native_m"],
        unit,
        tuple(notes),
        canopy,
    )


@dataclass(frozen=True, eq=False)
class Read:
    """What the child process left of a file, on square cells of the tract's zone."""

    facts: Mapping[str, Any]
    held: Floats
    """Heights or classes, in the file's own unit."""
    canopy: Floats
    """Of points, what stands above the ground; else empty."""
    crs: int

    def grid(self, held: Floats) -> LocalGrid:
        """Something of these cells as a grid of its own."""
        facts = self.facts
        return LocalGrid(
            held.astype(np.float32), facts["x0"], facts["y0"], facts["cell_m"], self.crs
        )


def plants(read: Read, canopy_m: Floats) -> LocalGrid:
    """Heights of plants; not known where nothing of a tract grows as tall."""
    return read.grid(np.where(canopy_m <= TALLEST_M, np.maximum(canopy_m, 0.0), np.nan))


def read_cells(
    path: Path, shapes: Iterable[BaseGeometry], *, points: bool = False, classes: bool = False,
    margin_m: float = MARGIN_M, cell_m: float | None = None, nodata: float | None = None,
) -> Read:  # fmt: skip
    """A file in the child process, cut to the tract; `classes` are never averaged.

    Raises:
        BadInput: as for `read_elevation`.
    """
    west, south, east, north = (float(v) for v in shapely.total_bounds(list(shapes)))
    bounds = (west, south, east, north)
    crs = _zone(path.name, bounds)
    request = {
        "task": "lidar" if points else "raster",
        "classes": classes,
        "path": str(path.resolve()),
        "crs": crs,
        "box": _box(bounds, crs),
        "bounds": bounds,
        "margin_m": margin_m,
        "cell_m": cell_m,
        "finest_m": FINEST_M,
        "most_cells": MOST_CELLS,
        "nodata": nodata,
    }
    with guard.workplace() as folder:
        seconds = POINTS_SECONDS if points else SECONDS
        facts = guard.in_child(path.name, request, folder, seconds=seconds)
        held, canopy = np.load(folder / "heights.npy", allow_pickle=False), np.empty(0)
        if points:
            canopy = np.load(folder / "canopy.npy", allow_pickle=False)
    return Read(facts, held, canopy, crs)


def _told(file: str, unit: str) -> VerticalUnit | None:
    if unit and _spelt(unit) is None:
        raise BadInput("elevation-unit-word", file=file, unit=unit, want=", ".join(METRES))
    return _spelt(unit)


def _is_points(path: Path) -> bool:
    """Whether a file holds points, by how it begins; else it is a GeoTIFF."""
    try:
        with path.open("rb") as stream:
            head = stream.read(4)
    except OSError as error:
        raise BadInput("file-unreadable", file=path.name, why=error.strerror) from None
    if head == b"LASF":
        return True
    if head not in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"):
        raise BadInput("elevation-no-tiff", file=path.name)
    return False


def _zone(file: str, bounds: tuple[float, float, float, float]) -> int:
    west, south, east, north = bounds
    try:
        return utm_epsg((west + east) / 2, (south + north) / 2)
    except OutsideRange as error:
        raise BadInput("elevation-no-zone", file=file, why=error.message) from None


def _box(bounds: tuple[float, float, float, float], crs: int) -> list[float]:
    """The tract's bounds in its UTM zone [m]; its edges are followed, for they come out curved."""
    to_utm = Transformer.from_crs(4326, crs, always_xy=True)
    edge = shapely.get_coordinates(shapely.segmentize(shapely.box(*bounds).exterior, 0.01))
    x, y = to_utm.transform(edge[:, 0], edge[:, 1])
    return [float(x.min()), float(y.min()), float(x.max()), float(y.max())]


def unit_of_heights(
    file: str, system: CRS, band_unit: str, vertical_unit: str
) -> tuple[VerticalUnit, list[Message]]:
    """What the heights are in: as told, else as the file says, else metres over a metric map.

    Raises:
        BadInput: what was told is no unit, or the map is in feet and nothing says it of heights.
    """
    told = _told(file, vertical_unit)
    if told is not None:
        return told, []
    named = _axis_unit(system, 2) or _spelt(band_unit)
    if named is not None:
        return named, []
    if _axis_unit(system, 0) in ("ft", "us-ft"):
        raise BadInput("elevation-unit", file=file, system=system.name)
    return "m", [Message.of("elevation-metres")]


def _axis_unit(system: CRS, axis: int) -> VerticalUnit | None:
    axes = [a for part in system.sub_crs_list or [system] for a in part.axis_info]
    return _spelt(axes[axis].unit_name) if axis < len(axes) else None


def _spelt(unit: str) -> VerticalUnit | None:
    return _SPELLINGS.get(unit.strip().lower())


def _on_earth(file: str, ends_m: list[float]) -> None:
    """An undeclared "no data" such as -9999 would be a deep pit that hides everything."""
    for height in ends_m:
        if not LOWEST_M <= height <= HIGHEST_M:
            raise BadInput("elevation-unearthly", file=file, height=f"{height:,.0f}")

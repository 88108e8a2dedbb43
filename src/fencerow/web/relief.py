"""Relief for the map: a hillshade in which level ground is paper, and contours as lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer

from fencerow.science.ground.grid import LocalGrid
from fencerow.science.ground.slope import horn_gradient
from fencerow.units import convert

PAPER = (251, 246, 233)
STEP_FT, INDEX_EVERY, MOST_LEVELS = 10, 5, 60
SUN_FROM_DEG, SUN_UP_DEG = 315.0, 45.0
_DARKEST, _LIGHTEST, _DEPTH = 0.45, 1.06, 0.45
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Relief:
    """What the map draws under everything else; lon/lat."""

    digest: str
    bounds: tuple[float, float, float, float]
    png: bytes
    contours: list[dict[str, Any]]

    def as_json(self) -> dict[str, Any]:
        """All but the image, which stands at its own address."""
        return {
            "bounds": list(self.bounds),
            "image": f"/api/relief.png?d={self.digest[:12]}",
            "contours": {"type": "FeatureCollection", "features": self.contours},
        }


def draw_relief(grid: LocalGrid) -> Relief:
    """The hillshade and the contours of a grid."""
    back = Transformer.from_crs(grid.crs, 4326, always_xy=True)
    bounds = _bounds(grid, back)
    return Relief(grid.digest, bounds, hillshade_png(grid, bounds), contours(grid, back))


def _bounds(grid: LocalGrid, back: Transformer) -> tuple[float, float, float, float]:
    rows, columns = grid.elevation_m.shape
    east, south = grid.x0 + columns * grid.cell_m, grid.y0 - rows * grid.cell_m
    west, low, right, high = back.transform_bounds(grid.x0, south, east, grid.y0)
    return west, low, right, high


def hillshade_png(grid: LocalGrid, bounds: tuple[float, float, float, float]) -> bytes:
    """Light from the north-west; level and unknown ground is exactly the colour of paper.

    The picture's rows and columns run along latitude and longitude, which the grid's own do not:
    away from the middle of its zone north of the grid is a degree or two off.
    """
    from scipy.ndimage import map_coordinates

    west, south, east, north = bounds
    rows, columns = grid.elevation_m.shape
    lon = west + (np.arange(columns) + 0.5) * (east - west) / columns
    lat = north - (np.arange(rows) + 0.5) * (north - south) / rows
    cells = grid.cell(*grid.xy(*np.meshgrid(lon, lat)))
    shade = map_coordinates(_shade(grid), cells, order=1, mode="constant", cval=1.0)
    colour = np.clip(np.round(shade[..., None] * np.array(PAPER)), 0, 255)
    return _png(colour.astype(np.uint8), bounds)


def _shade(grid: LocalGrid) -> Floats:
    """How light each cell is, level ground 1."""
    rise_east, rise_south = horn_gradient(grid.elevation_m, grid.cell_m)
    azimuth, up = np.radians(SUN_FROM_DEG), np.radians(SUN_UP_DEG)
    facing = np.sin(up) + np.cos(up) * (-rise_east * np.sin(azimuth) + rise_south * np.cos(azimuth))
    lit = facing / np.sqrt(1 + rise_east**2 + rise_south**2) / np.sin(up)
    shade = np.where(np.isfinite(lit), 1 + _DEPTH * (lit - 1), 1.0)
    return np.asarray(np.clip(shade, _DARKEST, _LIGHTEST))


def _png(pixels: NDArray[np.uint8], bounds: tuple[float, float, float, float]) -> bytes:
    """Eight-bit RGB as a PNG."""
    from affine import Affine
    from rasterio.io import MemoryFile

    west, south, east, north = bounds
    rows, columns, bands = pixels.shape
    with MemoryFile() as held:
        with held.open(
            driver="PNG", height=rows, width=columns, count=bands, dtype="uint8",
            transform=Affine((east - west) / columns, 0, west, 0, (south - north) / rows, north),
        ) as picture:  # fmt: skip
            picture.write(np.moveaxis(pixels, 2, 0))
        return bytes(held.read())


def contours(grid: LocalGrid, back: Transformer) -> list[dict[str, Any]]:
    """A line every 10 ft, or as many times that as keeps the lines few; every fifth is heavier."""
    found = []
    for feet, line in _lines(grid):
        points = np.round(np.column_stack(back.transform(*line.T)), 6)
        found.append(
            {
                "type": "Feature",
                "properties": {"feet": feet, "index": feet % (STEP_FT * INDEX_EVERY) == 0},
                "geometry": {"type": "LineString", "coordinates": points.tolist()},
            }
        )
    return found


def _lines(grid: LocalGrid) -> Iterator[tuple[int, Floats]]:
    """Each contour's feet and its points, smoothed, thinned to a tenth of a cell."""
    from contourpy import contour_generator
    from shapely import LineString

    if not grid.known.any():
        return
    feet = convert(1.0, "m", "ft") * grid.elevation_m.astype(float)
    low, high = float(np.nanmin(feet)), float(np.nanmax(feet))
    step = STEP_FT * max(1, int(np.ceil((high - low) / STEP_FT / MOST_LEVELS)))
    x = grid.x0 + (np.arange(feet.shape[1]) + 0.5) * grid.cell_m
    y = grid.y0 - (np.arange(feet.shape[0]) + 0.5) * grid.cell_m
    drawn = contour_generator(x=x, y=y, z=np.ma.masked_invalid(feet))
    for level in range(int(np.ceil(low / step)) * step, int(high) + 1, step):
        for points in drawn.lines(level):
            line = LineString(_smooth(np.asarray(points, dtype=float)))
            if line.length >= 8 * grid.cell_m:
                yield level, np.asarray(line.simplify(grid.cell_m / 10).coords)


def _smooth(points: Floats, passes: int = 2) -> Floats:
    """Corners cut at a quarter and at three quarters of each side (Chaikin 1974); ends stay."""
    closed = bool((points[0] == points[-1]).all())
    for _ in range(passes):
        a, b = points[:-1], points[1:]
        cut = np.stack([0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b], axis=1).reshape(-1, 2)
        ends = (cut, cut[:1]) if closed else (points[:1], cut, points[-1:])
        points = np.concatenate(ends)
    return points

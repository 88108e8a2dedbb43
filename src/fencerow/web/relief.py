"""Relief for the map: a hillshade in which level ground is paper, and contours as lines."""

from __future__ import annotations

import struct
import zlib
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer

from fencerow.science.ground.grid import LocalGrid
from fencerow.science.ground.slope import horn_gradient
from fencerow.units import convert

PAPER = (251, 246, 233)
STEP_FT = 10
SUN_FROM_DEG, SUN_UP_DEG = 315.0, 45.0
_SIMPLE_M = 1.0


def hillshade_png(grid: LocalGrid) -> bytes:
    """Light from the north-west; level and unknown ground is exactly the colour of paper."""
    rise_east, rise_south = horn_gradient(grid.elevation_m, grid.cell_m)
    azimuth, up = np.radians(SUN_FROM_DEG), np.radians(SUN_UP_DEG)
    facing = np.sin(up) + np.cos(up) * (-rise_east * np.sin(azimuth) + rise_south * np.cos(azimuth))
    lit = facing / np.sqrt(1 + rise_east**2 + rise_south**2) / np.sin(up)
    shade = np.clip(np.where(np.isfinite(lit), 0.55 + 0.45 * lit, 1.0), 0.45, 1.06)
    colour = np.clip(np.round(shade[..., None] * np.array(PAPER)), 0, 255)
    return _png(colour.astype(np.uint8))


def _png(pixels: NDArray[np.uint8]) -> bytes:
    """Eight-bit RGB as a PNG (W3C PNG specification, colour type 2, no filter)."""
    rows, columns, _ = pixels.shape
    raw = b"".join(b"\0" + row.tobytes() for row in pixels)

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", columns, rows, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(raw, 6))
        + chunk(b"IEND", b"")
    )


def relief_json(grid: LocalGrid) -> dict[str, Any]:
    """Bounds of the hillshade and the contours, lon/lat."""
    back = Transformer.from_crs(grid.crs, 4326, always_xy=True)
    rows, columns = grid.elevation_m.shape
    east, south = grid.x0 + columns * grid.cell_m, grid.y0 - rows * grid.cell_m
    corners = [back.transform(x, y) for x in (grid.x0, east) for y in (south, grid.y0)]
    lons, lats = zip(*corners, strict=True)
    return {
        "bounds": [min(lons), min(lats), max(lons), max(lats)],
        "image": f"/api/relief.png?d={grid.digest[:12]}",
        "contours": {"type": "FeatureCollection", "features": contours(grid, back)},
    }


def contours(grid: LocalGrid, back: Transformer) -> list[dict[str, Any]]:
    """A line every 10 ft, or as many times that as keeps the lines few; every fifth is heavier."""
    from contourpy import contour_generator
    from shapely import LineString

    feet = convert(1.0, "m", "ft") * grid.elevation_m.astype(float)
    if not np.isfinite(feet).any():
        return []
    low, high = float(np.nanmin(feet)), float(np.nanmax(feet))
    step = STEP_FT * max(1, int(np.ceil((high - low) / STEP_FT / 60)))
    x = grid.x0 + (np.arange(feet.shape[1]) + 0.5) * grid.cell_m
    y = grid.y0 - (np.arange(feet.shape[0]) + 0.5) * grid.cell_m
    lines = contour_generator(x=x, y=y, z=np.ma.masked_invalid(feet))
    found = []
    for level in range(int(np.ceil(low / step)) * step, int(high) + 1, step):
        for points in lines.lines(level):
            simple = (
                LineString(np.asarray(points, dtype=float)).simplify(_SIMPLE_M)
                if len(points) > 2
                else None
            )
            if simple is None or simple.length < 8 * grid.cell_m:
                continue
            coordinates = np.column_stack(back.transform(*np.asarray(simple.coords).T))
            found.append(_feature(level, coordinates, level % (step * 5) == 0))
    return found


def _feature(level: int, coordinates: NDArray[np.float64], index: bool) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": {"feet": level, "index": index},
        "geometry": {"type": "LineString", "coordinates": np.round(coordinates, 6).tolist()},
    }

"""Bare earth out of lidar points, on square cells of the tract's zone; runs in the child process.

It imports nothing of Fencerow. A cell is the mean of its points that are classified as ground; one
without any, near enough to others, is filled between those around it, by a plane through three.
The top of what stands in a cell is its highest point of anything that may be a plant, above that
ground. Points are read a million at a time, and those far from the tract are dropped first.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

GROUND = 2
"""Classification of the ground in LAS 1.1 to 1.4 (ASPRS)."""
NO_PLANT = (2, 6, 7, 9, 10, 11, 13, 14, 15, 16, 17, 18)
"""Ground, buildings, noise, water, rails, roads, wires, towers, bridges (ASPRS, LAS 1.4). What is
not classified counts as a plant."""
MOST_POINTS = 400_000_000
CHUNK = 1_000_000
FILL_M = 15.0
"""A gap is filled no farther than this from a cell with points; our judgement."""


def bare_earth(request: dict[str, Any], wrong: Callable[..., Exception]) -> dict[str, Any]:
    """The heights of the ground, left in `heights.npy`; what the points say of themselves.

    Args:
        request: as for a raster.
        wrong: makes the error that names what is wrong with the file.
    """
    try:
        import laspy
    except ImportError:
        raise wrong("lidar-library") from None
    try:
        return _read(laspy, request, wrong)
    except (MemoryError, type(wrong("lidar-unreadable", why=""))):
        raise
    except Exception as error:  # noqa: BLE001 - a damaged file ends in errors of many kinds
        raise wrong("lidar-unreadable", why=str(error)[:200]) from None


def _read(laspy: Any, request: dict[str, Any], wrong: Callable[..., Exception]) -> dict[str, Any]:
    import numpy as np

    # the backend of one thread: threads would share out memory that is limited
    with laspy.open(request["path"], laz_backend=laspy.LazBackend.Lazrs) as source:
        header = source.header
        if header.point_count > MOST_POINTS:
            raise wrong("lidar-too-many", most=MOST_POINTS // 1_000_000)
        size = Path(request["path"]).stat().st_size
        if header.point_count > size:  # packed as well as can be, a point takes some bytes
            raise wrong("lidar-claims", count=header.point_count, size=size)
        system = _system(header, wrong)
        place = _Place(system, header, request, wrong)
        read = 0
        for points in source.chunk_iterator(CHUNK):
            read += len(points)
            place.take(points)
    if read < header.point_count:
        raise wrong("lidar-cut", count=header.point_count, read=read)
    if not place.count.any():
        raise wrong("lidar-no-ground")
    heights, known = place.heights()
    np.save(Path(request["folder"]) / "heights.npy", heights)
    np.save(Path(request["folder"]) / "canopy.npy", place.canopy(heights))
    inner = _inner(place, request["box"])
    if not np.isfinite(heights[inner]).any():
        raise wrong("elevation-all-nodata")
    return {
        "wkt": system.to_wkt(), "band_unit": "", "scale": 1.0, "offset": 0.0,
        "x0": place.x0, "y0": place.y0, "cell_m": place.cell, "native_m": place.cell,
        "known_share": float(np.isfinite(heights[inner]).mean()),
        "filled_share": float((np.isfinite(heights) & ~known)[inner].mean()),
        "points": int(place.count.sum()), "lowest": place.lowest, "highest": place.highest,
    }  # fmt: skip


def _system(header: Any, wrong: Callable[..., Exception]) -> Any:
    system = header.parse_crs()
    if system is None:
        raise wrong("lidar-no-crs")
    if _flat(system).is_geographic:
        raise wrong("lidar-geographic", system=system.name)
    return system


def _flat(system: Any) -> Any:
    """The map of a system, without its heights."""
    return system.sub_crs_list[0] if system.sub_crs_list else system


class _Place:
    """Cells around the tract, and the ground points that fell into each."""

    def __init__(
        self, system: Any, header: Any, request: dict[str, Any], wrong: Callable[..., Exception]
    ) -> None:
        import numpy as np
        from pyproj import CRS, Transformer

        box, margin = request["box"], request["margin_m"]
        west, south, east, north = (
            box[0] - margin, box[1] - margin, box[2] + margin, box[3] + margin,
        )  # fmt: skip
        cell = request["cell_m"] or request["finest_m"]
        while (north - south) * (east - west) / cell**2 > request["most_cells"]:
            cell += 1.0
        self.cell = float(cell)
        self.x0, self.y0 = math.floor(west / cell) * cell, math.ceil(north / cell) * cell
        self.shape = math.ceil((self.y0 - south) / cell), math.ceil((east - self.x0) / cell)
        zone = CRS.from_epsg(request["crs"])
        self.to_zone = Transformer.from_crs(_flat(system), zone, always_xy=True)
        around = Transformer.from_crs(zone, _flat(system), always_xy=True)
        # a little more than the cells, for a straight edge comes out curved on another map
        self.near = around.transform_bounds(west - cell, south - cell, east + cell, north + cell)
        tract = around.transform_bounds(*box)
        low, high = header.mins, header.maxs
        if not (
            tract[0] < high[0] and tract[2] > low[0] and tract[1] < high[1] and tract[3] > low[1]
        ):
            raise wrong("lidar-misses", system=_flat(system).name)
        self.count = np.zeros(self.shape[0] * self.shape[1], np.int64)
        self.total = np.zeros(self.count.size)
        self.top = np.full(self.count.size, -math.inf)
        self.hit = np.zeros(self.count.size, bool)
        self.level = float(low[2])
        self.lowest, self.highest = math.inf, -math.inf

    def take(self, points: Any) -> None:
        """Add the ground among some points to its cells."""
        import numpy as np

        x, y = np.asarray(points.x), np.asarray(points.y)
        west, south, east, north = self.near
        near = (x >= west) & (x <= east) & (y >= south) & (y <= north)
        near &= ~np.asarray(points.withheld, bool)
        if not near.any():
            return
        x, y = self.to_zone.transform(x[near], y[near])
        row = np.floor((self.y0 - y) / self.cell).astype(np.int64)
        column = np.floor((x - self.x0) / self.cell).astype(np.int64)
        rows, columns = self.shape
        there = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        at, z = (row * columns + column)[there], np.asarray(points.z)[near][there]
        kind = np.asarray(points.classification)[near][there]
        plant = ~np.isin(kind, NO_PLANT)
        self.hit[at] = True
        np.maximum.at(self.top, at[plant], z[plant])
        self._ground(at[kind == GROUND], z[kind == GROUND])

    def _ground(self, at: Any, z: Any) -> None:
        import numpy as np

        if not z.size:
            return
        self.count += np.bincount(at, minlength=self.count.size)
        self.total += np.bincount(at, z - self.level, self.count.size)
        self.lowest = min(self.lowest, float(z.min()))
        self.highest = max(self.highest, float(z.max()))

    def canopy(self, heights: Any) -> Any:
        """How high what may be a plant stands above the ground of each cell, in the file's unit of
        height; 0 where points fell and none is a plant, NaN where none fell and where the ground
        is not known."""
        import numpy as np

        found = np.maximum(self.top.reshape(self.shape) - heights, 0.0)
        return np.where(self.hit.reshape(self.shape), found, np.nan)

    def heights(self) -> tuple[Any, Any]:
        """The mean of each cell with gaps filled, NaN where not known; and which had points."""
        import numpy as np

        known = (self.count > 0).reshape(self.shape)
        mean = np.full(self.count.size, np.nan)
        np.divide(self.total, self.count, out=mean, where=self.count > 0)
        heights = mean.reshape(self.shape) + self.level
        return filled(heights, known, FILL_M / self.cell), known


def filled(heights: Any, known: Any, reach: float) -> Any:
    """Heights with the gaps filled that are near: straight between the known cells around them.

    Args:
        heights: of cells; NaN where not known.
        known: which are known.
        reach: how far from a known cell is filled [cells].
    """
    import numpy as np
    from scipy.ndimage import binary_dilation, distance_transform_edt

    gaps = ~known & (distance_transform_edt(~known) <= reach)
    rim = known & binary_dilation(~known, np.ones((3, 3), bool))
    if not gaps.any() or rim.sum() < 3:
        return heights
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import QhullError

    at, wanted = np.argwhere(rim), np.argwhere(gaps)
    try:
        between = LinearNDInterpolator(at, heights[rim])
    except QhullError:  # all in one line: there is no plane through them
        return heights
    found = np.array(heights)
    found[gaps] = between(wanted)
    return found


def _inner(place: _Place, box: list[float]) -> tuple[slice, slice]:
    top, bottom = ((place.y0 - y) / place.cell for y in (box[3], box[1]))
    left, right = ((x - place.x0) / place.cell for x in (box[0], box[2]))
    return slice(int(top), math.ceil(bottom)), slice(int(left), math.ceil(right))

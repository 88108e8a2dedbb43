"""What runs in the child process: one task, from a request on standard input to a file.

It imports nothing of Fencerow, so that it starts quickly and holds nothing worth taking. It answers
in plain JSON; `problem` is the id of a message, with what fills its blanks.
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path
from typing import Any

try:
    import resource
except ImportError:  # not on POSIX: the time limit alone holds there
    resource = None  # type: ignore[assignment]

Request = dict[str, Any]
Answer = dict[str, Any]


class FileError(Exception):
    """What is wrong with the file: a message id and what fills its blanks."""

    def __init__(self, message_id: str, /, **params: object) -> None:
        super().__init__(message_id)
        self.answer: Answer = {"problem": message_id, **params}


def limit(seconds: float, memory_mb: int, result_mb: int) -> None:
    """Hold this process to its share of memory, processor time and disk."""
    if resource is not None:
        for what, most in (
            (resource.RLIMIT_AS, memory_mb * 2**20),
            (resource.RLIMIT_CPU, math.ceil(seconds)),
            (resource.RLIMIT_FSIZE, result_mb * 2**20),
        ):
            resource.setrlimit(what, (most, most))


def vector(request: Request) -> Answer:
    """The layers of files that `driver` reads: geometry as WKB in hex, attributes by column."""
    # none of these is needed here, and each costs a second where it is installed
    for heavy in ("pandas", "geopandas", "pyarrow"):
        sys.modules[heavy] = None  # type: ignore[assignment]
    import pyogrio

    layers, left = [], request["most"]
    for name, path in request["files"].items():
        try:
            listed = pyogrio.list_layers(path)
            for layer, geometry in listed:
                if geometry is None:
                    continue
                layers.append(_layer(request, name or layer, path, layer, left))
                left -= len(layers[-1]["geometry"])
        except (RuntimeError, ValueError) as error:
            raise FileError("ground-unreadable", why=str(error)) from None
    return {"layers": layers}


def _layer(request: Request, name: str, path: str, layer: str, most: int) -> Answer:
    import pyogrio
    from pyogrio.raw import read

    info = pyogrio.read_info(path, layer=layer)
    if info["driver"] != request["driver"]:
        raise FileError("ground-unreadable", why=f"{info['driver']} is not {request['driver']}")
    if info["features"] > most:
        raise FileError("ground-too-many", most=request["most"])
    meta, _, geometry, columns = read(path, layer=layer, force_2d=True, datetime_as_string=True)
    return {
        "name": name,
        "crs": meta["crs"],
        "columns": [str(field) for field in meta["fields"]],
        "rows": [[_plain(column[i]) for column in columns] for i in range(len(geometry))],
        "geometry": [None if wkb is None else wkb.hex() for wkb in geometry],
    }


def _plain(value: Any) -> Any:
    value = value.item() if hasattr(value, "item") else value
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value if isinstance(value, str | int | float | bool | list) else None


def raster(request: Request) -> Answer:
    """The heights of a GeoTIFF on square cells of the tract's UTM zone, left in `heights.npy`.

    Cells that the raster doesn't know are NaN. `lowest` and `highest` are taken before and after
    cells are averaged, so that an undeclared "no data" shows itself either way. Classes are never
    averaged.
    """
    import numpy as np
    import rasterio
    from rasterio.crs import CRS
    from rasterio.enums import Resampling
    from rasterio.errors import RasterioError

    try:
        with (
            rasterio.Env(GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR"),
            rasterio.open(request["path"], driver="GTiff", sharing=False) as source,
        ):
            _acceptable(source)
            crs = CRS.from_epsg(request["crs"])
            facts = _facts(source) | _cells(source, crs, request)
            nearest = _warped(source, crs, facts, request["nodata"], Resampling.nearest)
            heights = _warped(source, crs, facts, request["nodata"], Resampling.bilinear)
    except RasterioError as error:
        raise FileError("elevation-unreadable", why=str(error)) from None
    if request["classes"]:
        heights = nearest
    inner = heights[_window(facts, request["box"])]
    if not np.isfinite(inner).any():
        raise FileError("elevation-all-nodata")
    facts["known_share"] = float(np.isfinite(inner).mean())
    facts["lowest"] = float(min(np.nanmin(nearest), np.nanmin(heights)))
    facts["highest"] = float(max(np.nanmax(nearest), np.nanmax(heights)))
    np.save(Path(request["folder"]) / "heights.npy", heights)
    return facts


def _acceptable(source: Any) -> None:
    if source.crs is None:
        raise FileError("elevation-no-crs")
    if source.transform.b or source.transform.d:
        raise FileError("elevation-rotated")
    if source.count != 1 or source.dtypes[0].startswith("complex"):
        raise FileError("elevation-bands", count=source.count, dtype=source.dtypes[0])


def _facts(source: Any) -> Answer:
    return {
        "wkt": source.crs.to_wkt(),
        "band_unit": source.units[0] or "",
        "scale": source.scales[0],
        "offset": source.offsets[0],
    }


def _cells(source: Any, crs: Any, request: Request) -> Answer:
    """Where the square cells lie: on whole multiples of their size, around the tract."""
    box, margin = request["box"], request["margin_m"]
    _meets(source, crs, request)
    west, south, east, north = (
        box[0] - margin, box[1] - margin, box[2] + margin, box[3] + margin,
    )  # fmt: skip
    native = _cell_of(source, crs, ((west + east) / 2, (south + north) / 2))
    cell = request["cell_m"] or max(request["finest_m"], round(native, 1))
    x0, y0 = math.floor(west / cell) * cell, math.ceil(north / cell) * cell
    shape = [math.ceil((y0 - south) / cell), math.ceil((east - x0) / cell)]
    if shape[0] * shape[1] > request["most_cells"]:
        raise FileError("elevation-too-fine", cell=cell, most=request["most_cells"])
    return {"x0": x0, "y0": y0, "cell_m": cell, "native_m": native, "shape": shape}


def _cell_of(source: Any, crs: Any, middle: tuple[float, float]) -> float:
    """The side of a square as large as the source's own cell at the tract's middle."""
    from rasterio.warp import transform

    (x,), (y,) = transform(crs, source.crs, [middle[0]], [middle[1]])
    width, height = source.res
    xs, ys = transform(source.crs, crs, [x, x + width, x], [y, y, y + height])
    return math.sqrt(abs((xs[1] - xs[0]) * (ys[2] - ys[0]) - (xs[2] - xs[0]) * (ys[1] - ys[0])))


def _meets(source: Any, crs: Any, request: Request) -> None:
    from rasterio.warp import transform_bounds

    left, right = sorted((source.bounds.left, source.bounds.right))
    bottom, top = sorted((source.bounds.bottom, source.bounds.top))
    west, south, east, north = transform_bounds(crs, source.crs, *request["box"])
    # a tract that the raster's map can't even show comes out as infinite, and doesn't meet either
    if not (west < right and east > left and south < top and north > bottom):
        there = transform_bounds(source.crs, "EPSG:4326", left, bottom, right, top)
        raise FileError("elevation-misses", raster=_spelt(there), tract=_spelt(request["bounds"]))


def _spelt(bounds: Any) -> str:
    west, south, east, north = bounds
    return f"longitude {west:.4f} to {east:.4f}, latitude {south:.4f} to {north:.4f}"


def _warped(source: Any, crs: Any, facts: Answer, nodata: float | None, how: Any) -> Any:
    import numpy as np
    import rasterio
    from rasterio.warp import reproject

    cell = facts["cell_m"]
    return reproject(
        rasterio.band(source, 1),
        np.full(facts["shape"], np.nan),
        src_nodata=source.nodata if nodata is None else nodata,
        dst_transform=rasterio.Affine(cell, 0, facts["x0"], 0, -cell, facts["y0"]),
        dst_crs=crs,
        init_dest_nodata=False,
        resampling=how,
        warp_mem_limit=64,
    )[0]


def _window(facts: Answer, box: list[float]) -> tuple[slice, slice]:
    """The rows and columns that touch the tract itself, without the margin."""
    cell = facts["cell_m"]
    top, bottom = ((facts["y0"] - y) / cell for y in (box[3], box[1]))
    left, right = ((x - facts["x0"]) / cell for x in (box[0], box[2]))
    return slice(int(top), math.ceil(bottom)), slice(int(left), math.ceil(right))


def lidar(request: Request) -> Answer:
    """The bare earth of a file of points, by the module beside this one."""
    from importlib.util import module_from_spec, spec_from_file_location

    spec = spec_from_file_location("points", Path(__file__).with_name("points.py"))
    assert spec is not None, "the module stands beside this one"
    assert spec.loader is not None, "it is a file of Python"
    points = module_from_spec(spec)
    spec.loader.exec_module(points)
    found: Answer = points.bare_earth(request, FileError)
    return found


def answered(request: Request) -> Answer:
    """What comes of a request, or what is wrong with the file."""
    try:
        return {"vector": vector, "raster": raster, "lidar": lidar}[request["task"]](request)
    except FileError as error:
        return error.answer
    except MemoryError:
        return {"problem": "guard-memory", "most_mb": request["limits"]["memory_mb"]}


def main() -> None:
    request: Request = json.load(sys.stdin)
    limit(**request["limits"])
    Path(request["answer"]).write_text(json.dumps(answered(request)), encoding="utf-8")


if __name__ == "__main__":
    main()

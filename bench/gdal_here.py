"""GDAL's own terrain tools in memory, through its C interface, as pyogrio or rasterio carries it.

Neither package offers them in Python; the library that they bring does. Where the symbols are
missing `gdal` is None, and the benches stand beside NumPy alone.
"""

from __future__ import annotations

import ctypes
import importlib.util
from ctypes import c_char_p, c_double, c_int, c_void_p
from pathlib import Path

import numpy as np
from pyproj import CRS

_FLOAT32, _BYTE = 6, 1
_CALLS = {
    "GDALVersionInfo": (c_char_p, [c_char_p]),
    "GDALGetDriverByName": (c_void_p, [c_char_p]),
    "GDALCreate": (c_void_p, [c_void_p, c_char_p, c_int, c_int, c_int, c_int, c_void_p]),
    "GDALGetRasterBand": (c_void_p, [c_void_p, c_int]),
    "GDALSetGeoTransform": (c_int, [c_void_p, c_void_p]),
    "GDALSetProjection": (c_int, [c_void_p, c_char_p]),
    "GDALRasterIO": (c_int, [c_void_p, *5 * [c_int], c_void_p, *5 * [c_int]]),
    "GDALGetRasterXSize": (c_int, [c_void_p]),
    "GDALGetRasterYSize": (c_int, [c_void_p]),
    "GDALClose": (None, [c_void_p]),
    "GDALViewshedGenerate": (
        c_void_p,
        [c_void_p, c_char_p, c_char_p, c_void_p, *9 * [c_double], c_int, c_double, c_void_p,
         c_void_p, c_int, c_void_p],
    ),
    "GDALDEMProcessingOptionsNew": (c_void_p, [c_void_p, c_void_p]),
    "GDALDEMProcessing": (
        c_void_p, [c_char_p, c_void_p, c_char_p, c_char_p, c_void_p, c_void_p],
    ),
}  # fmt: skip


def _library():
    for package in ("pyogrio", "rasterio"):
        found = importlib.util.find_spec(package)
        if found is None or found.origin is None:
            continue
        importlib.import_module(package)
        beside = Path(found.origin).parents[1] / f"{package}.libs"
        for path in sorted(beside.glob("libgdal*")):
            library = ctypes.CDLL(str(path))
            try:
                for name, (answer, takes) in _CALLS.items():
                    call = getattr(library, name)
                    call.restype, call.argtypes = answer, takes
            except AttributeError:
                continue
            library.GDALAllRegister()
            if library.GDALGetDriverByName(b"MEM"):
                return library
    return None


gdal = _library()


def version() -> str:
    return gdal.GDALVersionInfo(b"RELEASE_NAME").decode()


class Raster:
    """Ground in memory, north up, in a zone of metres."""

    def __init__(self, z: np.ndarray, cell_m: float) -> None:
        rows, columns = z.shape
        z = np.ascontiguousarray(z, np.float32)
        driver = gdal.GDALGetDriverByName(b"MEM")
        self.cell_m, self.rows = cell_m, rows
        self.at = gdal.GDALCreate(driver, b"", columns, rows, 1, _FLOAT32, None)
        corner = (c_double * 6)(0, cell_m, 0, rows * cell_m, 0, -cell_m)
        gdal.GDALSetGeoTransform(self.at, corner)
        gdal.GDALSetProjection(self.at, CRS.from_epsg(32616).to_wkt("WKT1_GDAL").encode())
        _move(self.at, 1, z, _FLOAT32)

    def viewshed(
        self, row: int, column: int, eye_m: float, target_m: float, light: float, far_m: float = 0.0
    ) -> Result:
        """Cells in sight, in GDAL's default manner; 255 where they are."""
        x, y = (column + 0.5) * self.cell_m, (self.rows - row - 0.5) * self.cell_m
        return Result(gdal.GDALViewshedGenerate(
            gdal.GDALGetRasterBand(self.at, 1), b"MEM", b"", None, x, y, eye_m, target_m, 255.0,
            0.0, 0.0, -1.0, light, 2, far_m, None, None, 1, None,
        ), np.uint8)  # fmt: skip

    def slope(self) -> Result:
        """Horn's slope in degrees."""
        words = (c_char_p * 3)(b"-of", b"MEM", None)
        options = gdal.GDALDEMProcessingOptionsNew(words, None)
        made = gdal.GDALDEMProcessing(b"", self.at, b"slope", None, options, None)
        return Result(made, np.float32)


class Result:
    """A raster that GDAL made; it is closed with this object."""

    def __init__(self, at: int, kind: type) -> None:
        assert at, "GDAL made nothing"
        self.at, self.kind = at, kind

    def cells(self) -> np.ndarray:
        shape = gdal.GDALGetRasterYSize(self.at), gdal.GDALGetRasterXSize(self.at)
        cells = np.empty(shape, self.kind)
        _move(self.at, 0, cells, _BYTE if self.kind is np.uint8 else _FLOAT32)
        return cells

    def __del__(self) -> None:
        gdal.GDALClose(self.at)


def _move(raster: int, way: int, cells: np.ndarray, kind: int) -> None:
    rows, columns = cells.shape
    band = gdal.GDALGetRasterBand(raster, 1)
    gdal.GDALRasterIO(band, way, 0, 0, columns, rows, cells.ctypes.data, columns, rows, kind, 0, 0)

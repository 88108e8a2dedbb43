"""What grows on a tract, in from a GeoTIFF: classes of land cover, or the height of plants.

Both go the way that elevation goes: the child process, one driver, the part around the tract alone.
Nothing in a file says which of the three it holds, so the person does.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from fencerow.data import Table
from fencerow.exchange.elevation import (
    METRES,
    TALLEST_M,
    VerticalUnit,
    plants,
    read_cells,
    unit_of_heights,
)
from fencerow.science.ground.grid import LocalGrid
from fencerow.words import BadInput, Message

LOWEST_M = -3.0
"""Heights of plants are differences of two surfaces, and fall below 0 by as much as both err."""


def read_classes(
    path: Path, shapes: Iterable[BaseGeometry], table: Table | None = None
) -> LocalGrid:
    """The classes of a land-cover map around a tract.

    Args:
        path: a GeoTIFF of one band, of whole numbers.
        shapes: the outlines of the tract, lon/lat; at least one.
        table: `land_cover`, to ask whether each class has a row; None asks nothing.

    Raises:
        BadInput: as for elevation; a class has no row, or what it holds are no classes.
    """
    read = read_cells(path, shapes, classes=True)
    if table is None:
        return read.grid(read.held)
    codes = np.unique(read.held[np.isfinite(read.held)])
    if (codes % 1).any():
        raise BadInput("cover-no-classes", file=path.name, value=f"{codes[codes % 1 > 0][0]:g}")
    known = {row.text("code") for row in table}
    strange = sorted(f"{code:.0f}" for code in codes if f"{code:.0f}" not in known)
    if strange:
        raise BadInput("cover-strange-class", file=path.name, codes=", ".join(strange[:8]))
    return read.grid(read.held)


def read_canopy(
    path: Path, shapes: Iterable[BaseGeometry], vertical_unit: str = ""
) -> tuple[LocalGrid, VerticalUnit, tuple[Message, ...]]:
    """The height of plants around a tract [m], the unit of the file, and what was assumed of it.

    Args:
        path: a GeoTIFF of one band of heights above the ground.
        shapes: the outlines of the tract, lon/lat; at least one.
        vertical_unit: m, ft or us-ft, where the file doesn't say.

    Raises:
        BadInput: as for elevation; or a height that no plant has, above the ground or below it.
    """
    read = read_cells(path, shapes)
    system = CRS.from_wkt(read.facts["wkt"])
    unit, notes = unit_of_heights(path.name, system, read.facts["band_unit"], vertical_unit)
    factor, lift = (METRES[unit] * read.facts[name] for name in ("scale", "offset"))
    for end in ("lowest", "highest"):
        height = read.facts[end] * factor + lift
        if not LOWEST_M <= height <= 2 * TALLEST_M:
            raise BadInput("canopy-no-plant", file=path.name, height=f"{height:,.0f}")
    return plants(read, read.held * factor + lift), unit, tuple(notes)

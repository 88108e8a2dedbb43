"""What siting found of squares all over a tract, as a GeoTIFF for any program of maps.

Three bands of 32-bit floats on north-up squares of the tract's UTM zone, -9999 where nobody sits:
the share of season hours that are right, what most other hours fail by first, and how much deer are
taken to travel in reach. Each band says what it is; the second has its classes as a legend. No sit
lies in it.
"""

from __future__ import annotations

import numpy as np

from fencerow.plan.sits.judged import FAILS
from fencerow.plan.sits.siting_body import Surface
from fencerow.words import say

NODATA = -9999.0
NONE = 0
"""The class of a square in which no hour fails."""


def legend() -> dict[int, str]:
    """What each class of the second band stands for."""
    return {NONE: say("tif-none"), **{int(why): say(words) for why, words in FAILS.items()}}


def siting_tif(surface: Surface) -> bytes:
    """A surface as the bytes of a GeoTIFF."""
    from affine import Affine
    from rasterio.io import MemoryFile

    grid, sat = surface.grid, np.isfinite(surface.share)
    bands = {
        "tif-share": 100 * surface.share, "tif-first": surface.first.astype(float),
        "tif-travel": 100 * surface.travel,
    }  # fmt: skip
    rows, columns = surface.share.shape
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff", width=columns, height=rows, count=len(bands), dtype="float32",
            crs=f"EPSG:{grid.crs}", nodata=NODATA, compress="deflate",
            transform=Affine(grid.cell_m, 0.0, grid.x0, 0.0, -grid.cell_m, grid.y0),
        ) as out:  # fmt: skip
            for n, (name, values) in enumerate(bands.items(), 1):
                out.write(np.where(sat, values, NODATA).astype("float32"), n)
                out.set_band_description(n, say(name, hours=surface.hours))
            out.update_tags(2, LEGEND=legend_text())
        return bytes(memory.read())


def legend_text() -> str:
    """The classes in a line: '0 none; 1 a calm carries scent all round; ...'."""
    return "; ".join(f"{n} {words}" for n, words in legend().items())

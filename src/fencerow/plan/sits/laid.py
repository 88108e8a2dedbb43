"""The squares that a tract is laid out in, their heights, and the kinds of ground on them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from pyproj import Transformer
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry

from fencerow.plan.ground import kind_of
from fencerow.plan.sits.frame import SITS, Frame
from fencerow.science.ground.deer_ground import Cells, cells_in
from fencerow.science.ground.grid import Floats, LocalGrid, Mask, utm_epsg
from fencerow.science.ground.sight_lines import brush_kappa
from fencerow.tract.model import Kept
from fencerow.tract.places import (
    Boundary,
    Camera,
    Cover,
    Gate,
    MockScrape,
    PhotoPoint,
    PlaceBase,
    SoilZone,
    Timber,
)
from fencerow.units import convert

MARGIN_M = 60.0
"""Ground kept around all that is drawn."""
GROW_M = 5.0
"""Where a tract would take too many squares, they grow by this."""
FOOTINGS = ("path", "grass", "dry leaves")
"""What is walked on, as `footings` names it, by the number that squares carry."""
_BARE = (Boundary, SoilZone, Gate, Camera, MockScrape, PhotoPoint, *SITS)
"""Places that change nothing about the ground that they are drawn on."""


def shape_of(kept: Kept[PlaceBase]) -> BaseGeometry:
    """The outline of a place that is drawn, lon/lat."""
    assert kept.body.shape is not None, "only what is drawn is asked"
    return kept.body.shape.geometry()


def grid_of(frame: Frame) -> tuple[LocalGrid, bool, bool]:
    """The tract's own squares with their heights; whether all or part of them is taken as level."""
    drawn = GeometryCollection([shape_of(k) for k in frame.drawn(PlaceBase)])
    assert frame.middle is not None, "what is drawn has a middle"
    relief = frame.given.grid
    crs = relief.crs if relief is not None else utm_epsg(*(f.number() for f in frame.middle))
    empty = LocalGrid(np.zeros((2, 2), np.float32), 0.0, 0.0, 1.0, crs)
    west, south, east, north = empty.project(drawn).buffer(MARGIN_M).bounds
    cell = _side(frame, (east - west) * (north - south), relief)
    rows, columns = math.ceil((north - south) / cell), math.ceil((east - west) / cell)
    flat = np.zeros((max(2, rows), max(2, columns)), np.float32)
    grid = LocalGrid(flat, west, north, cell, crs)
    if relief is None:
        return grid, True, False
    heights = relief.sample(*_middles(grid))
    known = np.isfinite(heights)
    mean = float(heights[known].mean()) if known.any() else 0.0
    filled = np.where(known, heights, mean).astype(np.float32)
    part = known.any() and not known[grid.cells_of(_whole(drawn))].all()
    return LocalGrid(filled, west, north, cell, crs), not known.any(), bool(part)


def _side(frame: Frame, area_m2: float, relief: LocalGrid | None) -> float:
    """Side of a square [m]: by how much ground there is and how fine its heights are, and by
    nothing else, so that one record gives one plan on every machine."""
    table = frame.given.tables["siting_settings"]
    most = table.row("squares").figure("tests_count").number()
    fine = table.row("cell-fine").figure("cell_m").number()
    if relief is not None and relief.cell_m <= fine and area_m2 / fine**2 <= most:
        return fine
    cell = table.row("cell").figure("cell_m").number()
    while area_m2 / cell**2 > most:
        cell += GROW_M
    return cell


def _whole(drawn: BaseGeometry) -> BaseGeometry:
    return drawn.convex_hull


def _middles(grid: LocalGrid) -> tuple[Floats, Floats]:
    """Longitude and latitude of the middle of each square [deg]."""
    rows, columns = grid.known.shape
    i, j = np.mgrid[:rows, :columns]
    x, y = grid.x0 + (j + 0.5) * grid.cell_m, grid.y0 - (i + 0.5) * grid.cell_m
    lon, lat = Transformer.from_crs(grid.crs, 4326, always_xy=True).transform(x, y)
    return lon, lat


def laid_out(frame: Frame, grid: LocalGrid) -> dict[str, Floats]:
    """The columns of `ground_cover` on the squares, the later kind over the earlier; what is drawn
    over what a map of land cover says. `mapped` is 1 where the map alone speaks."""
    table, footings = (frame.given.tables[name] for name in ("ground_cover", "footings"))
    names = ("screen_ft", "leafless_share", "wind_share", "deer_cost", "walk_cost",
             "cover_share", "food_share", "kappa")  # fmt: skip
    laid = {n: np.full(grid.known.shape, np.nan) for n in (*names, "footing", "mapped")}
    canopy_ft = convert(1.0, "m", "ft") * _read(frame, grid, "canopy")
    least_ft = frame.given.tables["siting_settings"].row("tree").figure("up_ft").number()
    kinds = [row.text("kind") for row in table]
    places = sorted(
        (k for k in frame.drawn(PlaceBase) if not isinstance(k.body, _BARE)),
        key=lambda k: (kinds.index(kind_on_ground(k.body)), k.id),
    )
    everywhere = cells_in(np.ones(grid.known.shape, bool))
    for kind, body, cells in [
        ("open", None, everywhere),
        *((kind, None, cells) for kind, cells in _mapped(frame, grid, canopy_ft >= least_ft)),
        *((kind_on_ground(k.body), k.body, grid.cells_of(shape_of(k))) for k in places),
    ]:
        row = table.row(kind)
        laid["mapped"][cells] = body is None and kind != "open"
        laid["footing"][cells] = FOOTINGS.index(footings.row(row.key).text("footing"))
        for name in names[:-1]:
            value = row.number(name)
            laid[name][cells] = np.nan if value is None else value
        hides = getattr(body, "hides_at_yd", None) or row.number("hides_at_yd")
        laid["kappa"][cells] = brush_kappa(90, convert(hides, "yd", "m")) if hides else 0.0
        tall = getattr(body, "height_ft", None)
        if isinstance(body, Cover) and tall is not None:
            laid["screen_ft"][cells] = tall
        elif kind == "cover":
            # brush hides to its top; of what stands under trees no height tells
            top = canopy_ft[cells]
            laid["screen_ft"][cells] = np.where(top < least_ft, top, laid["screen_ft"][cells])
    return laid


def _mapped(frame: Frame, grid: LocalGrid, trees: Mask) -> Iterator[tuple[str, Cells]]:
    """Each kind of ground that land cover tells, and its squares; where it tells none, timber
    where plants are as tall as trees."""
    classes = _read(frame, grid, "classes")
    held = {f"{code:.0f}": code for code in np.unique(classes[np.isfinite(classes)])}
    for row in frame.given.tables["land_cover"]:
        if (code := held.get(row.text("code"))) is not None:
            yield row.text("kind"), cells_in(classes == code)
    if (trees & np.isnan(classes)).any():
        yield "timber", cells_in(trees & np.isnan(classes))


def _read(frame: Frame, grid: LocalGrid, name: str) -> Floats:
    """What grows on the squares, as it was brought in; NaN where it is not known."""
    grown = frame.given.grown
    held: LocalGrid | None = None if grown is None else getattr(grown, name)
    return np.full(grid.known.shape, np.nan) if held is None else held.nearest(*_middles(grid))


def kind_on_ground(body: PlaceBase) -> str:
    """The row of `ground_cover` that a place takes."""
    kind = kind_of(body)
    if isinstance(body, Timber) and body.leaf in ("evergreen", "mixed"):
        return f"{kind} {body.leaf}"
    return kind

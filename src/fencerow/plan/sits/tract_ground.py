"""The tract as squares of ground: height, cover, deer ground, travel, and how one walks on it.

Squares are those of the tract's UTM grid around all that is drawn. Without elevation the ground is
level, and that is said; where a drawn place lies beyond the elevation that is kept, likewise.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer
from shapely.geometry import GeometryCollection, Point
from shapely.geometry.base import BaseGeometry

from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.laid import grid_of, laid_out, shape_of
from fencerow.science.ground import deer_ground
from fencerow.science.ground.grid import Floats, LocalGrid, Mask
from fencerow.science.ground.sight_lines import Land
from fencerow.science.ground.slope import aspect_deg, horn_gradient, slope_deg
from fencerow.science.soil.timing import age_months
from fencerow.tract.model import Kept
from fencerow.tract.places import (
    Boundary,
    Cover,
    Gate,
    NativeGrass,
    PlaceBase,
    Plot,
    Water,
)
from fencerow.tract.signs import Sign
from fencerow.units import convert

M2_AC = convert(1.0, "m2", "ac")
SMOOTH_M = 75.0
"""Slope winds follow the ground as it lies over about this distance."""
WIDEST_DEG = 0.5
"""Ground that reaches farther than this is not one tract: nobody sits by squares a mile wide."""
WALKED_OUTSIDE_M = 15.0
"""A gate or a path may lie this far outside the boundary as it is drawn."""
Cells = tuple[NDArray[np.int_], NDArray[np.int_]]


@dataclass(frozen=True)
class TractGround:
    """Squares of ground and all that is asked of them."""

    frame: Frame
    grid: LocalGrid
    level: bool
    """Whether no elevation is kept, so that the ground is taken for level."""
    part_level: bool
    """Whether some of the ground lies beyond the elevation that is kept."""
    kinds: Mapping[str, Floats]
    """Each column of the table `ground_cover`, laid out on the squares."""

    @property
    def cell_m(self) -> float:
        return self.grid.cell_m

    @property
    def cell_ac(self) -> float:
        """Area of a square [ac]."""
        return self.cell_m**2 * M2_AC

    def setting(self, name: str, column: str) -> float:
        """A row of the table `siting_settings` as a number."""
        return self.frame.given.tables["siting_settings"].row(name).figure(column).number()

    def metres(self, name: str) -> float:
        """A distance of the table `siting_settings` [m]."""
        return convert(self.setting(name, "within_yd"), "yd", "m")

    def up_m(self, name: str) -> float:
        """A height of the table `siting_settings` [m]."""
        return convert(self.setting(name, "up_ft"), "ft", "m")

    def cell_of(self, geometry: BaseGeometry) -> tuple[int, int]:
        """The square of a point, or of the middle of an outline."""
        i, j = self.grid.cells_of(geometry.representative_point())
        return int(i[0]), int(j[0])

    def lonlat(self, rows: Floats, columns: Floats) -> NDArray[np.float64]:
        """Positions of squares' middles, longitude and latitude [deg]."""
        x = self.grid.x0 + (np.asarray(columns, float) + 0.5) * self.cell_m
        y = self.grid.y0 - (np.asarray(rows, float) + 0.5) * self.cell_m
        to_lonlat = Transformer.from_crs(self.grid.crs, 4326, always_xy=True)
        return np.column_stack(to_lonlat.transform(x, y))

    @property
    def brush_measured(self) -> bool:
        """Whether heights of plants were brought in, and cover is drawn without a height."""
        grown = self.frame.given.grown
        drawn = any(getattr(k.body, "height_ft", None) is None for k in self.frame.drawn(Cover))
        return grown is not None and grown.canopy is not None and drawn

    @cached_property
    def cover(self) -> Floats:
        """How much each square counts as cover, sign counted in."""
        return deer_ground.signed(
            self.kinds["cover_share"], self.cell_m, list(self._sign("cover_share")),
            self.metres("sign-width"),
        )  # fmt: skip

    @property
    def food(self) -> Floats:
        return self.kinds["food_share"]

    @cached_property
    def travel(self) -> Floats:
        """How much each square is travelled, 0 to 1 before sign."""
        cover, goals = self._cells(Cover, NativeGrass), self._cells(Plot, Water)
        found = deer_ground.travelled(
            deer_ground.deer_cost(self.kinds["deer_cost"], self.slope_deg), self.cell_m,
            [*cover.values(), *self._patches()], list(goals.values()),
            self.setting("travel-slack", "factor"), self.metres("travel-pair"),
        )  # fmt: skip
        return deer_ground.signed(
            found, self.cell_m, list(self._sign("travel_share")), self.metres("sign-width")
        )

    @cached_property
    def pinch(self) -> Floats:
        """How much more a square is travelled than the ground around it."""
        return deer_ground.pinched(self.travel, self.cell_m, self.metres("pinch"))

    def _cells(self, *kinds: type[PlaceBase]) -> dict[str, Cells]:
        found = {k.id: self.grid.cells_of(shape_of(k)) for k in self.frame.drawn(*kinds)}
        return {i: cells for i, cells in found.items() if cells[0].size}

    def _patches(self) -> list[Cells]:
        """Cover that nobody drew and the map of land cover has, the largest patches of it."""
        mapped = (self.kinds["mapped"] > 0) & (self.kinds["cover_share"] > 0)
        found = deer_ground.patches(mapped, round(self.setting("patches", "tests_count")))
        least = self.setting("patches", "area_ac")
        return [cells for cells in found if cells[0].size * self.cell_ac >= least]

    @cached_property
    def deer_places(self) -> dict[str, Floats]:
        """What each place of cover or food counts, square by square."""
        both = self.cover + self.food
        return {i: _only(both, cells) for i, cells in self._cells(Cover, NativeGrass, Plot).items()}

    @cached_property
    def slope_deg(self) -> Floats:
        return slope_deg(*horn_gradient(self.grid.elevation_m, self.cell_m))

    @cached_property
    def broad(self) -> tuple[Floats, Floats]:
        """The way that the smoothed ground falls, NaN where flat, and how steep it is [deg]."""
        from scipy.ndimage import uniform_filter

        wide = max(3, round(SMOOTH_M / self.cell_m) | 1)
        smooth = uniform_filter(np.asarray(self.grid.elevation_m, float), wide, mode="nearest")
        east, south = horn_gradient(np.pad(smooth, 1, mode="edge"), self.cell_m)
        inner = (slice(1, -1), slice(1, -1))
        return aspect_deg(east, south)[inner], slope_deg(east, south)[inner]

    def land(self, leaves: bool) -> Land:
        """Ground and what screens it, in leaf or bare."""
        kappa = self.kinds["kappa"] * (1.0 if leaves else self.kinds["leafless_share"])
        screen = convert(1.0, "ft", "m") * self.kinds["screen_ft"]
        return Land.of(self.grid.elevation_m, self.cell_m, screen, kappa)

    @cached_property
    def inside(self) -> Mask:
        """Squares inside the boundary; all where none is drawn."""
        drawn = [shape_of(k) for k in self.frame.drawn(Boundary)]
        return self.mask(drawn) if drawn else np.ones(self.grid.known.shape, bool)

    def mask(self, shapes: list[BaseGeometry]) -> Mask:
        """Squares that lie in any of some shapes, lon/lat."""
        found = np.zeros(self.grid.known.shape, bool)
        for shape in shapes:
            found[self.grid.cells_of(shape)] = True
        return found

    @cached_property
    def slowness(self) -> Floats:
        """How much longer a metre takes than on a path; infinite off the tract, and on ground that
        is closed by name while a season is open."""
        from scipy.ndimage import binary_dilation

        grown = max(1, round(WALKED_OUTSIDE_M / self.cell_m))
        walked = binary_dilation(self.inside, iterations=grown) & ~self.mask(self.closed_shapes)
        return np.where(walked, np.nan_to_num(self.kinds["walk_cost"], nan=np.inf), np.inf)

    @cached_property
    def closed_shapes(self) -> list[BaseGeometry]:
        """Places closed by name while a season that is not over is open."""
        places = self.frame.given.tract.places
        spans = [(s.body.opens, s.body.closes) for s in self.frame.seasons]
        return [
            shape_of(places[i])
            for closing in self.frame.given.tract.closings.values()
            if any(closing.body.closes <= b and a <= closing.body.opens for a, b in spans)
            for i in closing.body.places
            if i in places and places[i].body.shape is not None
        ]

    @cached_property
    def gates(self) -> Cells | None:
        """Squares of the gates, each moved to the nearest that is walked; none where none is."""
        drawn = [self.cell_of(shape_of(k)) for k in self.frame.drawn(Gate)]
        walked = np.argwhere(np.isfinite(self.slowness))
        if not drawn or not walked.size:
            return None
        near = [walked[np.square(walked - cell).sum(axis=1).argmin()] for cell in drawn]
        rows, columns = np.array(near).T
        return rows, columns

    def _sign(self, column: str) -> Iterator[tuple[float, float, float]]:
        """Row and column of each sign that still counts, and what it adds."""
        rows, tract = self.frame.given.tables["sign_weights"], self.frame.given.tract
        most = self.setting("sign-age", "after_months")
        for kept in sorted(tract.signs.values(), key=lambda k: k.id):
            where = self._where(kept)
            adds = rows.row(kept.body.form).number(column)
            if (
                where is not None
                and adds
                and age_months(kept.body.on, self.frame.given.as_of) < most
            ):
                yield *where, adds

    def _where(self, kept: Kept[Sign]) -> tuple[int, int] | None:
        body = kept.body
        place = self.frame.given.tract.places.get(body.place)
        if body.longitude_deg is not None and body.latitude_deg is not None:
            point: BaseGeometry = Point(body.longitude_deg, body.latitude_deg)
        elif place is not None and place.body.shape is not None:
            point = shape_of(place)
        else:
            return None
        row, column = self.grid.cell(*self.grid.xy(*point.representative_point().coords[0]))
        i, j = round(float(row)), round(float(column))
        rows, columns = self.grid.known.shape
        return (i, j) if 0 <= i < rows and 0 <= j < columns else None


def too_wide(frame: Frame) -> bool:
    """Whether what is drawn lies too far apart to be laid out in squares as one tract."""
    west, south, east, north = GeometryCollection(
        [shape_of(k) for k in frame.drawn(PlaceBase)]
    ).bounds
    return bool(max(east - west, north - south) > WIDEST_DEG)


def tract_ground(frame: Frame) -> TractGround | None:
    """The squares of a tract; None where no cover and no plot is drawn: nothing is judged then."""
    if not any(frame.drawn(Cover, Plot)):
        return None
    grid, level, part = grid_of(frame)
    return TractGround(frame, grid, level, part, laid_out(frame, grid))


def _only(weight: Floats, cells: Cells) -> Floats:
    found = np.zeros(weight.shape)
    found[cells] = weight[cells]
    return found

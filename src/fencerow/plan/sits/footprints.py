"""The ground that scent reaches from a sit, as outlines: on the steady day, and in today's hours.

By the same plume as the hours of a season are judged by (`science/ground/scent.py`), on squares of
its own that are small enough to be drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import box, transform, union_all
from shapely.geometry.base import BaseGeometry

from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.sits.by_plume import plume_day
from fencerow.plan.sits.day_wind import DayWind, wind_of_day
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.laid import shape_of
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.siting_body import Print
from fencerow.plan.sits.spots import Scene
from fencerow.plan.sits.walkers import STEADY, STIRRED
from fencerow.science.ground.grid import LocalGrid, Mask
from fencerow.science.ground.plume import Air, extent_m, threshold
from fencerow.science.ground.scent import Reached, disc, reached
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, NativeGrass, PlaceBase, Plot
from fencerow.units import convert

FINE_M = 5.0
SPREAD_STEPS = 3
M2_AC = convert(1.0, "m2", "ac")
LEAST_AC = 0.05
"""Less than this of a place is not called reached."""
COMPASS = 8
MOST_WINDS = 4
"""So many of the winds that a sit wants are drawn, those of most hours first."""


def steady_prints(scene: Scene, kept: Kept[PlaceBase], right: Mask) -> dict[str, Print]:
    """The ground that scent reaches on the steady day, in the compass winds that a sit wants.

    Args:
        right: whether scent is right, for winds of every ten degrees from north.
    """
    counts = np.ones(COMPASS)
    if scene.hours is not None:
        counts += np.bincount(scene.hours.way_sector, minlength=COMPASS)
    ways = [s for s in range(COMPASS) if right[round(s * 4.5) % right.size]]
    ways = sorted(sorted(ways, key=lambda s: -counts[s])[:MOST_WINDS])
    airs = float(STEADY.wind_m_s[STIRRED]), int(STEADY.stability[STIRRED])
    return {
        f"{s * 45}": _print(scene, kept, Wind(s * 45.0, *airs)) for s in ways
    }  # fmt: skip


@dataclass(frozen=True)
class Wind:
    """A wind at a sit: where it blows from, how fast, how stirred."""

    from_deg: float
    wind_m_s: float
    stability: int


@dataclass(frozen=True)
class Footprints:
    """Today's hours at each sit, by the keys of the hours."""

    sits: Mapping[str, Mapping[str, Print]]


def footprints_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Where scent goes in the last of today's legal hours, from the sits as `siting` laid them.
    Reads what the section `evening` reads."""
    frame, known = Frame(given), earlier["sits"].body
    wind = _wind_of(frame, known)
    day = plume_day(frame, earlier["siting"].kept, wind)
    if wind is None or day is None:
        return Section("footprints", Footprints({}))
    spots, hours = day.spots, day.hours()
    ways, speeds = spots.scene.winds(hours, spots.cells, spots.turn_deg)
    length = frame.given.tables["evening_settings"].row("sit").figure("hours_h").number()
    last = set(wind.sits(length)[1])
    drawn = [(n, i) for n, i in enumerate(np.nonzero(day.known)[0].tolist()) if i in last]
    found = {
        sit: {
            f"{wind.begins[i]:%H-%M}": _print(
                spots.scene, given.tract.places[sit],
                Wind(float(ways[spot, n]), float(speeds[spot, n]), int(hours.stability[n])),
            )
            for n, i in drawn
        }
        for spot, sit in enumerate(day.ids)
    }  # fmt: skip
    return Section("footprints", Footprints({i: p for i, p in found.items() if p}))


def _wind_of(frame: Frame, known: Mapping[str, SitPlace]) -> DayWind | None:
    light = next((p.sun.get("today") for p in known.values()), None)
    if light is None or not (light.legal_start.known and light.legal_end.known):
        return None
    return wind_of_day(frame, light.legal_start.value, light.legal_end.value)


def _print(scene: Scene, kept: Kept[PlaceBase], wind: Wind) -> Print:
    grid = scene.ground.grid
    point = shape_of(kept).representative_point()
    x, y = (float(v) for v in grid.xy(point.x, point.y))
    error = scene.ground.setting("wind-error", "by_deg")
    turns = np.linspace(-error, error, 2 * SPREAD_STEPS + 1)
    shapes = [_reached(scene.reach_m, wind, float(t)) for t in turns]
    middle, spread = (_outline(s, (x, y)) for s in (shapes[SPREAD_STEPS], _together(shapes)))
    deer = [(k.body.name, grid.project(shape_of(k)))
            for k in scene.ground.frame.drawn(Cover, NativeGrass, Plot)]  # fmt: skip
    return Print(
        wind.from_deg if wind.wind_m_s >= Air().calm_m_s else None,
        wind.wind_m_s,
        _lonlat(grid, middle),
        _lonlat(grid, spread),
        tuple(_on(middle, deer)),
        tuple(_on(spread, deer)),
    )


def _reached(reach_m: float, wind: Wind, turn: float) -> Reached:
    air = Air()
    if wind.wind_m_s < air.calm_m_s:
        return disc(reach_m / 2, FINE_M)
    how, least = (wind.stability, wind.wind_m_s), threshold(reach_m, air)
    way = (wind.from_deg + turn) % 360
    return reached(way, air, how, extent_m(*how, least, air), FINE_M, least)


def _together(shapes: Sequence[Reached]) -> Reached:
    """The squares that any of some shapes holds."""
    down, right = min(s.down for s in shapes), min(s.right for s in shapes)
    low = max(s.down + s.mask.shape[0] for s in shapes)
    far = max(s.right + s.mask.shape[1] for s in shapes)
    mask = np.zeros((low - down, far - right), bool)
    for s in shapes:
        rows, columns = s.mask.shape
        top, left = s.down - down, s.right - right
        mask[top : top + rows, left : left + columns] |= s.mask
    return Reached(mask, down, right)


def _outline(shape: Reached, at: tuple[float, float]) -> BaseGeometry:
    """The rim of what is reached, its squares rounded off."""
    edges = np.diff(np.pad(shape.mask, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    rows, first = np.nonzero(edges == 1)
    _, end = np.nonzero(edges == -1)
    half = FINE_M / 2
    west, east = ((part + shape.right) * FINE_M - half + at[0] for part in (first, end))
    north = at[1] - (rows + shape.down) * FINE_M + half
    squares = union_all(box(west, north - FINE_M, east, north))
    return squares.buffer(FINE_M).buffer(-1.2 * FINE_M).buffer(0.2 * FINE_M).simplify(1.5)


def _on(shape: BaseGeometry, deer: Sequence[tuple[str, BaseGeometry]]) -> Iterator[str]:
    """The cover and plots that lie under a shape."""
    for name, place in deer:
        if shape.intersection(place).area * M2_AC >= LEAST_AC:
            yield name


def _lonlat(grid: LocalGrid, flat: BaseGeometry) -> BaseGeometry:
    from pyproj import Transformer

    back = Transformer.from_crs(grid.crs, 4326, always_xy=True)
    return transform(flat, lambda p: np.column_stack(back.transform(p[:, 0], p[:, 1])))

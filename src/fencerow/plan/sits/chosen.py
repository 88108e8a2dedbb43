"""The best set of the sits that are entered, the winds without a place, and places for one more."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from fencerow.figure import Figure, work, work_parts
from fencerow.plan.ground import outline
from fencerow.plan.sits.frame import SITS
from fencerow.plan.sits.laid import shape_of
from fencerow.plan.sits.rests_on import inputs_of, wanted
from fencerow.plan.sits.siting_body import InSet, Proposal, SetOf
from fencerow.plan.sits.spots import Cells, Scene, Spots, eye_m
from fencerow.plan.sits.walkers import STIRRED
from fencerow.plan.sits.winds import record_of
from fencerow.science.ground import choosing, judging
from fencerow.science.ground.deer_ground import near
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.judging import Why
from fencerow.science.ground.lines import nearest_deg, nearest_yd
from fencerow.science.ground.position import saddles
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, Dwelling, PlaceBase, Plot, Timber
from fencerow.units import convert
from fencerow.words import say

LOOKED_AT = 40
"""Cells with the most travel in reach that are judged by scent."""
FINALISTS = 5
"""Of those the best that are judged whole."""
HEIGHT_FT = 18.0
"""A proposed place is judged at this height of the platform."""
MOST_TRAVEL = 0.35
"""Of the most travelled ground in reach; with less a cell is not proposed."""


def best_of(scene: Scene, spots: Spots, sits: list[Kept[PlaceBase]]) -> SetOf | None:
    """The sits in the order in which each adds most hours; none without a record."""
    if scene.hours is None:
        return None
    worth = spots.ledger.chance[Why.RIGHT]
    own: Mapping[str, Figure] = {k.body.name: outline(k) for k in sits}
    parts = work_parts(choosing.best_set, own, worth=worth, count=len(sits))
    chosen = parts.result
    members = {
        sits[place].id: InSet(
            sits[place].body.name,
            parts.figure(lambda c, n=n: c.added[n], "count"),  # type: ignore[misc]
        )
        for n, place in enumerate(chosen.order)
    }
    first = work_parts(choosing.best_set, own, worth=worth, count=min(2, len(sits)))
    hourly = scene.ground.frame.hourly
    assert hourly is not None, "hours come from a record"
    return SetOf(
        record=record_of(hourly),
        members=members,
        served=parts.figure(lambda c: float(sum(c.added)), "count"),
        bound=first.figure(lambda c: c.bound, "count"),
        known=parts.figure(lambda _: int(worth.shape[1]), "count"),
        unserved=_unserved(scene, worth, own),
    )


def _unserved(scene: Scene, worth: Floats, own: Mapping[str, Figure]) -> Figure | None:
    """The winds for which there is no place."""
    hours = scene.hours
    assert hours is not None, "hours come from a record"
    least = scene.ground.frame.given.tables["siting_settings"].row("served").figure("factor")
    parts = work_parts(
        choosing.unserved_winds, {**own, "served_share": least}, worth=worth,
        from_deg=hours.from_deg, wind_m_s=hours.wind_m_s, served_share=least.number(),
    )  # fmt: skip
    return parts.figure(lambda arcs: arcs, "text") if parts.result else None


def proposals(
    scene: Scene, spots: Spots | None, sits: list[Kept[PlaceBase]]
) -> dict[str, Proposal]:
    """Cells for one more treestand: with cover, on travel, setbacks kept, adding most hours."""
    cells, travel, most = _looked_at(scene)
    if not cells[0].size:
        return {}
    first = _spots(scene, cells, hidden_ways=False)
    right = first.ledger.chance[Why.RIGHT].mean(1) if scene.hours else first.steady.mean(1)
    best = np.argsort(-right * travel, kind="stable")[:FINALISTS]
    last = _spots(scene, (cells[0][best], cells[1][best]))
    share = travel[best]
    worth = last.ledger.chance[Why.RIGHT] if scene.hours else last.steady
    begun: NDArray[np.float64] = np.zeros((0, worth.shape[1]))
    if spots is not None:
        begun = spots.ledger.chance[Why.RIGHT] if scene.hours else spots.steady
    count = int(scene.ground.setting("proposals", "tests_count"))
    weighed = np.concatenate((begun, worth * share[:, None]))
    chosen = choosing.best_set(weighed, count, tuple(range(len(begun))))
    order = [p - len(begun) for p, adds in zip(chosen.order, chosen.added, strict=True) if adds > 0]
    return {
        f"proposal-{n}": _proposal(scene, last, spot, n, share[spot], begun, most)
        for n, spot in enumerate(order, 1)
    }


def _spots(scene: Scene, cells: tuple[Any, Any], hidden_ways: bool = True) -> Spots:
    up = [eye_m(HEIGHT_FT, scene.ground)] * cells[0].size
    return Spots(scene, cells, up, np.zeros(cells[0].size), hidden_ways, False)


def _looked_at(scene: Scene) -> tuple[tuple[Any, Any], Floats, float]:
    """Cells that may be proposed, apart from each other, how much travel lies in reach of each (of
    the most), and how much that most is."""
    ground = scene.ground
    rows, columns = np.nonzero(_allowed(scene))
    travel = travel_near(scene, (rows, columns))
    most = float(travel.max(initial=0.0))
    if most <= 0:
        return (rows[:0], columns[:0]), travel[:0], 0.0
    kept: list[int] = []
    apart = ground.metres("apart") / ground.cell_m
    for n in np.argsort(-travel, kind="stable").tolist():
        if travel[n] < MOST_TRAVEL * most or len(kept) == LOOKED_AT:
            break
        if all(np.hypot(rows[n] - rows[k], columns[n] - columns[k]) >= apart for k in kept):
            kept.append(n)
    return (rows[kept], columns[kept]), travel[kept] / most, most


def travel_near(scene: Scene, cells: Cells) -> Floats:
    """How much travel lies within the shortest reach of some cells."""
    ground, reaches = scene.ground, scene.ground.frame.reaches
    yards = reaches[0][1].number() if reaches else ground.setting("in-range", "within_yd")
    return near(ground.travel, ground.cell_m, convert(yards, "yd", "m"), *cells)


def _allowed(scene: Scene) -> Mask:
    """Cells with trees or cover, inside the boundary, out of setbacks, apart from sits."""
    from scipy.ndimage import binary_erosion, distance_transform_edt

    ground = scene.ground
    frame = ground.frame
    trees = ground.mask([shape_of(k) for k in frame.drawn(Timber, Cover)])
    off = max(1, round(ground.metres("off-boundary") / ground.cell_m))
    allowed = trees & binary_erosion(ground.inside, iterations=off, border_value=0)
    allowed &= np.isfinite(ground.slowness)

    def away(shapes: list[BaseGeometry], metres: float) -> Mask:
        there = ground.mask(shapes)
        if not there.any():
            return np.ones(there.shape, bool)
        far = distance_transform_edt(~there) * ground.cell_m
        return np.asarray(far >= metres)

    for kept in frame.drawn(Dwelling):
        setback = getattr(kept.body, "setback_yd", None)
        # where no setback is entered nothing within the danger's own distance is proposed
        if setback is None:
            setback = frame.setting("dwelling", "within_yd").number()
        allowed &= away([shape_of(kept)], convert(setback, "yd", "m"))
    return allowed & away([shape_of(k) for k in frame.drawn(*SITS)], ground.metres("apart"))


def _proposal(
    scene: Scene, spots: Spots, spot: int, number: int, share: float, begun: Floats, most: float
) -> Proposal:
    ground, cell = scene.ground, spots.each[spot]
    inputs = inputs_of(scene)
    at = Point(ground.lonlat(*np.array([cell], float).T)[0])
    judged = work_parts(judging.judge, inputs, **spots.judged) if scene.hours else None
    here = work_parts(choosing.spot_in_reach, inputs, shape=at, travel_share=share)
    spot_figure = here.figure(lambda s: s.shape, "shape")
    place, off = _nearest(scene, spot_figure)
    right = adds = None
    if judged is not None:
        worth = judged.result.chance[Why.RIGHT, spot]
        right = judged.figure(lambda _: float(worth.sum()), "count")
        gained = float(np.maximum(worth - np.max(begun, axis=0, initial=0.0), 0).sum())
        adds = judged.figure(lambda _: gained, "count")
    way = spots.way(spot, STIRRED, 0)
    minutes = None
    if way is not None:
        minutes = here.figure(lambda _: way.minutes, "min")
    return Proposal(
        name=say("siting-proposal", number=number),
        spot=spot_figure,
        inside=_inside(scene, spot_figure),
        near=place.body.name,
        off=off,
        bearing=work(nearest_deg, sit=outline(place), shape=spot_figure),
        wants=wanted(scene, spots, spot, {"shape": spot_figure}),
        travel=here.figure(lambda s: 100 * s.travel_share, "pct"),
        right=right,
        adds=adds,
        minutes=minutes,
        reasons=tuple(_reasons(scene, cell)),
    )


def _reasons(scene: Scene, cell: tuple[int, int]) -> list[str]:
    """What else speaks for a cell: a pinch of travel, a saddle, the edge of trees, sign."""
    ground = scene.ground
    wide = max(1, round(convert(30.0, "yd", "m") / ground.cell_m))
    around = tuple(slice(max(0, c - wide), c + wide + 1) for c in cell)
    found = []
    pinch = ground.pinch
    if pinch[around].max() >= 0.5 * pinch.max() > 0:
        found.append("siting-pinch")
    if not ground.level and saddles(ground.grid.elevation_m, ground.cell_m, 3)[around].any():
        found.append("siting-saddle")
    kinds = ground.kinds["cover_share"][around] + ground.kinds["food_share"][around]
    if kinds.min() < kinds.max():
        found.append("siting-edge")
    return found


def _inside(scene: Scene, spot: Figure) -> str:
    """The cover or timber that a spot lies in."""
    places = scene.ground.frame.drawn(Cover, Timber)
    return next((k.body.name for k in places if shape_of(k).covers(spot.value)), "")


def _nearest(scene: Scene, spot: Figure) -> tuple[Kept[PlaceBase], Figure]:
    """The plot that a spot lies nearest to, and how far off; where none is drawn, the cover."""
    frame = scene.ground.frame
    near = list(frame.drawn(Plot)) or list(frame.drawn(Cover, Timber))
    found = [(work(nearest_yd, sit=spot, shape=outline(k)), k) for k in near]
    off, place = min(found, key=lambda pair: (pair[0].number(), pair[1].id))
    return place, off

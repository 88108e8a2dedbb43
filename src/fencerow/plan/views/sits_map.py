"""The season's map of sits: the ground, the sits and their ways in, and what siting found there."""

from __future__ import annotations

import numpy as np
from shapely import box, union_all
from shapely.geometry.base import BaseGeometry

from fencerow.plan.ruled import Ruled, columns
from fencerow.plan.show import brief, text, unchecked_mark
from fencerow.plan.sits.chosen import MOST_TRAVEL
from fencerow.plan.sits.siting_body import Judged, Siting, Surface
from fencerow.plan.sketch import SHARES, WAY, Key, Outline, Sketch, View
from fencerow.plan.views.sketched import (
    Ground,
    bar,
    base_of,
    key_of,
    keys,
    spot_of,
    whole_tract,
)
from fencerow.science.ground.grid import Floats
from fencerow.tract.model import Tract
from fencerow.words import say

STEPS = (0.5, 0.75, 0.9)
"""Shares of the season's hours from which lines stand closer."""
FINER = 3
WAY_M = 8.0


def sits_map(siting: Siting, tract: Tract) -> tuple[Sketch, ...]:
    """The map of a tract's sits; none where nothing is drawn."""
    ground = whole_tract(tract)
    if ground is None or not (siting.places or siting.surface):
        return ()
    base = base_of(tract, ground)
    ways = [o for place in siting.places.values() for o in _way(ground, place)]
    found = [] if siting.surface is None else shares(ground, siting.surface)
    proposed = tuple(
        spot_of(ground, "proposal", p.spot.value, p.name) for p in siting.proposals.values()
    )
    view = View(say("sketch-map"), _told(siting), (*found, *ways), proposed, about="")
    forms = [(o.look, "area") for o in found] + ([(WAY, "line")] if ways else [])
    own = (*keys(dict(forms).items()), *([_proposed()] if proposed else []))
    return (
        Sketch(say("sketch-map"), ground.wide, ground.high, 0.0, bar(ground), base, (view,),
               (*own, *key_of(base)), _table(siting)),
    )  # fmt: skip


def _proposed() -> Key:
    return Key("proposal", say("sketch-key-proposal"), "sign")


def _way(ground: Ground, place: Judged) -> list[Outline]:
    """The way in of the winds that serve most hours."""
    first = next(iter(place.ways.values()), None)
    if first is None:
        return []
    return [ground.outline(WAY, ground.flat(first.line.value).simplify(WAY_M), False)]


def shares(ground: Ground, surface: Surface) -> list[Outline]:
    """Ground by how many hours can be sat in there, where deer are taken to pass in reach."""
    share, known = _finer(surface.share), np.isfinite(surface.share)
    there = np.kron(known, np.ones((FINER, FINER))) > 0
    there &= _finer(surface.travel) >= MOST_TRAVEL
    found = []
    for n, least in enumerate(STEPS):
        up = STEPS[n + 1] if n + 1 < len(STEPS) else 2.0
        shape = _area(surface, there & (share >= least) & (share < up))
        outline = ground.outline(SHARES[n], _moved(ground, surface, shape), True)
        if outline.runs:
            found.append(outline)
    return found


def _finer(share: Floats) -> Floats:
    """Shares between the middles of squares; at a rim those of the square itself."""
    from scipy.ndimage import distance_transform_edt, map_coordinates

    gaps = ~np.isfinite(share)
    near = distance_transform_edt(gaps, return_distances=False, return_indices=True)
    whole = share[tuple(near)]
    rows, columns = (np.arange(n * FINER) / FINER - (FINER - 1) / (2 * FINER) for n in share.shape)
    at = np.meshgrid(rows, columns, indexing="ij")
    return np.asarray(map_coordinates(whole, at, order=1, mode="nearest"))


def _area(surface: Surface, mask: np.ndarray) -> BaseGeometry:
    """Fine squares as one shape, its corners rounded; metres east and south of the first."""
    side = surface.grid.cell_m / FINER
    edges = np.diff(np.pad(mask, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    rows, first = np.nonzero(edges == 1)
    _, end = np.nonzero(edges == -1)
    shape = union_all(box(first * side, rows * side, end * side, (rows + 1) * side))
    return shape.buffer(-0.4 * side).buffer(0.9 * side).buffer(-0.5 * side).simplify(side / 5)


def _moved(ground: Ground, surface: Surface, shape: BaseGeometry) -> BaseGeometry:
    from shapely.affinity import translate

    return translate(shape, surface.grid.x0 - ground.west, ground.north - surface.grid.y0)


def _told(siting: Siting) -> str:
    if siting.surface is None:
        return say("sketch-map-told-none")
    parts = [say("sketch-map-told")]
    if siting.proposals:
        parts.append(say("sketch-map-told-look"))
    return " ".join(parts)


def _table(siting: Siting) -> Ruled:
    """Each sit with its winds, its share of hours and its way in."""
    rows = []
    for place in siting.places.values():
        way = next(iter(place.ways.values()), None)
        minutes = brief(way.minutes) + unchecked_mark(way.minutes) if way else ""
        wants = brief(place.wants) + unchecked_mark(place.wants)
        shares = [
            (s.name, text(s.whole.share) + unchecked_mark(s.whole.share))
            for s in place.seasons.values()
        ]
        rows += [(place.name, wants, *told, minutes) for told in shares or [("", "")]]
    heads = columns("sit", "wants+", "season", "share#", "in-min#", of="siting-")
    return Ruled(heads, tuple(rows))

"""Siting: how often each sit can be sat in unsmelled and unseen, which together, and one more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from fencerow.figure import Entered, Figure, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.ground import outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.sits.chosen import best_of, proposals
from fencerow.plan.sits.drifts import drift_tests, local_turn
from fencerow.plan.sits.footprints import steady_prints
from fencerow.plan.sits.frame import SITS, Frame
from fencerow.plan.sits.judged import Teller
from fencerow.plan.sits.laid import shape_of
from fencerow.plan.sits.lines import height_of
from fencerow.plan.sits.rests_on import inputs_of, wanted
from fencerow.plan.sits.season_hours import season_hours
from fencerow.plan.sits.siting_body import Judged, Print, Siting
from fencerow.plan.sits.spots import Sat, Scene, Spots, eye_m
from fencerow.plan.sits.surface import surface_of
from fencerow.plan.sits.tract_ground import too_wide, tract_ground
from fencerow.science.ground import judging
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, Gate, NativeGrass, PlaceBase, Plot
from fencerow.units import convert


def siting_section(given: Given, _: Mapping[str, Section]) -> Section:
    """Siting of a tract. Reads places, seasons, hours, reaches, closings, sign and tests with
    milkweed, the elevation grid, and the hourly record where there is one."""
    frame = Frame(given)
    empty = Section("siting", Siting({}, None, {}))
    sits = list(frame.drawn(*SITS))
    if not sits and not list(frame.drawn(Cover)):
        return empty
    if too_wide(frame):
        return Section("siting", empty.body, (Said.of(Weight.DOUBT, "siting", "siting-too-wide"),))
    ground = tract_ground(frame)
    if ground is None:
        said = [Said.of(Weight.NOTE, "siting", "siting-ask-cover")] if sits else []
        return Section("siting", empty.body, tuple(said))
    reach = frame.setting("scent-reach", "within_yd")
    scene = Scene(ground, convert(reach.number(), "yd", "m"), season_hours(frame))
    places, spots = _places(scene, sits)
    best = best_of(scene, spots, sits) if spots is not None else None
    found = proposals(scene, spots, sits)
    body = Siting(places, best, found, surface_of(scene), _prints(scene, spots, sits))
    kept = Sat(scene, tuple(k.id for k in sits), spots)
    return Section("siting", body, tuple(_said(scene, body)), kept)


def _places(scene: Scene, sits: list[Kept[PlaceBase]]) -> tuple[dict[str, Judged], Spots | None]:
    """The sits judged together, and the spots they stand on; none where none is drawn."""
    ground = scene.ground
    if not sits:
        return {}, None
    cells = [ground.cell_of(shape_of(k)) for k in sits]
    tests = [drift_tests(scene, k.id, c) for k, c in zip(sits, cells, strict=True)]
    turns = [local_turn(scene, t) for t in tests]
    rows, columns = (np.array(part) for part in zip(*cells, strict=True))
    heights = [height_of(k) for k in sits]
    up = [eye_m(h.number() if h.known else 0.0, ground) for h in heights]
    spots = Spots(scene, (rows, columns), up, np.array([t.number() if t else 0.0 for t in turns]))
    inputs = inputs_of(scene)
    parts = work_parts(judging.judge, inputs, **spots.judged) if scene.hours is not None else None
    teller = Teller(spots, inputs, parts)
    found = {}
    for n, kept in enumerate(sits):
        own = {"sit": outline(kept), "height_ft": heights[n]}
        if (turn := turns[n]) is not None:
            own["turn_deg"] = turn
        found[kept.id] = Judged(
            name=kept.body.name,
            wants=wanted(scene, spots, n, own),
            seasons=teller.seasons(n, own),
            ways=teller.ways(n, own),
            tests=tests[n],
            turn=turns[n],
        )
    return found, spots


def _prints(
    scene: Scene, spots: Spots | None, sits: list[Kept[PlaceBase]]
) -> dict[str, dict[str, Print]]:
    if spots is None:
        return {}
    least = scene.ground.setting("wanted", "factor")
    rights = spots.steady >= least - 1e-9
    return {k.id: steady_prints(scene, k, r) for k, r in zip(sits, rights, strict=True)}


def _said(scene: Scene, body: Siting) -> Iterator[Said]:
    """What is assumed and what is missing, with what it would add."""
    ground = scene.ground
    frame = ground.frame
    reach = frame.setting("scent-reach", "within_yd")
    wind = Amount(convert(3.0, "m_s", "mph"), "mph")
    yield Said.of(Weight.DOUBT, "siting", "siting-scent", reach=amount(reach), wind=wind)
    cell = amount(Figure(convert(ground.cell_m, "m", "yd"), "yd", Entered("tract", "cell_m")))
    yield Said.of(Weight.NOTE, "siting", "siting-squares", cell=cell)
    if ground.level:
        yield Said.of(Weight.DOUBT, "siting", "siting-ask-elevation")
    elif ground.part_level:
        yield Said.of(Weight.DOUBT, "siting", "siting-part-elevation")
    share = float(ground.kinds["mapped"][ground.inside].mean())
    if share > 0:
        yield Said.of(Weight.DOUBT, "siting", "siting-mapped", share=max(1, round(100 * share)))
    if ground.brush_measured:
        yield Said.of(Weight.NOTE, "siting", "siting-lidar-brush")
    if frame.hourly is None:
        yield Said.of(Weight.ASK, "siting", "siting-ask-hourly")
    elif scene.hours is not None and not scene.hours.clouds_known:
        yield Said.of(Weight.DOUBT, "siting", "siting-no-cloud")
    yield from _unknown(scene)
    if not any(frame.drawn(Cover, NativeGrass)):
        yield Said.of(Weight.ASK, "siting", "siting-ask-cover")
    if not any(frame.drawn(Plot)):
        yield Said.of(Weight.NOTE, "siting", "siting-ask-food")
    if not any(frame.drawn(Gate)):
        yield Said.of(Weight.ASK, "siting", "siting-ask-gate")
    for id_, place in body.places.items():
        if not place.wants.value:
            yield Said.of(Weight.CAUTION, id_, "siting-no-wind", place=place.name)
        if body.places and ground.gates is not None and not place.ways:
            yield Said.of(Weight.CAUTION, id_, "siting-no-way", place=place.name)


def _unknown(scene: Scene) -> Iterator[Said]:
    """The seasons of which the record does not know the wind of some hours."""
    for season in scene.ground.frame.seasons:
        left = scene.hours.unknown[season.id] if scene.hours is not None else 0
        if left:
            yield Said.of(
                Weight.NOTE, "siting", "siting-unknown", season.entry,
                season=season.body.name, hours=left,
            )  # fmt: skip

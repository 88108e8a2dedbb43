"""The range card's lines: from a sit to every mock scrape, plot edge and lane in reach."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.figure import Figure, assume, work
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground import lines
from fencerow.tract.model import Kept
from fencerow.tract.places import Blind, Lane, MockScrape, PlaceBase, Plot
from fencerow.words import say


@dataclass(frozen=True)
class RangeLine:
    """One line of a range card; `within` names the arms that reach so far."""

    name: str
    kind: str
    distance: Figure
    bearing: Figure
    drop: Figure
    slant: Figure
    off_level: Figure
    level: Figure
    within: tuple[str, ...]


def range_lines(frame: Frame, sit: Kept[PlaceBase]) -> dict[str, RangeLine]:
    """The lines of one sit within the farthest reach that is entered, the nearest first."""
    if not frame.reaches:
        return {}
    farthest = frame.reaches[-1][1].number()
    found = {
        key: _line(frame, sit, kept, name, shape, distance)
        for key, kept, name, shape in _targets(frame, sit)
        if (distance := work(lines.nearest_yd, sit=outline(sit), shape=shape)).number() <= farthest
    }
    return dict(sorted(found.items(), key=lambda item: item[1].distance.number()))


def _targets(
    frame: Frame, sit: Kept[PlaceBase]
) -> Iterator[tuple[str, Kept[PlaceBase], str, Figure]]:
    """Key, place, name and outline of what is shot at: of a lane both its near and its far end."""
    for kept in frame.drawn(MockScrape):
        yield kept.id, kept, kept.body.name, outline(kept)
    for kept in frame.drawn(Plot):
        yield kept.id, kept, say("sits-edge", place=kept.body.name), _edge(kept)
    for kept in frame.drawn(Lane):
        near, end = _edge(kept), work(lines.far_end, sit=outline(sit), shape=outline(kept))
        # a lane that begins at the sit is looked down, not across
        if work(lines.nearest_yd, sit=outline(sit), shape=near).number() >= lines.HERE_YD:
            yield kept.id, kept, kept.body.name, near
        yield f"{kept.id}-end", kept, say("sits-far-end", place=kept.body.name), end


def _edge(kept: Kept[PlaceBase]) -> Figure:
    return work(lines.edge, shape=outline(kept))


def _line(
    frame: Frame, sit: Kept[PlaceBase], kept: Kept[PlaceBase], name: str, shape: Figure,
    distance: Figure,
) -> RangeLine:  # fmt: skip
    here = outline(sit)
    drop = work(
        lines.drop_ft,
        height_ft=height_of(sit),
        ground_fall_ft=_ground_fall(frame, here, shape),
    )
    slant = work(lines.slant_yd, map_yd=distance, drop_ft=drop)
    off_level = work(lines.off_level_deg, map_yd=distance, slant_yd=slant)
    return RangeLine(
        name=name,
        kind=kind_of(kept.body),
        distance=distance,
        bearing=work(lines.nearest_deg, sit=here, shape=shape),
        drop=drop,
        slant=slant,
        off_level=off_level,
        level=work(lines.level_yd, slant_yd=slant, off_level_deg=off_level),
        within=tuple(
            r.body.arm for r, reach in frame.reaches if distance.number() <= reach.number()
        ),
    )


def height_of(sit: Kept[PlaceBase]) -> Figure:
    """How high a sit's platform stands; a blind without one stands on the ground."""
    if isinstance(sit.body, Blind) and sit.body.height_ft is None:
        return assume(0.0, "ft", "sits-on-ground")
    return sit.figure("height_ft")


def _ground_fall(frame: Frame, here: Figure, shape: Figure) -> Figure:
    if frame.relief is None:
        return assume(0.0, "ft", "sits-level-ground")
    return work(lines.ground_fall_ft, grid=frame.relief, sit=here, shape=shape)

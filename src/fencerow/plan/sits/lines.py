"""The range card's lines: from a sit to every mock scrape, plot edge and lane in reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure, assume, work
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.light import SunDay, blinding
from fencerow.science.ground import lines
from fencerow.tract.model import Kept
from fencerow.tract.places import Blind, Lane, MockScrape, PlaceBase, Plot
from fencerow.words import say

HAIR_YD = 0.01
"""What is cut off at the reach may lie this far beyond it."""


@dataclass(frozen=True)
class RangeLine:
    """One line of a range card; `within` names the arms that reach so far.

    `distance` is on the map and `slant` along the line of sight. A lane that is looked across has a
    `far` end as well; what is wider than a line is an `arc`. `sun` says, by day, when the sun
    stands behind it.
    """

    name: str
    kind: str
    distance: Figure
    bearing: Figure
    drop: Figure
    slant: Figure
    off_level: Figure
    level: Figure
    within: tuple[str, ...]
    falls: Figure
    far: Figure | None = None
    arc: Figure | None = None
    sun: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True)
class Target:
    """Something that is shot at: its place and name, the outline that is aimed at, its far end."""

    kept: Kept[PlaceBase]
    name: str
    shape: Figure
    far: Figure | None = None


def range_lines(
    frame: Frame, sit: Kept[PlaceBase], days: Mapping[str, SunDay]
) -> dict[str, RangeLine]:
    """The lines of one sit within the farthest reach that is entered, the nearest first."""
    if not frame.reaches:
        return {}
    farthest = frame.reaches[-1][1].number()
    found = {
        target.kept.id: _line(frame, sit, target, distance, days)
        for target in _targets(frame, sit)
        if target.shape.known
        and (distance := _off(sit, target.shape)).number() <= farthest + HAIR_YD
    }
    return dict(sorted(found.items(), key=lambda item: item[1].distance.number()))


def _off(sit: Kept[PlaceBase], shape: Figure) -> Figure:
    return work(lines.nearest_yd, sit=outline(sit), shape=shape)


def _targets(frame: Frame, sit: Kept[PlaceBase]) -> Iterator[Target]:
    """What is shot at: of a lane one line, to where it begins, with how far it is open."""
    for kept in frame.drawn(MockScrape):
        yield Target(kept, kept.body.name, outline(kept))
    for kept in frame.drawn(Plot):
        yield Target(kept, say("sits-edge", place=kept.body.name), _edge(kept))
    reach = frame.reaches[-1][1]
    for kept in frame.drawn(Lane):
        end = work(lines.far_end, sit=outline(sit), shape=outline(kept), within_yd=reach)
        if _off(sit, _edge(kept)).number() >= lines.HERE_YD:
            yield Target(kept, kept.body.name, _edge(kept), end)
        else:  # a lane that begins at the sit is looked down, not across
            yield Target(kept, say("sits-far-end", place=kept.body.name), end)


def _edge(kept: Kept[PlaceBase]) -> Figure:
    return work(lines.edge, shape=outline(kept))


def _line(
    frame: Frame, sit: Kept[PlaceBase], target: Target, distance: Figure,
    days: Mapping[str, SunDay],
) -> RangeLine:  # fmt: skip
    here = outline(sit)
    fall = _ground_fall(frame, here, target.shape)
    drop = work(lines.drop_ft, height_ft=height_of(sit), ground_fall_ft=fall)
    slant = work(lines.slant_yd, map_yd=distance, drop_ft=drop)
    off_level = work(lines.off_level_deg, map_yd=distance, slant_yd=slant)
    bearing = work(lines.nearest_deg, sit=here, shape=target.shape)
    return RangeLine(
        name=target.name,
        kind=kind_of(target.kept.body),
        distance=distance,
        bearing=bearing,
        drop=drop,
        slant=slant,
        off_level=off_level,
        level=work(lines.level_yd, slant_yd=slant, off_level_deg=off_level),
        within=tuple(
            r.body.arm for r, reach in frame.reaches if distance.number() <= reach.number()
        ),
        falls=work(lines.ground_falls_deg, map_yd=distance, ground_fall_ft=fall),
        far=None if target.far is None else _off(sit, target.far),
        arc=_arc(frame, sit, target.kept),
        sun=blinding(frame, bearing, days) if bearing.known else {},
    )


def _arc(frame: Frame, sit: Kept[PlaceBase], kept: Kept[PlaceBase]) -> Figure | None:
    """The directions that something takes up within reach; None where a line is wide enough."""
    if isinstance(kept.body, MockScrape):
        return None
    arc = work(
        lines.seen_toward,
        sit=outline(sit),
        shape=outline(kept),
        within_yd=frame.reaches[-1][1],
        half_width_deg=assume(0.0, "deg", "sits-no-half-width"),
    )
    wide = frame.setting("wide-lane", "by_deg").number()
    return arc if sum(width for _, width in arc.value.spans) >= wide else None


def height_of(sit: Kept[PlaceBase]) -> Figure:
    """How high a sit's platform stands; a blind without one stands on the ground."""
    if isinstance(sit.body, Blind) and sit.body.height_ft is None:
        return assume(0.0, "ft", "sits-on-ground")
    return sit.figure("height_ft")


def _ground_fall(frame: Frame, here: Figure, shape: Figure) -> Figure:
    if frame.relief is None:
        return assume(0.0, "ft", "sits-level-ground")
    return work(lines.ground_fall_ft, grid=frame.relief, sit=here, shape=shape)

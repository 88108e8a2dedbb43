"""Directions ruled out from a sit: toward dwellings, public roads, the boundary, other sits.

Only what is entered is known. That a direction is not ruled out says nothing about it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.figure import Figure, work
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.sits.frame import SITS, Frame
from fencerow.science.ground import lines
from fencerow.tract.model import Kept
from fencerow.tract.places import Boundary, Dwelling, PlaceBase, Road


@dataclass(frozen=True)
class RuledOut:
    """What rules directions out, how far off it is, and which directions."""

    name: str
    kind: str
    distance: Figure
    directions: Figure


def ruled_out(frame: Frame, sit: Kept[PlaceBase]) -> dict[str, RuledOut]:
    """What rules directions out from one sit, the nearest first."""
    found = {
        kept.id: RuledOut(
            name=kept.body.name,
            kind=kind_of(kept.body),
            distance=work(lines.nearest_yd, sit=outline(sit), shape=shape),
            directions=work(
                lines.seen_toward,
                sit=outline(sit),
                shape=shape,
                within_yd=within,
                half_width_deg=frame.setting("shot-half-width", "by_deg"),
            ),
        )
        for kept, shape, within in _dangers(frame, sit)
    }
    standing = {i: r for i, r in found.items() if r.directions.value}
    return dict(sorted(standing.items(), key=lambda item: item[1].distance.number()))


def _dangers(
    frame: Frame, sit: Kept[PlaceBase]
) -> Iterator[tuple[Kept[PlaceBase], Figure, Figure]]:
    """What may lie in a line of fire, its outline, and within what distance it counts."""
    for kept in frame.drawn(Dwelling):
        yield kept, outline(kept), frame.setting("dwelling", "within_yd")
    for kept in frame.drawn(Road):
        # a road is taken for a public one until the person says that it is none
        if getattr(kept.body, "public", None) is not False:
            yield kept, outline(kept), frame.setting("road", "within_yd")
    for kept in frame.drawn(Boundary):
        if frame.reaches:
            yield kept, work(lines.edge, shape=outline(kept)), frame.reaches[-1][1]
    for kept in frame.drawn(*SITS):
        if kept.id != sit.id:
            yield kept, outline(kept), frame.setting("sit", "within_yd")

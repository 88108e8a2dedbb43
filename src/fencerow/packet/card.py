"""The range card as a drawing: the sit in the middle, one labelled line to each place in reach.

Lines are scaled so that near ones stay apart: what counts is the number on each. North is up.
"""

from __future__ import annotations

from math import cos, radians, sin, sqrt
from typing import Any

from fencerow.packet.map import Box, around, meet
from fencerow.plan.plan import Plan
from fencerow.plan.show import brief
from fencerow.plan.sits.lines import RangeLine
from fencerow.plan.sits.planner import SitPlace

SIZE_MM = 58.0
_LETTER_MM, _LINE_MM = 1.5, 3.6


def draw_cards(plan: Plan) -> dict[str, dict[str, Any]]:
    """A drawing for each sit that has something in reach, by the id of its sheet."""
    body: dict[str, SitPlace] = plan.sections["sits"].body
    return {f"sit.{i}": _card(place) for i, place in body.items() if _known(place)}


def _known(place: SitPlace) -> list[RangeLine]:
    return [n for n in place.lines.values() if n.distance.known and n.bearing.known]


def _card(place: SitPlace) -> dict[str, Any]:
    lines = _known(place)
    farthest = max(line.distance.number() for line in lines)
    middle = SIZE_MM / 2
    taken: list[Box] = [around((middle, middle), 3.0, 3.0)]
    drawn = [_line(line, farthest, middle, taken) for line in lines]
    return {"size": SIZE_MM, "kind": place.kind, "lines": drawn}


def _line(line: RangeLine, farthest: float, middle: float, taken: list[Box]) -> dict[str, Any]:
    """One line's end and the place of its words; roots keep near lines long enough to read."""
    length = middle * 0.62 * max(0.3, sqrt(line.distance.number() / farthest))
    angle = radians(line.bearing.number())
    x, y = middle + length * sin(angle), middle - length * cos(angle)
    words = [brief(line.distance), line.name]
    wide = _LETTER_MM * max(map(len, words)) / 2
    spot = _room(x, y, sin(angle), -cos(angle), wide, taken)
    return {"x": round(x, 2), "y": round(y, 2), "label": spot, "words": words,
            "bow": len(line.within) > 1}  # fmt: skip


def _room(
    x: float, y: float, east: float, south: float, wide: float, taken: list[Box]
) -> list[float]:
    """The centre of the words: beyond the line's end, farther out until they cover no others."""
    for step in range(24):
        # first outward, then to and fro across the line
        out, side = 3.0 + 2.0 * (step % 4), (step // 4 + 1) // 2 * 5.0 * (-1) ** (step // 4)
        spot = (
            _inside(x + east * (out + wide * abs(east)) - south * side, wide),
            _inside(y + south * (out + _LINE_MM) + east * side, _LINE_MM),
        )
        box = around(spot, wide, _LINE_MM)
        if not any(meet(box, other) for other in taken):
            break
    taken.append(box)
    return [round(v, 2) for v in spot]


def _inside(at: float, half: float) -> float:
    """A centre kept so far from the edge of the drawing that the words stay on it."""
    return min(max(at, half), SIZE_MM - half)

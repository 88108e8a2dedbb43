"""Closed ground as a sheet: who may go in, by which way, on which wind; what is still wanted."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.closed_ground.inside import Goal, Inside, Way
from fencerow.plan.closed_ground.wanted import Choice
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say

MOST_WAYS = 2
"""Ways to a place that are told here; its range card has all."""


def closed_sheet(plan: Plan) -> Sheet:
    """When the ground is closed, the ways in, and what is still planned inside."""
    closed: Mapping[str, ClosedGround] = plan.sections["closed"].body
    inside: Mapping[str, Inside] = plan.sections["inside"].body
    tables = (_closings(closed), _goals(closed, inside), _wanted(inside))
    said = by_weight([*plan.sections["closed"].said, *plan.sections["inside"].said])
    return Sheet("closed", say("view-closed"), "", tables, said)


def _closings(closed: Mapping[str, ClosedGround]) -> Ruled:
    rows = tuple(
        (
            brief(c.closes),
            brief(c.opens),
            ", ".join(c.places) or say("view-all-ground"),
            c.who or say("view-nobody-named"),
            ", ".join(c.routes),
            ", ".join(c.winds),
        )
        for c in closed.values()
    )
    heads = columns("closes", "opens", "where+", "may-enter", "closed-by", "closed-winds")
    return Ruled(heads, rows, about=tuple(closed))


def _goals(closed: Mapping[str, ClosedGround], inside: Mapping[str, Inside]) -> Ruled:
    """Each place inside, its winds and its ways; a closing's own winds go before all."""
    rows = []
    for id_, found in inside.items():
        own = ", ".join(closed[id_].winds)
        for goal in found.goals.values():
            ways = list(goal.ways.values())[:MOST_WAYS]
            for n, way in enumerate(ways or [None]):
                head = (goal.name, goal.kind, _winds(goal, own)) if n == 0 else ("", "", "")
                rows.append((*head, *_way(way)))
    heads = columns("goal", "kind", "on", "way", "way-winds+", "way-length#", "way-minutes#",
                    of="closed-")  # fmt: skip
    return Ruled(heads, tuple(rows), say("closed-ways"))


def _winds(goal: Goal, own: str) -> str:
    if goal.winds is None:
        return own
    told = brief(goal.winds) + unchecked_mark(goal.winds)
    return Told(say("closed-winds-too", winds=told, own=own), goal.winds) if own else told


def _way(way: Way | None) -> tuple[str, ...]:
    if way is None:
        return say("closed-no-way"), "", "", ""
    if way.off is not None:
        return Told(say("closed-way-off", way=way.name, off=brief(way.off)), way.off), "", "", ""
    minutes = brief(way.minutes) + unchecked_mark(way.minutes)
    return say("closed-way-found"), way.winds, brief(way.length), minutes


def _wanted(inside: Mapping[str, Inside]) -> Ruled:
    rows = tuple(
        (brief(w.first), str(w.what), *(_choice(w.choices.get(n)) for n in
                                        ("before", "sit", "leave")))
        for found in inside.values()
        for w in found.wanted.values()
    )  # fmt: skip
    heads = columns("when", "task+", "before+", "on-a-sit+", "leave+", of="wanted-")
    return Ruled(heads, rows, say("wanted-view"))


def _choice(choice: Choice | None) -> str:
    if choice is None:
        return ""
    told = str(choice.what)
    return told if choice.figure is None else Told(told, choice.figure)

"""The ground as a sheet."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.plan.ground import GroundPlace
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import Told, brief, compass
from fencerow.words import say


def ground_sheet(plan: Plan) -> Sheet:
    places: dict[str, GroundPlace] = plan.sections["ground"].body
    rows = tuple(_place_row(p) for p in places.values())
    table = Ruled(columns("place+", "kind", "acres#", "around#", "slope#", "faces", "tested"), rows)
    permissions = tuple(_permission_rows(list(places.values())))
    tables = [table]
    if permissions:
        heads = columns("place", "permission+")
        tables.append(Ruled(heads, permissions, say("view-permissions")))
    plots = {k.id for k in plan.given.tract.plots()}
    said = tuple(s for s in plan.sections["ground"].said if s.about not in plots)
    return Sheet("ground", say("view-ground"), _ground_under(plan), tuple(tables), said)


def _permission_rows(places: list[GroundPlace]) -> Iterator[tuple[str, str]]:
    """What holds everywhere once, then what holds of some places, place by place."""
    everywhere = {
        text for p in places for text in p.permissions if all(text in o.permissions for o in places)
    }
    if len(places) > 1:
        yield from ((say("view-everywhere"), text) for text in sorted(everywhere))
    for place in places:
        for text in place.permissions:
            if len(places) == 1 or text not in everywhere:
                yield place.name, text


def _ground_under(plan: Plan) -> str:
    places: dict[str, GroundPlace] = plan.sections["ground"].body
    whole = [p for p in places.values() if p.kind == "boundary"]
    plots = sum(p.kind == "plot" for p in places.values())
    if not whole:
        return say("view-plots", plots=plots)
    return say("view-acres", acres=brief(whole[0].acres), plots=plots)


def _place_row(place: GroundPlace) -> tuple[str, ...]:
    age = place.test_age
    return (
        place.name,
        place.kind,
        brief(place.acres),
        brief(place.perimeter or place.length),
        brief(place.slope),
        compass(place.aspect),
        Told(say("view-months-ago", months=age.value), age) if age and age.known else "",
    )

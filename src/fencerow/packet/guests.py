"""Two pages that others read: the board at the gate, and the order for helpers and guests.

The order tells no place where somebody sits or watches. The board has to say where somebody would
be looked for; a place that is kept from others is named on neither.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fencerow.packet.map import draw_map
from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.closed_ground.whos_out import BACK, InOut, Out
from fencerow.plan.plan import Plan
from fencerow.plan.show import brief, value_text
from fencerow.science.ground.sun import clock_text
from fencerow.tract.bodies import Closing
from fencerow.tract.model import Kept
from fencerow.tract.places import (
    AccessRoute,
    Blind,
    Boundary,
    Camera,
    Lane,
    MockScrape,
    PlaceBase,
    SoilZone,
    Treestand,
)
from fencerow.words import name_of, say

UNNAMED = (Treestand, Blind, MockScrape, Camera, Lane)
"""What leads to where somebody sits or watches."""
BOARD_ROWS, MAP_MM = 17, 92.0
HEADS = ("who", "where", "what", "left", "by", "back")
RULES = ("in", "cover", "climb", "night", "late")


def guest_sheets(plan: Plan) -> Iterator[dict[str, Any]]:
    """The board, and the order; none for a tract that names nobody and closes nothing."""
    tract = plan.given.tract
    if tract.people or tract.closings or tract.outings:
        yield _board(plan)
        yield _order(plan)


def _board(plan: Plan) -> dict[str, Any]:
    """Who is expected or out as the day begins, and rows to write in."""
    body: InOut = plan.sections["inout"].body
    known = [o for o in body.people.values() if o.state != BACK][: BOARD_ROWS - 4]
    rows = [_line(plan, out) for out in sorted(known, key=lambda o: o.who)]
    rows += [[""] * len(HEADS)] * (BOARD_ROWS - len(rows))
    columns = [{"name": say(f"head-board-{h}"), "number": False, "wide": h == "where"}
               for h in HEADS]  # fmt: skip
    day = value_text(plan.given.as_of, "date")
    return {
        "id": "board", "title": say("packet-board"), "under": say("packet-board-under", day=day),
        "tables": [{"title": "", "columns": columns, "rows": rows}], "said": [],
        "lines": [say("packet-board-call"), say("packet-board-find")],
    }  # fmt: skip


def _line(plan: Plan, out: Out) -> list[str]:
    left, by = (clock_text(f.value) if f is not None else "" for f in (out.left, out.back_by))
    return [out.who, _where(plan, out), name_of(f"choice {out.what}"), left, by, ""]


def _where(plan: Plan, out: Out) -> str:
    """Where somebody goes, as far as everybody may read it."""
    ids = [i for i in (*out.places, out.route) if i]
    shown = [plan.given.tract.places[i] for i in ids]
    names = [k.body.name if k.visibility == "all" else say("packet-guests-kept") for k in shown]
    return ", ".join(dict.fromkeys(names))


def _order(plan: Plan) -> dict[str, Any]:
    """Closed ground on a map, from when until when, the ways, what to do."""
    kept = _not_over(plan)
    rows = closing_rows(plan)
    heads = (("closes", False), ("opens", False), ("where", True), ("may-enter", False))
    columns = [{"name": say(f"head-{h}"), "number": False, "wide": wide} for h, wide in heads]
    return {
        "id": "guests", "title": say("packet-guests"), "under": say("packet-guests-under"),
        "map": draw_map(plan, _open_to_all, _hatched(plan, list(kept.values())), MAP_MM,
                        ("access route",)),
        "tables": [{"title": say("packet-guests-closed"), "columns": columns, "rows": rows}],
        "none": "" if rows else say("packet-guests-open"),
        "routes": routes_told(plan), "routes_head": say("packet-guests-routes"),
        "hit": say("packet-guests-hit"),
        "rules_head": say("packet-guests-rules"),
        "rules": [say(f"packet-guests-{r}") for r in RULES],
        "lines_head": say("packet-guests-lines"),
        "lines": [say("packet-guests-blank"), say("packet-guests-nearest")],
        "said": [],
    }  # fmt: skip


def _not_over(plan: Plan) -> dict[str, Kept[Closing]]:
    closings = plan.given.tract.closings.values()
    return {k.id: k for k in closings if k.body.opens > plan.given.as_of}


def closing_rows(plan: Plan) -> list[list[str]]:
    """What closes when, where and to whom, as far as everybody may read it."""
    kept = _not_over(plan)
    closed: Mapping[str, ClosedGround] = plan.sections["closed"].body
    return [_closing(plan, kept[i], closed[i]) for i in closed if i in kept]


def _open_to_all(kept: Kept[PlaceBase]) -> bool:
    """Whether everybody may know where a place is."""
    return kept.visibility == "all" and not isinstance(kept.body, (*UNNAMED, SoilZone))


def _closing(plan: Plan, kept: Kept[Closing], closed: ClosedGround) -> list[str]:
    places = [plan.given.tract.places.get(i) for i in kept.body.places]
    names = [k.body.name for k in places if k is not None and _open_to_all(k)]
    where = ", ".join(names) if kept.body.places else say("view-all-ground")
    return [
        brief(closed.closes), brief(closed.opens), where or say("packet-guests-kept"),
        closed.who or say("view-nobody-named"),
    ]  # fmt: skip


def _hatched(plan: Plan, kept: list[Kept[Closing]]) -> frozenset[str]:
    """The places that are hatched: those that a closing names, else the boundary."""
    tract = plan.given.tract
    found = {i for k in kept for i in k.body.places}
    if any(not k.body.places for k in kept):
        found |= {i for i, k in tract.places.items() if isinstance(k.body, Boundary)}
    return frozenset(found)


def routes_told(plan: Plan) -> str:
    """The access routes by name, those that the closings name alone where they name some."""
    tract = plan.given.tract
    named = {i for k in tract.closings.values() for i in k.body.routes
             if k.body.opens > plan.given.as_of}  # fmt: skip
    routes = [
        k for k in sorted(tract.places.values(), key=lambda k: k.body.name)
        if isinstance(k.body, AccessRoute) and _open_to_all(k) and (not named or k.id in named)
    ]  # fmt: skip
    return ", ".join(
        f"{k.body.name} ({name_of(carries)})" if (carries := getattr(k.body, "carries", None))
        else k.body.name for k in routes
    )  # fmt: skip

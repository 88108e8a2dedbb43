"""What the ground page asks for: an area split by a line, and what is known of one place."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from fencerow.plan.order.buying import Buying
from fencerow.plan.permits import in_force, on_place
from fencerow.plan.plan import Plan
from fencerow.plan.show import text
from fencerow.plan.year import Year
from fencerow.science.ground.measure import area_ac
from fencerow.tract.bodies import Permission
from fencerow.tract.model import Kept
from fencerow.tract.read import dump
from fencerow.tract.shape import Shape
from fencerow.tract.split import split_area
from fencerow.web.desk import Desk
from fencerow.web.history import history
from fencerow.words import say


class Cut(BaseModel):
    """An area, and the line that is to split it; GeoJSON, lon/lat."""

    shape: Shape
    line: Shape


def add_ground(app: FastAPI, desk: Desk) -> None:
    """Add the routes of the ground page."""

    @app.post("/api/split")
    def split(asked: Cut) -> JSONResponse:
        parts = split_area(asked.shape, asked.line)
        return JSONResponse({"parts": [{"shape": _plain(p), "acres": area_ac(p)} for p in parts]})

    @app.get("/api/history")
    def told(place: str) -> JSONResponse:
        plan = desk.plan()
        year: Year = plan.sections["year"].body
        tasks = {id_: str(task.what) for id_, task in year.tasks.items()}
        zone = plan.given.tract.about.body.zone
        return JSONResponse(history(desk.store.entries(), place, zone, tasks))

    @app.get("/api/place")
    def known_of(place: str) -> JSONResponse:
        plan = desk.plan()
        if place not in plan.given.tract.places:
            raise HTTPException(404, say("web-not-there", path=place))
        permissions = [_permission(plan, place, p) for p in on_place(plan.given.tract, place)]
        return JSONResponse({"permissions": permissions, "cost": _cost(plan, place)})


def _plain(shape: Shape) -> dict[str, Any]:
    return {"type": shape.type, "coordinates": shape.coordinates}


def _permission(plan: Plan, place: str, kept: Kept[Permission]) -> dict[str, Any]:
    """A permission, why it speaks of this place, and whether the day of the plan is within it."""
    places = kept.body.places
    names = [plan.given.tract.places[p].body.name for p in places if p in plan.given.tract.places]
    if place in places:
        why = ""
    else:
        why = say("place-by-name", names=", ".join(names)) if places else say("place-by-tract")
    return {
        "id": kept.id,
        "body": dump("permission", kept.body),
        "why": why,
        "in_force": in_force(kept.body, plan.given.as_of),
    }


def _cost(plan: Plan, place: str) -> dict[str, str | None]:
    """What a place costs, as a cell with the way to its working."""
    buying: Buying = plan.sections["buy"].body
    cost = buying.plot_cost.get(place)
    if cost is None:
        return {"text": say("place-no-cost"), "path": None}
    return {"text": str(text(cost)), "path": plan.nodes.path_of.get(id(cost))}

"""What the ground page asks for: an area split by a line, and what is known of one place."""

from __future__ import annotations

from typing import Annotated

from fastapi import FastAPI
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, TypeAdapter, WithJsonSchema
from starlette.exceptions import HTTPException

from fencerow.manner import Manner, manner, shown_in
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
from fencerow.web import form
from fencerow.web.history import history
from fencerow.web.house import House
from fencerow.web.piece import AsJson
from fencerow.web.roles import Act
from fencerow.web.route import NOT_THERE, answers, asked, json_response
from fencerow.web.who import Asking
from fencerow.words import language, say

Geometry = Annotated[Shape, WithJsonSchema(TypeAdapter(form.Outline).json_schema())]


class Cut(BaseModel):
    """An area, and the line that is to split it; GeoJSON, lon/lat."""

    shape: Geometry
    line: Geometry


def add_ground(app: FastAPI, house: House) -> None:
    """Add the routes of the ground page."""

    @asked(app.post, "/api/split", Act.SEE, answers(form.Split))
    def split(asked: Cut) -> JSONResponse:
        parts = split_area(asked.shape, asked.line)
        return JSONResponse({"parts": [{"shape": _plain(p), "acres": area_ac(p)} for p in parts]})

    @asked(app.get, "/api/history", Act.SEE, answers(list[form.HistoryRow]))
    def told(place: str, person: Asking, units: Manner = Manner.US) -> JSONResponse:
        desk = house.desk
        with shown_in(units):
            tasks = desk.of_plan(tasks_of, levels=person.levels)
            record = desk.record(person.levels)
            zone = record.tract.about.body.zone
            return JSONResponse(history(record.log, place, zone, tasks))

    @asked(app.get, "/api/place", Act.SEE, answers(form.PlaceRecord) | NOT_THERE)
    def known_of(place: str, person: Asking) -> Response:
        told = house.desk.of_plan(AsJson(place_of), place, levels=person.levels)
        if told == b"null":
            raise HTTPException(404, say("web-not-there", path=place))
        return json_response(told)


def tasks_of(plan: Plan) -> dict[str, str]:
    """What there is to do, by id."""

    def tell(plan: Plan) -> dict[str, str]:
        year: Year = plan.sections["year"].body
        return {id_: str(task.what) for id_, task in year.tasks.items()}

    return plan.tell(f"tasks {manner()} {language()}", tell)


def place_of(plan: Plan, place: str) -> form.PlaceRecord | None:
    """What a plan knows of a place; None where there is none."""
    if place not in plan.given.tract.places:
        return None
    permissions = [_permission(plan, place, p) for p in on_place(plan.given.tract, place)]
    return {"permissions": permissions, "cost": _cost(plan, place)}


def _plain(shape: Shape) -> form.Outline:
    return {"type": shape.type, "coordinates": shape.coordinates}


def _permission(plan: Plan, place: str, kept: Kept[Permission]) -> form.Permit:
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


def _cost(plan: Plan, place: str) -> str | form.Told:
    """What a place costs, as a cell with the way to its working."""
    buying: Buying = plan.sections["buy"].body
    cost = buying.plot_cost.get(place)
    if cost is None:
        return say("place-no-cost")
    return {"text": str(text(cost)), "path": plan.nodes.path_of[id(cost)]}

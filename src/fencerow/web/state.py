"""What the pages show, as JSON: record, sheets, year, the working of a figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import Any

from pydantic import TypeAdapter

from fencerow.figure import Entered, Figure
from fencerow.packet.ribbon import draw_ribbon
from fencerow.plan.plan import Plan, said_json
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet
from fencerow.plan.show import brief, explain
from fencerow.plan.view import sheets
from fencerow.plan.year import State, Year
from fencerow.tract.bodies import KINDS
from fencerow.tract.model import FIELD_OF_KIND, Kept, Tract
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import dump
from fencerow.units import UNITS, unit_of
from fencerow.web.desk import Standing
from fencerow.words import name_of, say

FORM = 1


def state_json(standing: Standing) -> dict[str, Any]:
    """Everything that a page opens with."""
    plan = standing.plan
    tract = plan.given.tract
    about = tract.about.body
    return {
        "form": FORM,
        "tract": {
            "id": standing.tract_id, "name": about.name, "story": about.story,
            "state": about.state, "zone": about.zone,
        },
        "as_of": plan.given.as_of.isoformat(),
        "today": standing.today.isoformat(),
        "author": standing.author,
        "log": {"count": standing.count, "digest": standing.digest},
        "places": [_place(k) for k in tract.places.values()],
        "things": _things(tract),
        "conflicts": [
            {"subject": c.subject, "entries": list(c.entries), "text": str(c.message)}
            for c in tract.conflicts
        ],
        **planned_json(plan),
        "plan": plan.as_json(),
    }  # fmt: skip


def planned_json(plan: Plan) -> dict[str, Any]:
    """What a plan says, without the record: what a trial of a change answers with."""
    return {
        "sheets": [_sheet(s) for s in sheets(plan)],
        "ribbon": draw_ribbon(plan),
        "year": _year(plan),
        "said": [said_json(i, s) for i, section in plan.sections.items() for s in section.said],
    }


def _place(kept: Kept[Any]) -> dict[str, Any]:
    body = dump("place", kept.body)
    return {
        "id": kept.id,
        "kind": body["kind"],
        "name": body["name"],
        "shape": body.pop("shape", None),
        "entry": kept.entry,
        "visibility": kept.visibility,
        "body": body,
    }


def _things(tract: Tract) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for kind, field in FIELD_OF_KIND.items():
        if kind == "place":
            continue
        held = getattr(tract, field)
        kept = [held] if isinstance(held, Kept) else list(held.values())
        found[kind] = [
            {
                "id": k.id,
                "entry": k.entry,
                "on": k.on.isoformat() if k.on else None,
                "body": dump(kind, k.body),
            }
            for k in kept
        ]
    return found


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "id": sheet.id,
        "title": sheet.title,
        "under": sheet.under,
        "tables": [_table(t) for t in sheet.tables],
        "said": [_said(s) for s in sheet.said],
    }


def _table(table: Ruled) -> dict[str, Any]:
    columns = [{"name": c.name, "number": c.number, "wide": c.wide} for c in table.columns]
    return {"title": table.title, "columns": columns, "rows": [list(r) for r in table.rows]}


def _said(said: Said) -> dict[str, Any]:
    return {
        "weight": said.weight.value,
        "word": name_of(said.weight.value),
        "text": str(said.message),
        "loud": said.weight.loud,
        "about": said.about,
    }


def _year(plan: Plan) -> dict[str, list[dict[str, Any]]]:
    year: Year = plan.sections["year"].body
    return {
        state.value: [
            {
                "id": id_,
                "when": task.when.value.isoformat(),
                "when_text": brief(task.when),
                "what": str(task.what),
                "why": str(task.why),
                "place": task.place,
                "path": f"year.tasks.{id_}.when",
            }
            for id_, task in year.of_state(state)
        ]
        for state in State
    }


def why_json(plan: Plan, typed: str) -> dict[str, Any]:
    """The working of a figure, step by step.

    Raises:
        BadInput: no figure stands there; near ones are named.
    """
    path = plan.path(typed)
    figure = plan.nodes.by_path[path]
    unchecked = say("tell-unchecked", basis=figure.basis.text) if figure.basis.unchecked else None
    steps = [
        {f.name: getattr(s, f.name) for f in fields(s)} | _entered(plan.nodes.by_path.get(s.path))
        for s in explain(plan.nodes, path)
    ]
    return {"path": path, "title": steps[0]["name"], "steps": steps, "unchecked": unchecked}


def _entered(figure: Figure | None) -> dict[str, str]:
    """Where the person said it, so that a page can lead there."""
    if figure is None or not isinstance(figure.origin, Entered):
        return {}
    return {"entry": figure.origin.entry, "field": figure.origin.field}


def forms_json() -> dict[str, Any]:
    """What can be entered: for each kind of entry and of place, its fields in order."""
    classes: Mapping[str, Any] = {k: KINDS[k][1]._type for k in KINDS if k != "place"} | PLACE_KINDS
    schemas = {kind: adapter.json_schema() for kind, (_, adapter) in KINDS.items()}
    return {"kinds": {k: _fields(cls) for k, cls in classes.items()}, "schemas": schemas}


def _fields(cls: Any) -> list[dict[str, Any]]:
    schema, found = TypeAdapter(cls).json_schema(), []
    for field in fields(cls):
        unit = unit_of(field.name)
        needed = field.default is MISSING and field.default_factory is MISSING
        found.append(
            {
                "name": field.name,
                "label": name_of(field.name.removesuffix(f"_{unit}") if unit else field.name),
                "unit": UNITS[unit].symbol if unit else "",
                "required": needed,
                **_typed(schema, schema["properties"][field.name]),
            }
        )
    return found


def _typed(schema: Mapping[str, Any], field: Mapping[str, Any]) -> dict[str, Any]:
    """What a field holds, and its choices where it has them; that it may be absent aside."""
    if "$ref" in field:
        return _typed(schema, schema["$defs"][field["$ref"].rpartition("/")[2]])
    others = [f for f in field.get("anyOf", ()) if f.get("type") != "null"]
    if others:
        return _typed(schema, others[0])
    type_ = field.get("format") or field.get("type", "object")
    choices = field.get("enum") or field.get("items", {}).get("enum")
    return {"type": type_, "choices": choices} if choices else {"type": type_}

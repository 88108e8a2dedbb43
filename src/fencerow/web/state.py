"""What the pages show, as JSON: record, sheets, year, the working of a figure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import MISSING, fields
from typing import Any

from pydantic import TypeAdapter

from fencerow.data import Tables
from fencerow.manner import manner, shown, shown_unit, symbol
from fencerow.packet.ribbon import draw_ribbon
from fencerow.plan.examine import examine
from fencerow.plan.forage.body import Forage
from fencerow.plan.nodes import Nodes
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet
from fencerow.plan.show import Told, brief, explain
from fencerow.plan.view import sheets
from fencerow.plan.year import State, Year
from fencerow.tract.bodies import KINDS
from fencerow.tract.model import FIELD_OF_KIND, Kept, Tract
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import dump
from fencerow.units import UNITS, convert, unit_of
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
        "units": manner().value,
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
        "missing": [
            {"check": f.check, "about": f.about, "text": str(f.message)}
            for f in examine(plan.given)
        ],
        "conflicts": [
            {"subject": c.subject, "entries": list(c.entries), "text": str(c.message)}
            for c in tract.conflicts
        ],
        **planned_json(plan),
    }  # fmt: skip


def planned_json(plan: Plan) -> dict[str, Any]:
    """What a plan says, without the record: what a trial of a change answers with."""
    return {
        "sheets": [_sheet(s, plan.nodes) for s in sheets(plan)],
        "axis": _axis(plan.sections["year"].body),
        "ribbon": draw_ribbon(plan),
        "forage": _forage(plan.sections["forage"].body),
        "year": _year(plan),
        "said": [_said(s, i) for i, section in plan.sections.items() for s in section.said],
    }


def _axis(year: Year) -> dict[str, str]:
    return {"starts": year.starts.value.isoformat(), "ends": year.ends.value.isoformat()}


def _forage(forage: Forage) -> dict[str, Any] | None:
    """What deer look for in the plots and what they find, week by week; None without deer."""
    year = forage.year
    if year is None:
        return None
    return {
        "start": forage.asked.start.isoformat(),
        "unit": symbol(forage.asked.unit),
        "asked": _shown(forage.asked.likely, forage.asked.unit),
        "found": _shown(forage.eaten.likely, forage.eaten.unit),
        "short": list(year.short),
        "short_low": year.weeks_short.low.value,
        "short_high": year.weeks_short.high.value,
        "short_path": "forage.year.weeks_short.likely",
    }


def _shown(values: Iterable[float | None], unit: str) -> list[float | None]:
    return [None if value is None else shown(value, unit) for value in values]


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


def _sheet(sheet: Sheet, nodes: Nodes) -> dict[str, Any]:
    return {
        "id": sheet.id,
        "title": sheet.title,
        "under": sheet.under,
        "tables": [_table(t, nodes) for t in sheet.tables],
        "said": [_said(s) for s in sheet.said],
    }


def _table(table: Ruled, nodes: Nodes) -> dict[str, Any]:
    columns = [{"name": c.name, "number": c.number, "wide": c.wide} for c in table.columns]
    rows = [[_cell(text, nodes) for text in row] for row in table.rows]
    return {"title": table.title, "columns": columns, "rows": rows}


def _cell(text: str, nodes: Nodes) -> str | dict[str, str]:
    """The words of a cell; with the way to the working where they tell a figure."""
    path = nodes.path_of.get(id(text.figure)) if isinstance(text, Told) else None
    return text if path is None else {"text": text, "path": path}


def _said(said: Said, section: str = "") -> dict[str, Any]:
    return {
        "section": section,
        "id": said.message.id,
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
    steps = [vars(step) for step in explain(plan.nodes, path)]
    return {"path": path, "title": steps[0]["name"], "steps": steps, "unchecked": unchecked}


def forms_json(tables: Tables) -> dict[str, Any]:
    """What can be entered: for each kind of entry and of place, its fields in order; the plants."""
    classes: Mapping[str, Any] = {k: KINDS[k][1]._type for k in KINDS if k != "place"} | PLACE_KINDS
    return {
        "kinds": {k: _fields(cls) for k, cls in classes.items()},
        "species": {row.key: row.text("common") for row in tables["species"]},
    }


def _fields(cls: Any) -> list[dict[str, Any]]:
    schema, found = TypeAdapter(cls).json_schema(), []
    for field in fields(cls):
        unit, described = unit_of(field.name), schema["properties"][field.name]
        needed = field.default is MISSING and field.default_factory is MISSING
        said = {"preset": None if needed else described.get("default"), **_typed(schema, described)}
        found.append(
            {
                "name": field.name,
                "label": name_of(field.name.removesuffix(f"_{unit}") if unit else field.name),
                "unit": symbol(unit) if unit else "",
                "stored": _stored(unit),
                "required": needed,
                **said,
                **{k: _as_typed(said[k], unit) for k in ("preset", "least", "most")},
            }
        )
    return found


def _stored(unit: str) -> dict[str, Any] | None:
    """How a number that is typed becomes what is stored: `stored = typed * factor + offset`.

    None where it is typed in the unit that the record keeps.
    """
    typed = shown_unit(unit)
    if typed == unit:
        return None
    offset = convert(0.0, typed, unit)
    factor = convert(1.0, typed, unit) - offset
    return {"unit": UNITS[unit].symbol, "factor": factor, "offset": offset}


def _as_typed(value: Any, unit: str) -> Any:
    """A stored number in the unit that a form asks for, without the dust of the conversion."""
    if shown_unit(unit) == unit or isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return float(f"{shown(value, unit):.10g}")


def _typed(schema: Mapping[str, Any], field: Mapping[str, Any]) -> dict[str, Any]:
    """What a field holds, its choices and its limits; that it may be absent aside."""
    if "$ref" in field:
        return _typed(schema, schema["$defs"][field["$ref"].rpartition("/")[2]])
    others = [f for f in field.get("anyOf", ()) if f.get("type") != "null"]
    if others:
        return _typed(schema, others[0])
    return {
        "type": "fixed" if "const" in field else field.get("format") or field.get("type", "object"),
        "choices": field.get("enum") or field.get("items", {}).get("enum") or [],
        "least": field.get("minimum", field.get("exclusiveMinimum")),
        "most": field.get("maximum", field.get("exclusiveMaximum")),
    }

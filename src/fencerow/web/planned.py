"""What a plan says to the pages, as JSON: sheets, year, drawings, the working of a figure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import cast

from fencerow.manner import manner, shown, symbol
from fencerow.packet.ribbon import draw_ribbon
from fencerow.plan.drawing import Curves, Strip, plain
from fencerow.plan.forage.body import Forage
from fencerow.plan.nodes import Nodes
from fencerow.plan.plan import OFTEN, Plan
from fencerow.plan.section import Said, Section
from fencerow.plan.sheet import Column, Ruled, Sheet
from fencerow.plan.show import Told, ToldAmount, brief, explain
from fencerow.plan.sketch import Sketch
from fencerow.plan.tally.next_body import NextYear
from fencerow.plan.tally.next_year import drafts_of
from fencerow.plan.view import often_sheets, seldom_sheets
from fencerow.plan.views.weeks import weeks_table
from fencerow.plan.year import State, Task, Year
from fencerow.web import form
from fencerow.words import Message, language, name_of, say


def planned_json(plan: Plan) -> form.Planned:
    """What a plan says, without the record: what a trial of a change answers with."""
    often = {i: s for i, s in plan.sections.items() if i in OFTEN}
    seldom_told = plan.tell(f"sheets {manner()} {language()}", _sheets)
    seldom_said = plan.tell(f"said {manner()} {language()}", lambda p: _all_said(p, p.sections))
    return {
        "sheets": [*seldom_told, *_told_sheets(plan, often_sheets(plan))],
        "axis": _axis(plan.sections["year"].body),
        "ribbon": cast(form.RibbonData, draw_ribbon(plan)),
        "weeks": _table(weeks_table(plan), plan.nodes),
        "forage": _forage(plan.sections["forage"].body),
        "year": plan.tell(f"year {manner()} {language()}", _year),
        "said": [*seldom_said, *_all_said(plan, often)],
    }


def _sheets(plan: Plan) -> list[form.Sheet]:
    return _told_sheets(plan, seldom_sheets(plan))


def _told_sheets(plan: Plan, found: list[Sheet]) -> list[form.Sheet]:
    return [_sheet(s, plan.nodes) for s in found]


def _all_said(plan: Plan, sections: Mapping[str, Section]) -> list[form.Said]:
    return [_said(s, plan.nodes, i) for i, section in sections.items() for s in section.said]


def _axis(year: Year) -> form.Axis:
    return {"starts": year.starts.value.isoformat(), "ends": year.ends.value.isoformat()}


def _forage(forage: Forage) -> form.ForageYear | None:
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


def _sheet(sheet: Sheet, nodes: Nodes) -> form.Sheet:
    return {
        "id": sheet.id,
        "title": sheet.title,
        "under": str(sheet.under),
        "under_parts": _parts(sheet.under, nodes) if isinstance(sheet.under, Message) else [],
        "tables": [_table(t, nodes) for t in sheet.beside()],
        "said": [_said(s, nodes) for s in sheet.said],
        "drawings": [_drawing(d, nodes) for d in sheet.drawings if not isinstance(d, Sketch)],
    }


def sketches_json(plan: Plan) -> dict[str, list[form.Sketch]]:
    """The sketches of each sheet that has some; apart from the state, which pages open with."""
    words = f"sketches {manner()} {language()}"
    seldom = plan.tell(words, lambda p: _told_sketches(p, seldom_sheets(p)))
    return {**seldom, **_told_sketches(plan, often_sheets(plan))}


def _told_sketches(plan: Plan, found: list[Sheet]) -> dict[str, list[form.Sketch]]:
    drawn = {s.id: [d for d in s.drawings if isinstance(d, Sketch)] for s in found}
    return {i: [_sketch(d, plan.nodes) for d in each] for i, each in drawn.items() if each}


def _sketch(sketch: Sketch, nodes: Nodes) -> form.Sketch:
    return cast(form.Sketch, plain(sketch) | {"table": _table(sketch.table, nodes)})


def _drawing(drawing: Curves | Strip, nodes: Nodes) -> form.Curves | form.Strip:
    """A drawing with the table of each of its pictures, whose figures open to their working."""
    made = plain(drawing)
    if isinstance(drawing, Strip):
        return cast(form.Strip, made | {"table": _table(drawing.table, nodes)})
    for frame, told in zip(drawing.frames, made["frames"], strict=True):
        told["table"] = _table(frame.table, nodes)
    return cast(form.Curves, made)


def _table(table: Ruled, nodes: Nodes) -> form.Table:
    columns = [_column(c) for c in table.columns]
    rows = [[_cell(text, nodes) for text in row] for row in table.rows]
    made: form.Table = {"title": table.title, "columns": columns, "rows": rows}
    if table.keys:
        made["keys"] = list(table.keys)
    if table.leads:
        made |= {"leads": True, "about": list(table.about)}
    return made


def _column(column: Column) -> form.Column:
    made: form.Column = {"name": column.name, "number": column.number, "wide": column.wide}
    if column.series:
        made["series"] = column.series
    return made


def _cell(text: str, nodes: Nodes) -> str | form.Told:
    """The words of a cell; with the way to the working where they tell a figure."""
    path = _way(text, nodes)
    return text if path is None else {"text": text, "path": path}


def _parts(message: Message, nodes: Nodes) -> list[form.Piece]:
    """A sentence in parts, where figures in it have a way to their working; else nothing."""
    told = [(words, _way(value, nodes)) for words, value in message.pieces()]
    if not any(path for _, path in told):
        return []
    return [{"text": words, "path": path} if path else {"text": words} for words, path in told]


def _way(value: object, nodes: Nodes) -> str | None:
    """The way to the working of the figure that words tell."""
    return nodes.path_of.get(id(value.figure)) if isinstance(value, Told | ToldAmount) else None


def _said(said: Said, nodes: Nodes, section: str = "") -> form.Said:
    return {
        "section": section,
        "id": said.message.id,
        "weight": said.weight.value,
        "word": name_of(said.weight.value),
        "text": str(said.message),
        "parts": _parts(said.message, nodes),
        "loud": said.weight.loud,
        "about": said.about,
    }


def _year(plan: Plan) -> form.Year:
    year: Year = plan.sections["year"].body

    def tasks(state: State) -> list[form.Task]:
        return [_task(id_, task) for id_, task in year.of_state(state)]

    return {
        "late": tasks(State.LATE), "next": tasks(State.NEXT), "later": tasks(State.LATER),
        "done": tasks(State.DONE),
    }  # fmt: skip


def _task(id_: str, task: Task) -> form.Task:
    return {
        "id": id_,
        "when": task.when.value.isoformat(),
        "when_text": brief(task.when),
        "what": str(task.what),
        "why": str(task.why),
        "place": task.place,
        "path": f"year.tasks.{id_}.when",
    }


def next_year_json(plan: Plan) -> form.NextYear:
    """Next year as it is drafted; nothing is written."""
    body: NextYear = plan.sections["next"].body
    return {
        "starts": body.starts.value.isoformat(),
        "drafts": [
            {"kind": d.kind, "subject": d.subject, "body": dict(d.body)} for d in drafts_of(body)
        ],
    }


def why_json(plan: Plan, typed: str) -> form.Why:
    """The working of a figure, step by step.

    Raises:
        BadInput: no figure stands there; near ones are named.
    """
    path = plan.path(typed)
    figure = plan.nodes.at(path)
    unchecked = (
        say("tell-unchecked", basis=name_of(figure.basis.text)) if figure.basis.unchecked else None
    )
    steps = [cast(form.Step, vars(step)) for step in explain(plan.nodes, path)]
    return {"path": path, "title": steps[0]["name"], "steps": steps, "unchecked": unchecked}

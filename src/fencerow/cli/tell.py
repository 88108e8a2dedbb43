"""What the terminal prints: ruled tables and plain sentences; `--json` prints the same as data."""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fencerow.data import Tables
from fencerow.exchange.checked import ALONE, counts
from fencerow.exchange.checks import Outcome
from fencerow.manner import quantity, shown_unit
from fencerow.plan import show
from fencerow.plan.examine import Finding
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.view import Ruled, Sheet, sheets
from fencerow.plan.views.almanac import find_species, species_sheet
from fencerow.store import Store
from fencerow.tract.model import FIELD_OF_KIND, Kept
from fencerow.tract.read import dump
from fencerow.units import unit_of
from fencerow.words import BadInput, name_of, say


def console() -> Console:
    """The terminal, as wide as it is; 100 columns where that is not known."""
    found = Console(highlight=False)
    return found if found.is_terminal else Console(highlight=False, width=100)


def ruled(table: Ruled) -> Table:
    """A ruled table of an almanac: one rule under the heads, numbers to the right."""
    made = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, title_justify="left")
    for column in table.columns:
        made.add_column(column.name, justify="right" if column.number else "left")
    for row in table.rows:
        made.add_row(*[Text(cell) for cell in row])
    return made


def tell_plan(plan: Plan) -> None:
    """Print a plan, sheet by sheet."""
    out = console()
    about = plan.given.tract.about.body
    day = show.value_text(plan.given.as_of, "date")
    out.print(Text(say("tell-title", name=about.name, day=day), style="bold"))
    if about.story:
        out.print(Text(about.story, style="italic"))
    for sheet in sheets(plan):
        tell_sheet(out, sheet)


def tell_sheet(out: Console, sheet: Sheet) -> None:
    """Print one sheet."""
    out.print()
    out.rule(Text(sheet.title, style="bold"), align="left", characters="─")
    if sheet.under:
        out.print(Padding(Text(str(sheet.under)), (0, 0, 0, 2)))
    for said in sheet.said:
        if said.weight.loud:
            out.print(_sentence(said))
    for table in sheet.tables:
        out.print()
        if table.title:
            out.print(Text(table.title, style="bold"))
        out.print(Padding(ruled(table), (0, 0, 0, 2)))
    if sheet.beside() == sheet.tables:  # else the tables that are drawn elsewhere have said it
        _tell_drawings(out, sheet)
    out.print()
    for said in sheet.said:
        if not said.weight.loud:
            out.print(_sentence(said))


def _tell_drawings(out: Console, sheet: Sheet) -> None:
    """What the drawings of a sheet show, in words."""
    for drawing in sheet.drawings:
        out.print()
        out.print(Text(drawing.title, style="bold"))
        for name, told in drawing.pictures():
            out.print(Padding(Text(f"{name}: {told}" if name else told), (0, 0, 0, 2)))


def _sentence(said: Said) -> Padding:
    style = {Weight.STOPPED: "bold red", Weight.ASK: "bold", Weight.CAUTION: "bold"}
    text = Text.assemble(
        (f"{name_of(said.weight.value)}: ", style.get(said.weight, "")), str(said.message)
    )
    return Padding(text, (0, 0, 0, 2))


def tell_species(tables: Tables, name: str) -> None:
    """Print the almanac's page of one plant.

    Raises:
        BadInput: no plant is called so.
    """
    tell_sheet(console(), species_sheet(tables, find_species(tables, name)))


def tell_why(plan: Plan, typed: str) -> None:
    """Print the working of a figure, every step indented under what it feeds.

    Raises:
        BadInput: no figure stands at the path.
    """
    out = console()
    path = plan.path(typed)
    for step in show.explain(plan.nodes, path):
        indent = step.depth * 3
        head = Text.assemble(
            (step.name, "bold" if not step.depth else ""), "  ", (step.value, "bold")
        )
        out.print(Padding(head, (0, 0, 0, indent)))
        lines = [line for line in (step.working, _origin(step)) if line]
        for line in lines:
            out.print(Padding(Text(line, style="dim"), (0, 0, 0, indent + 2)))
    figure = plan.nodes.at(path)
    if figure.basis.unchecked:
        out.print(Text(say("tell-unchecked", basis=figure.basis.text), style="bold"))


def _origin(step: show.Step) -> str:
    parts = [step.origin] if step.origin != say("origin-worked") else []
    if step.source:
        parts.append(step.source)
    if step.unchecked:
        parts.append(say("unchecked"))
    return " · ".join(parts)


def tell_check(findings: Sequence[Finding]) -> None:
    """Print what the examination of a tract found."""
    out = console()
    for finding in findings:
        out.print(Text.assemble("· ", str(finding.message)))
    out.print(Text(say("tell-findings", count=len(findings)), style="bold"))


def tell_verify(outcomes: Sequence[Outcome]) -> bool:
    """Print each case with its source and how it came out; whether all passed."""
    out = console()
    for file, group in groupby(outcomes, key=lambda o: o.case.file):
        out.print(Text(file, style="bold"))
        for outcome in group:
            _tell_outcome(out, outcome)
    found = counts(outcomes)
    failed = found.pop("failed")
    verified = sum(n for basis, n in found.items() if basis not in ALONE)
    out.print(Text(say("verify-apart", verified=verified, practice=found["common practice"],
                       memory=found["from memory"])))  # fmt: skip
    out.print(Text(f"{sum(found.values())} passed, {failed} failed"))
    return failed == 0


def _tell_outcome(out: Console, outcome: Outcome) -> None:
    case = outcome.case
    mark = say("verify-ok") if outcome.passed else say("verify-not")
    line = say("verify-line", mark=mark, name=case.name, basis=case.basis, source=case.source)
    out.print(Padding(Text(line), (0, 0, 0, 2)))
    if not outcome.passed:
        wrong = say("verify-wrong", got=outcome.got, expect=case.expect, within=case.within)
        out.print(Padding(Text(wrong, style="bold"), (0, 0, 0, 4)))


def tell_record(store: Store, what: str, as_json: bool) -> None:
    """Print a part of the record.

    Raises:
        BadInput: there is no such part.
    """
    tract = store.tract()
    if what == "log":
        rows: list[dict[str, Any]] = [e.as_json() for e in store.entries()]
    elif what == "conflicts":
        rows = [{"subject": c.subject, "what": str(c.message)} for c in tract.conflicts]
    else:
        field = FIELD_OF_KIND.get(what, what)
        kinds = {v: k for k, v in FIELD_OF_KIND.items()}
        if field not in kinds:
            raise BadInput("show-unknown", what=what, kinds=", ".join(["log", "conflicts", *kinds]))
        things = getattr(tract, field)
        kept = [things] if isinstance(things, Kept) else list(things.values())
        rows = [{"id": k.id, **dump(kinds[field], k.body)} for k in kept]
    if as_json:
        console().print_json(json.dumps(rows, ensure_ascii=False))
        return
    for row in rows:
        console().print(Text(_line(row)))


def _line(row: dict[str, Any]) -> str:
    shown = {k: v for k, v in row.items() if k not in ("shape", "device", "batch", "schema")}
    return "  ".join(_part(k, v) for k, v in shown.items() if v not in ("", None))


def _part(field: str, value: Any) -> str:
    """A field as it is stored, under its own name; read in metric, with its metric beside it."""
    text, unit = f"{field}={json.dumps(value, ensure_ascii=False)}", unit_of(field)
    if shown_unit(unit) == unit or isinstance(value, bool) or not isinstance(value, int | float):
        return text
    return f"{text} ({quantity(value, unit)})"

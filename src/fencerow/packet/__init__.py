"""Packet: what goes on paper. A map, a sheet for each plot, the order; readable in grey."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

from fencerow.figure import Met
from fencerow.manner import Amount
from fencerow.packet.blank import blank_sheets, count_sheets
from fencerow.packet.guests import guest_sheets
from fencerow.packet.helpers import only_card
from fencerow.packet.map import draw_map
from fencerow.packet.ribbon import draw_ribbon
from fencerow.packet.sketch import set_sketch
from fencerow.plan.drawing import plain
from fencerow.plan.plan import Plan
from fencerow.plan.show import cite, value_text
from fencerow.plan.sketch import Sketch
from fencerow.plan.view import Ruled, Sheet, sheets
from fencerow.store.files import write_whole
from fencerow.words import BadInput, language, name_of, say, value_of

PAPERS = {"letter": "us-letter", "a4": "a4"}
_WORDS = (
    "packet-made-for", "packet-sources", "packet-frost", "packet-due", "packet-rain",
    "packet-rain-unit", "packet-rain-key", "packet-fit", "packet-fit-unit", "packet-fit-key",
)  # fmt: skip
_FILL = {"at": Amount(32, "f", printed=True)}


def write_packet(plan: Plan, target: Path, paper: str = "letter", person: str = "") -> None:
    """Write the packet of a plan, or one person's card of it, as one PDF.

    Raises:
        BadInput: the paper or the person is not known, or the file cannot be written.
    """
    pdf = packet_pdf(plan, paper, person)
    try:
        write_whole(target, pdf)
    except OSError as error:
        raise BadInput("packet-unwritable", file=target, why=error.strerror or error) from None


def packet_pdf(plan: Plan, paper: str = "letter", person: str = "") -> bytes:
    """The packet of a plan as the bytes of a PDF; the same plan gives the same bytes.

    Args:
        person: only the card of one person, by name or id.

    Raises:
        BadInput: the paper or the person is not known, or nothing is given to that person.
    """
    import typst

    if paper not in PAPERS:
        raise BadInput("packet-paper", paper=paper, papers=", ".join(PAPERS))
    data = card_data(plan, person) if person else packet_data(plan)
    template = Path(str(files(__package__))) / "packet.typ"
    made: bytes = typst.compile(
        template,
        root=template.parent,
        sys_inputs={"packet": json.dumps(data | {"paper": PAPERS[paper], "lang": language()})},
        ignore_system_fonts=True,
    )
    return made


def packet_data(plan: Plan) -> dict[str, Any]:
    """What the template sets: plain text and millimetres, nothing to be computed there."""
    about = plan.given.tract.about.body
    met, figures = Met(), plan.nodes.by_path.values()
    cited = dict.fromkeys(s for figure in figures for s in figure.sources(met))
    return {
        "name": about.name,
        "story": about.story,
        "day": value_text(plan.given.as_of, "date"),
        "map": draw_map(plan),
        "ribbon": draw_ribbon(plan),
        "sheets": [
            *(_sheet(s) for s in sheets(plan) if _on_paper(s, plan)),
            *guest_sheets(plan),
            *blank_sheets(plan),
            *count_sheets(plan),
        ],
        "sources": [c for c in (cite((s,)) for s in sorted(cited)) if c],
        "words": {k: say(k, **_FILL) for k in _WORDS},
    }


def card_data(plan: Plan, person: str) -> dict[str, Any]:
    """What the template sets of one person's card alone: no map, and no position.

    Raises:
        BadInput: nobody has that name, or nothing is given to them.
    """
    card, cited = only_card(plan, person)
    return packet_data(plan) | {
        "map": None, "sheets": [_sheet(card)],
        "sources": [c for c in (cite((s,)) for s in cited) if c],
    }  # fmt: skip


def _on_paper(sheet: Sheet, plan: Plan) -> bool:
    """Whether a sheet earns its page: a tally of nothing done and nothing noted does not, nor do
    coming days without a forecast, nor a day of sits without a wind, nor disturbance by nothing."""
    if sheet.id == "hours":
        return plan.given.forecast is not None
    if sheet.id == "evening":
        return bool(plan.sections["evening"].body.hours)
    if sheet.id == "inout":
        return False  # the board at the gate says it
    if sheet.id == "disturbance":
        return bool(sheet.drawings)
    return sheet.id != "tally" or bool(plan.given.tract.done or plan.given.tract.notes)


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "id": sheet.id,
        "title": sheet.title,
        "under": str(sheet.under),
        "drawings": [set_sketch(d) if isinstance(d, Sketch) else plain(d) for d in sheet.drawings],
        "tables": [_table(t) for t in sheet.beside()],
        "said": [{"weight": name_of(s.weight.value), "text": str(s.message), "loud": s.weight.loud}
                 for s in sheet.said],
    }  # fmt: skip


def _table(table: Ruled) -> dict[str, Any]:
    return {
        "title": table.title,
        "columns": [{"name": c.name, "number": c.number, "wide": c.wide} for c in table.columns],
        "rows": [[value_of(str(cell)) for cell in row] for row in table.rows],
        "leads": table.leads,
    }

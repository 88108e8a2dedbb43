"""The written plan: what a landowner, a club or a cost-share office reads, as PDF and as HTML.

Both are set from the same parts. Where somebody sits is left out, unless it is asked for.
"""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

from fencerow.packet.written.blocks import Part, Written
from fencerow.packet.written.course import cautions, costs, record, schedule, terms
from fencerow.packet.written.drawn import map_svg
from fencerow.packet.written.ground import goals, inventory
from fencerow.packet.written.hidden import hidden_places
from fencerow.packet.written.page import as_html
from fencerow.packet.written.prescribed import prescriptions
from fencerow.plan.plan import Plan
from fencerow.plan.show import cite, value_text
from fencerow.store.files import write_whole
from fencerow.words import BadInput, language, say

READERS = {
    "landowner": ("goals", "inventory", "prescriptions", "schedule", "costs", "terms", "record",
                  "cautions"),
    "club": ("goals", "schedule", "inventory", "prescriptions", "terms", "record", "cautions"),
    "office": ("goals", "inventory", "terms", "prescriptions", "schedule", "record", "cautions"),
}  # fmt: skip
"""Who reads it, and which parts in which order; a club is told of no money, an office of what was
paid."""
FOR = {
    "landowner": "written-for-landowner", "club": "written-for-club",
    "office": "written-for-office",
}  # fmt: skip
WITH_MONEY = ("landowner",)
WITH_PAID = ("landowner", "office")
PAPERS = {"letter": "us-letter", "a4": "a4"}

__all__ = ["READERS", "write_written", "written_html", "written_pdf", "written_plan"]


def written_plan(plan: Plan, reader: str = "landowner", with_stands: bool = False) -> Written:
    """The document for a reader.

    Args:
        reader: landowner, club or office.
        with_stands: whether treestands, blinds, mock scrapes and cameras are drawn and named.

    Raises:
        BadInput: the reader is none of them.
    """
    if reader not in READERS:
        raise BadInput("written-reader", reader=reader, readers=", ".join(READERS))
    hidden = hidden_places(plan, with_stands)
    parts = tuple(_part(plan, name, reader, hidden) for name in READERS[reader])
    drawn, told = map_svg(plan, hidden)
    about = plan.given.tract.about.body
    cited = dict.fromkeys(s for p in parts for f in p.figures for s in f.sources())
    return Written(
        title=say("written-title", name=about.name),
        under=(say(FOR[reader]),
               say("written-made", day=value_text(plan.given.as_of, "date"))),
        story=about.story,
        parts=parts,
        map=drawn,
        map_told=say("written-map-shows", names=told) if told else "",
        sources=tuple(c for c in (cite((s,)) for s in sorted(cited)) if c),
        sources_title=say("written-sources"),
        foot=say("written-foot"),
    )  # fmt: skip


def _part(plan: Plan, name: str, reader: str, hidden: frozenset[str]) -> Part:
    match name:
        case "goals":
            return goals(plan)
        case "inventory":
            return inventory(plan, hidden)
        case "prescriptions":
            return prescriptions(plan, hidden, reader in WITH_MONEY)
        case "schedule":
            return schedule(plan, hidden)
        case "costs":
            return costs(plan)
        case "terms":
            return terms(plan, hidden)
        case "record":
            return record(plan, hidden, reader in WITH_PAID)
    return cautions(plan, hidden)


def written_pdf(
    plan: Plan, reader: str = "landowner", with_stands: bool = False, paper: str = "letter"
) -> bytes:
    """The document as a tagged PDF (PDF/UA-1); the same plan gives the same bytes.

    Raises:
        BadInput: the reader or the paper is not known.
    """
    import typst

    if paper not in PAPERS:
        raise BadInput("packet-paper", paper=paper, papers=", ".join(PAPERS))
    data = written_plan(plan, reader, with_stands).as_json()
    template = Path(str(files(__package__))) / "written.typ"
    made: bytes = typst.compile(
        template,
        root=template.parent,
        sys_inputs={"written": json.dumps(data | {"paper": PAPERS[paper], "lang": language()})},
        ignore_system_fonts=True,
        pdf_standards=["ua-1"],
    )
    return made


def written_html(plan: Plan, reader: str = "landowner", with_stands: bool = False) -> str:
    """The document as one page that holds all it needs: no script, no link to a file.

    Raises:
        BadInput: the reader is not known.
    """
    return as_html(written_plan(plan, reader, with_stands))


def write_written(
    plan: Plan, target: Path, reader: str, html: bool, with_stands: bool, paper: str
) -> None:
    """Write the document to a file.

    Raises:
        BadInput: the reader or the paper is not known, or the file cannot be written.
    """
    made = (
        written_html(plan, reader, with_stands).encode()
        if html
        else written_pdf(plan, reader, with_stands, paper)
    )
    try:
        write_whole(target, made)
    except OSError as error:
        raise BadInput("packet-unwritable", file=target, why=error.strerror or error) from None

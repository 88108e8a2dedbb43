"""One helper's card by itself, for the person to carry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from fencerow.plan.nodes import leaves
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Sheet
from fencerow.plan.views.helpers import helper_sheets
from fencerow.plan.work.given_to import person_named
from fencerow.plan.work.helpers import Card
from fencerow.words import BadInput


def only_card(plan: Plan, name: str) -> tuple[Sheet, list[str]]:
    """A person's card, and the sources of its figures.

    Raises:
        BadInput: nobody has that name, or nothing is given to them.
    """
    person = person_named(plan.given.tract, name)
    cards: Mapping[str, Card] = plan.sections["helpers"].body
    if person.id not in cards:
        raise BadInput("helpers-nothing", person=person.body.name)
    sheet = next(s for s in helper_sheets(plan) if s.id == f"helper.{person.id}")
    tables = tuple(table.without_blanks() for table in sheet.tables if table.rows)
    figures = [figure for _, figure in leaves(cards[person.id], "card")]
    cited = sorted({source for figure in figures for source in figure.sources()})
    return replace(sheet, tables=tables), cited

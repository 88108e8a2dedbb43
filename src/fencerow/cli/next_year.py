"""`fencerow next-year`: next year as it would be drafted; asked for, the draft is written down."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from fencerow.cli.tell import console, tell_sheet
from fencerow.plan.graph import Given
from fencerow.plan.plan import make_plan
from fencerow.plan.tally.next_body import NextYear
from fencerow.plan.tally.next_year import drafts_of
from fencerow.plan.views.next_year import next_sheet, years_sheet
from fencerow.store import Store
from fencerow.words import say


def tell_next_year(given: Given) -> NextYear:
    """Print next year and the years side by side; nothing is written."""
    made = make_plan(given)
    out = console()
    for sheet in (next_sheet(made), years_sheet(made)):
        tell_sheet(out, sheet)
    body: NextYear = made.sections["next"].body
    return body


def write_next_year(
    store: Store, body: NextYear, author: str, now: Callable[[], datetime]
) -> list[str]:
    """Write the draft as one batch; says what was written and how to take it back.

    A second time nothing is written: what is drafted has the same id whoever drafts it.
    """
    drafts = drafts_of(body)
    if not drafts:
        return [say("next-year-nothing")]
    entries = store.write(drafts, author=author, now=now)
    ids = ",".join(e.id for e in entries)
    return [
        say("next-year-written", count=len(entries)),
        say("next-year-undo", folder=store.folder, entries=ids),
    ]

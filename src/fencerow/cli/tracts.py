"""`fencerow tracts`: all tracts of a folder on one sheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import typer
from rich.padding import Padding
from rich.text import Text

from fencerow.cli.tell import console, ruled
from fencerow.plan.glance import read_as
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.together import CELLS, Cell, Known, Line, together
from fencerow.store import Store
from fencerow.store.invented import day_of
from fencerow.store.shelf import Found, glanced, id_of, kept, key_of, look, named, tracts_of
from fencerow.words import BadInput, say

SHOWN, ONE = 3, ("plots", "closed")
"""Sentences of one column that are told, of some the first alone; of the rest their number."""


def tell_tracts(folder: Path, as_of: date | None, now: datetime, known: bool = False) -> None:
    """Print the sheet of all tracts of a folder.

    Args:
        as_of: the day to look at; today where it is left out.
        known: whether to tell what is known already, and plan nothing.

    Raises:
        BadInput: no tract stands in it.
    """
    found = tracts_of(folder)
    if not found:
        raise BadInput("shelf-empty", folder=folder)
    each = [_known(f, as_of, now, None if known else (n, len(found))) for n, f in enumerate(found)]
    told, out = together(each, now, as_of), console()
    out.print(Text(str(told.lead), style="bold"))
    out.print()
    rows = tuple(row for line in told.lines for row in _rows(line))
    heads = columns("tract", "blank", "blank+", of="shelf-")
    out.print(Padding(ruled(Ruled(heads, rows)), (0, 0, 0, 2)))
    for one in told.sums:
        out.print()
        out.print(Text(str(one.title), style="bold"))
        for term in one.terms:
            out.print(Padding(Text(str(term)), (0, 0, 0, 2)))


def _known(found: Found, as_of: date | None, now: datetime, turn: tuple[int, int] | None) -> Known:
    """What is known of a tract; planned anew where that is not of today's record, and is wanted."""
    try:
        store = Store.open(found.folder)
        looked = look(store, id_of(store), None)
        day = as_of or day_of(found.folder) or looked.hand.day(now)
        key, made = key_of(store, looked.digest), kept(found.folder).get(named(None))
        if turn is not None and (made is None or (made.key, made.day) != (key, day)):
            made = glanced(found.folder, day, None)
            told = say("cli-tracts-planned", name=looked.hand.name, done=turn[0] + 1, count=turn[1])
            typer.echo(told, err=True)
    except BadInput as error:
        return Known("", found.name, trouble=str(error))
    return Known(
        key=found.name,
        folder=found.name,
        hand=looked.hand,
        glance=None if made is None else made.told.get(read_as()),
        worked=None if made is None else made.day,
        since=0 if made is None else max(0, looked.count - made.count),
        stale=made is not None and (made.key, made.day) != (key, day),
    )


def _rows(line: Line) -> Iterator[tuple[str, str, str]]:
    """A tract's rows: its name once, and beside each column's head what it says."""
    state = line.known.hand.state if line.known.hand else ""
    name = f"{line.name}, {state}" if state else line.name
    said = [(c, _text(c, cell)) for c in CELLS if (cell := line.cells.get(c)) and cell.said]
    rows = [(str(say(f"head-shelf-{c}")), text) for c, text in said]
    if line.of is not None:
        rows.insert(0, ("", str(line.of)))
    for number, (head, text) in enumerate(rows or [("", "")]):
        yield name if number == 0 else "", head, text
    yield "", "", ""


def _text(column: str, cell: Cell) -> str:
    told = [str(said) for said in cell.said[: 1 if column in ONE else SHOWN]]
    left = 0 if column in ONE else len(cell.said) - len(told)
    return "\n".join([*told, *([str(say("shelf-more", count=left))] if left else [])])

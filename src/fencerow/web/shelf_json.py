"""The list of all tracts, as a page gets it."""

from __future__ import annotations

from collections.abc import Iterator

from fastapi import FastAPI, HTTPException, Request
from fastapi.responses import JSONResponse

from fencerow.manner import Manner, shown_in
from fencerow.plan.together import CELLS, Line, Sum, Together, Way
from fencerow.web import form
from fencerow.web.roles import Act
from fencerow.web.route import NOT_THERE, answers, asked
from fencerow.web.shelf import Shelf
from fencerow.words import Message, day_text, say

UNDER = "/t/"
"""What the addresses of tracts begin with, where a server holds several."""


def add_shelf(app: FastAPI, shelf: Shelf | None = None) -> None:
    """Add the route of the list; a server of one tract says that it has none.

    Anybody may ask: what is answered is of the tracts alone on which they have a role.
    """

    @asked(app.get, "/api/shelf", Act.ENTER, answers(form.Shelf) | NOT_THERE)
    def all_tracts(request: Request, units: Manner = Manner.US) -> JSONResponse:
        if shelf is None:
            raise HTTPException(404, say("shelf-one-tract"))
        with shown_in(units):
            return JSONResponse(shelf_json(shelf, shelf.together(request.cookies)))


def shelf_json(shelf: Shelf, told: Together) -> form.Shelf:
    """The list as a page shows it."""
    return {
        "lead": str(told.lead),
        "day": day_text(shelf.as_of or shelf.now().astimezone().date()),
        "columns": [{"id": c, "name": say(f"head-shelf-{c}")} for c in CELLS],
        "lines": [_line(li) for li in told.lines],
        "sums": [_sum(s) for s in told.sums],
        "signs": shelf.networked or shelf.accounts.any(),
        "left": shelf.ahead.left + sum(li.known.slow for li in told.lines) if told.lines else 0,
    }


def _line(line: Line) -> form.ShelfLine:
    known = line.known
    return {
        "name": line.name,
        "folder": known.folder,
        "state": known.hand.state if known.hand else "",
        "role": known.role,
        "address": address(known.key) if known.key else "",
        "need": line.need,
        "of": str(line.of or ""),
        "trouble": bool(known.trouble),
        "cells": [
            {"id": name, "loud": cell.loud, "said": [_pieces(m, known.key) for m in cell.said]}
            for name in CELLS
            if (cell := line.cells.get(name)) is not None and cell.said
        ],
    }


def _sum(found: Sum) -> form.ShelfSum:
    return {"title": str(found.title), "terms": [_pieces(m) for m in found.terms]}


def _pieces(message: Message, key: str = "") -> form.Sentence:
    return list(_each_piece(message, key))


def _each_piece(message: Message, key: str) -> Iterator[form.Linked]:
    for words, value in message.pieces():
        tract = (value.tract or key) if isinstance(value, Way) else ""
        if isinstance(value, Way) and tract and value.path:
            yield {"text": words, "href": _href(tract, value.path)}
        else:
            yield {"text": words}


def address(key: str) -> str:
    """Where a tract begins."""
    return f"{UNDER}{key}/"


def _href(key: str, path: str) -> str:
    """A page of a tract, or the working of a figure of its plan."""
    return f"{UNDER}{key}{path}" if path.startswith("/") else f"{address(key)}?why={path}"

"""A camera's card at the terminal: how far it is, and what came of it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import typer

from fencerow.exchange.cards.tags import tags_csv
from fencerow.store import Store
from fencerow.store.cards import Asked, bring_card, lines_of
from fencerow.store.files import write_whole
from fencerow.words import BadInput, say

_WIDE = 78


def read_in(
    store: Store, source: Path, asked: Asked, author: str, now: Callable[[], datetime]
) -> None:
    """Read a card, with a line that says how far it is where somebody looks on.

    Raises:
        BadInput: the card or what was said of it is wrong, or it was broken off.
    """
    going = _told if sys.stderr.isatty() else _untold
    try:
        lines = bring_card(store, source, asked, author, now, going=going)
    except KeyboardInterrupt:
        raise BadInput("cards-stopped") from None
    finally:
        going(0, 0, "")
    for line in lines:
        typer.echo(line)


def write_tags(store: Store, out: Path | None, untagged: bool) -> None:
    """Write or print the visits, to be tagged.

    Raises:
        BadInput: the file cannot be written.
    """
    tract = store.tract()
    text = tags_csv(tract, lines_of(store, tract), untagged)
    if out is None:
        typer.echo(text, nl=False)
        return
    try:
        write_whole(out, text.encode())
    except OSError as error:
        raise BadInput("tags-unwritable", file=out, why=error.strerror or error) from None
    typer.echo(say("tags-written", count=text.count("\n") - 1, file=out))


def _told(done: int, of: int, what: str) -> None:
    line = f"{done} / {of}  {what}" if of else ""
    sys.stderr.write(f"\r{line[:_WIDE]:<{_WIDE}}\r")
    sys.stderr.flush()


def _untold(done: int, of: int, what: str) -> None:
    """Nobody looks on."""

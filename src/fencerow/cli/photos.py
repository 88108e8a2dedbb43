"""A camera's card at the terminal: how far it is, and what came of it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import typer

from fencerow.store import Store
from fencerow.store.cards import Asked, bring_card
from fencerow.words import BadInput

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


def _told(done: int, of: int, what: str) -> None:
    line = f"{done} / {of}  {what}" if of else ""
    sys.stderr.write(f"\r{line[:_WIDE]:<{_WIDE}}\r")
    sys.stderr.flush()


def _untold(done: int, of: int, what: str) -> None:
    """Nobody looks on."""

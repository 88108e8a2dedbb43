"""How long work says how far it has come, and hears that it is no longer wanted.

One call does both: work that can be told to stop can be told so only where it says how far it is.
"""

from __future__ import annotations

from collections.abc import Callable

from fencerow.words import FencerowError

Going = Callable[[int, int, str], None]
"""Told the parts done, of how many, and what comes next; raises `Stopped` where the person wants
no more. Nothing is half written then: what is written is written in one go at the end."""


class Stopped(FencerowError):
    """The person wanted no more of it; nothing was changed."""

    def __init__(self) -> None:
        super().__init__("job-stopped")


def quietly(done: int, of: int, what: str) -> None:
    """Tell nobody, and go on."""

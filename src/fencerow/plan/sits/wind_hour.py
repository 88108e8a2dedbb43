"""How the wind of an hour stands at one sit, whichever way it was judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fencerow.figure import Figure, Parts
from fencerow.plan.sits.frame import Frame
from fencerow.words import Message


@dataclass(frozen=True)
class WindHour:
    """One hour: how it stands, the first reason, the answer that says so, the chance that it is
    right where one is known, and what one more input would settle."""

    state: str
    why: Message
    answer: Parts[Any]
    chance: Figure | None = None
    settles: tuple[Message, ...] = ()

    def verdict(self, state: str) -> Figure:
        """How the hour stands, with what else speaks of it, as a figure with its working."""
        return self.answer.figure(lambda _: state, "text")


def setting(frame: Frame, name: str, column: str) -> Figure:
    """A row of `evening_settings`; a person may lay their own over it."""
    return frame.given.tables["evening_settings"].row(name).figure(column)

"""Section: one planner's answer, a tree of figures, and what it has to say beside them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Protocol, runtime_checkable

from fencerow.figure import Figure
from fencerow.words import Message


class Weight(StrEnum):
    """How a sentence weighs: not planned, asked, able to hurt, doubtful, or worth knowing."""

    STOPPED = "stopped"
    ASK = "ask"
    CAUTION = "caution"
    DOUBT = "doubt"
    NOTE = "note"

    @property
    def loud(self) -> bool:
        """Whether it has to be read before anything is done."""
        return self in (Weight.STOPPED, Weight.ASK, Weight.CAUTION)


@dataclass(frozen=True)
class Said:
    """A planner's sentence about a part of its answer, and the entries of the record behind it."""

    weight: Weight
    about: str
    message: Message
    entries: tuple[str, ...] = ()

    @classmethod
    def of(
        cls, weight: Weight, about: str, message_id: str, /, *entries: str, **params: object
    ) -> Said:
        return cls(weight, about, Message.of(message_id, **params), tuple(entries))


@runtime_checkable
class Series(Protocol):
    """Amounts along a year with one recipe. Each becomes a figure when it is asked for: its path
    is that of the series, the case, and the place along it (`forage.asked.likely.31`)."""

    recipe: Any

    def figure(self, week: int, case: str = ...) -> Figure:
        """One amount as a figure with its working; there is an IndexError past the last."""
        ...


@dataclass(frozen=True)
class Section:
    """The answer to one question. `body` is made of dataclasses and mappings whose leaves are
    figures and plain words; the path of a figure is the way to it through their names."""

    id: str
    body: Any
    said: tuple[Said, ...] = ()
    kept: Any = field(default=None, repr=False, compare=False)
    """What a later planner needs again and nobody is told: no part of the answer."""

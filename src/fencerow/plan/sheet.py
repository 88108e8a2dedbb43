"""A sheet: ruled tables and sentences, the same in the terminal, on paper, on a page."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.plan.drawing import Drawing
from fencerow.plan.ruled import Column as Column
from fencerow.plan.ruled import Ruled as Ruled
from fencerow.plan.ruled import columns as columns
from fencerow.plan.section import Said
from fencerow.words import Message


@dataclass(frozen=True)
class Sheet:
    """One sheet of the plan: a title, a line under it, tables, sentences, drawings."""

    id: str
    title: str
    under: str | Message
    tables: tuple[Ruled, ...]
    said: tuple[Said, ...]
    drawings: tuple[Drawing, ...] = ()

    def beside(self) -> tuple[Ruled, ...]:
        """The tables that stand beside the drawings, where they can be drawn."""
        return tuple(t for t in self.tables if not (t.drawn and self.drawings))


WEIGHTS = ("stopped", "ask", "caution", "doubt", "note")


def by_weight(said: tuple[Said, ...] | list[Said]) -> tuple[Said, ...]:
    """Sentences with the weightiest first."""
    return tuple(sorted(said, key=lambda s: WEIGHTS.index(s.weight.value)))

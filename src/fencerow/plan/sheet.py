"""A sheet: ruled tables and sentences, the same in the terminal, on paper, on a page."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.plan.section import Said
from fencerow.words import Message, say


@dataclass(frozen=True)
class Column:
    """A column of a ruled table; numbers stand to the right, a wide column takes what is left."""

    name: str
    number: bool = False
    wide: bool = False


@dataclass(frozen=True)
class Ruled:
    """A ruled table: heads and rows of text."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""

    def without_blanks(self) -> Ruled:
        """The table without the columns in which no row says anything."""
        kept = [
            i for i in range(len(self.columns)) if not self.rows or any(r[i] for r in self.rows)
        ]
        rows = tuple(tuple(r[i] for i in kept) for r in self.rows)
        return Ruled(tuple(self.columns[i] for i in kept), rows, self.title)


@dataclass(frozen=True)
class Sheet:
    """One sheet of the plan: a title, a line under it, tables, sentences."""

    id: str
    title: str
    under: str | Message
    tables: tuple[Ruled, ...]
    said: tuple[Said, ...]


def columns(*names: str, of: str = "", **said: object) -> tuple[Column, ...]:
    """Columns by message id: a trailing '#' marks numbers, a '+' the wide one.

    Args:
        of: what the ids of all of them begin with after `head-`.
        said: what fills the blanks of their words.
    """
    return tuple(
        Column(say(f"head-{of}{n.rstrip('#+')}", **said), n.endswith("#"), n.endswith("+"))
        for n in names
    )


WEIGHTS = ("stopped", "ask", "caution", "doubt", "note")


def by_weight(said: tuple[Said, ...] | list[Said]) -> tuple[Said, ...]:
    """Sentences with the weightiest first."""
    return tuple(sorted(said, key=lambda s: WEIGHTS.index(s.weight.value)))

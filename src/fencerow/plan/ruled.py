"""A ruled table: heads and rows of words, the same in the terminal, on paper, on a page."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fencerow.words import say


@dataclass(frozen=True)
class Column:
    """A column of a ruled table; numbers stand to the right, a wide column takes what is left.

    Where its cells tell figures of one row of paths, `series` is their path, in which `*` stands
    for the key of the table's row, or for its number from 0.
    """

    name: str
    number: bool = False
    wide: bool = False
    series: str = ""


@dataclass(frozen=True)
class Ruled:
    """A ruled table: heads and rows of text."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""
    leads: bool = False
    """Whether it is read first, and large."""
    about: tuple[str, ...] = ()
    """The task or the thing of the record that each row is of, where there is one."""
    keys: tuple[str, ...] = ()
    """What stands for `*` in the paths of its columns."""
    drawn: bool = False
    """Whether a drawing of the sheet shows it, so that a page and paper leave it away."""

    def without_blanks(self) -> Ruled:
        """The table without the columns in which no row says anything."""
        kept = [
            i for i in range(len(self.columns)) if not self.rows or any(r[i] for r in self.rows)
        ]
        rows = tuple(tuple(r[i] for i in kept) for r in self.rows)
        return replace(self, columns=tuple(self.columns[i] for i in kept), rows=rows)


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

"""What a written plan is made of: headings, paragraphs, tables, a map; the same on paper and page.

Everything that is told from a figure is kept beside the words, so that the list of sources is that
of the figures which stand in the document, and no other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from fencerow.figure import Figure
from fencerow.plan.sheet import Ruled
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say


@dataclass(frozen=True)
class Block:
    """One piece: 'p', 'caution', 'h3', 'table', 'list' or 'map'."""

    kind: str
    text: str = ""
    table: Ruled | None = None
    items: tuple[str, ...] = ()


@dataclass
class Part:
    """One part of the document, under one heading."""

    id: str
    title: str
    blocks: list[Block] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)

    def p(self, message: str, /, **params: object) -> None:
        """A paragraph; a parameter that is a figure is told with its mark, and kept."""
        self.blocks.append(Block("p", self._say(message, params)))

    def also(self, message: str, /, **params: object) -> None:
        """One more sentence of the paragraph before it; a paragraph where none stands before."""
        text = self._say(message, params)
        if self.blocks and self.blocks[-1].kind == "p":
            text = f"{self.blocks.pop().text} {text}"
        self.blocks.append(Block("p", text))

    def words(self, text: str) -> None:
        """A paragraph in the person's own words."""
        self.blocks.append(Block("p", text))

    def caution(self, text: str) -> None:
        """A sentence that has to be read before anything is done."""
        self.blocks.append(Block("caution", text))

    def head(self, text: str) -> None:
        """A heading within the part."""
        self.blocks.append(Block("h3", text))

    def list(self, items: Sequence[str]) -> None:
        """A list of short lines."""
        if items:
            self.blocks.append(Block("list", items=tuple(items)))

    def table(self, table: Ruled) -> None:
        """A ruled table, without its empty columns; none where it has no row."""
        if not table.rows:
            return
        self.figures += [c.figure for r in table.rows for c in r if isinstance(c, Told)]
        self.blocks.append(Block("table", table=table.without_blanks()))

    def map(self) -> None:
        """The place of the map."""
        self.blocks.append(Block("map"))

    def _say(self, message: str, params: dict[str, object]) -> str:
        told: dict[str, object] = {}
        for name, value in params.items():
            if isinstance(value, Figure):
                self.figures.append(value)
                told[name] = str(marked(value))
            else:
                told[name] = value
        return say(message, **told)


def marked(figure: Figure | None, absent: str = "") -> str:
    """A figure for a cell, with a dagger where it rests on memory or on common practice."""
    if figure is None:
        return absent
    return brief(figure) + unchecked_mark(figure)


@dataclass(frozen=True)
class Written:
    """A written plan: its title, the lines under it, its parts, its map, its sources."""

    title: str
    under: tuple[str, ...]
    story: str
    parts: tuple[Part, ...]
    map: str
    map_told: str
    sources: tuple[str, ...]
    sources_title: str
    foot: str

    def figures(self) -> Iterator[Figure]:
        """Every figure that is told in it."""
        for part in self.parts:
            yield from part.figures

    def as_json(self) -> dict[str, Any]:
        """What the template sets: plain text."""
        return {
            "title": self.title,
            "under": list(self.under),
            "story": self.story,
            "parts": [_part(p) for p in self.parts],
            "map": self.map,
            "map_told": self.map_told,
            "sources": list(self.sources),
            "sources_title": self.sources_title,
            "foot": self.foot,
        }


def _part(part: Part) -> dict[str, Any]:
    return {"id": part.id, "title": part.title, "blocks": [_block(b) for b in part.blocks]}


def _block(block: Block) -> dict[str, Any]:
    found: dict[str, Any] = {"kind": block.kind, "text": block.text, "items": list(block.items)}
    if block.table is not None:
        found["columns"] = [
            {"name": c.name, "number": c.number, "wide": c.wide} for c in block.table.columns
        ]
        found["rows"] = [[str(cell) for cell in row] for row in block.table.rows]
        found["text"] = block.table.title
    return found

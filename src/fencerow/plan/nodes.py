"""Plan JSON: every figure at a permanent path, its inputs as references.

The path of a figure is the way to it through a section's body (`order.<place id>.lime`). What it
was worked from hangs below it by the names of the inputs, unless it already has a place: a soil
test's figure stands at `record.<entry>.<field>`, a table's cell at `table.<table>.<key>.<column>`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from typing import Any

from fencerow.figure import Assumed, Cell, Entered, Figure, Met, Worked
from fencerow.plan.section import Section, Series
from fencerow.words import Message

SCHEMA_VERSION = 1
MANY = 8
"""From so many inputs on, figures that share them tell them once."""


def leaves(body: Any, path: str) -> Iterator[tuple[str, Figure]]:
    """Every figure of a body with its path."""
    if isinstance(body, Figure):
        yield path, body
    elif is_dataclass(body) and not isinstance(body, type | Message):
        for field in fields(body):
            yield from leaves(getattr(body, field.name), f"{path}.{field.name}")
    elif isinstance(body, Mapping):
        for key, value in body.items():
            yield from leaves(value, f"{path}.{key}")


class Nodes:
    """The figures of a plan by path, and the path of each figure."""

    def __init__(self, sections: Mapping[str, Section]) -> None:
        self.by_path: dict[str, Figure] = {}
        self.path_of: dict[int, str] = {}
        self._hung = set[int]()  # inputs that figures share are walked once
        self._sections: dict[str, Section] = {}
        self._add(sections)

    def beside(self, sections: Mapping[str, Section]) -> Nodes:
        """These nodes and those of more sections."""
        both = Nodes({})
        both.by_path, both.path_of = {**self.by_path}, {**self.path_of}
        both._hung, both._sections = {*self._hung}, {**self._sections}
        both._add(sections)
        return both

    def __contains__(self, path: str) -> bool:
        return path in self.by_path or self._of_series(path) is not None

    def at(self, path: str) -> Figure:
        """The figure at a path; one of a series is made here.

        Raises:
            KeyError: none stands there.
        """
        found = self.by_path.get(path) or self._of_series(path)
        if found is None:
            raise KeyError(path)
        return found

    def _of_series(self, path: str) -> Figure | None:
        section, *way = path.split(".")
        if len(way) < 2 or section not in self._sections:
            return None
        *names, case, place = way
        body: Any = self._sections[section].body
        for name in names:
            body = body.get(name) if isinstance(body, Mapping) else getattr(body, name, None)
        if not isinstance(body, Series) or not hasattr(body, case) or not place.isdecimal():
            return None
        try:
            return body.figure(int(place), case)
        except (IndexError, TypeError):
            return None

    def _add(self, sections: Mapping[str, Section]) -> None:
        self._sections |= sections
        found = [leaf for s in sections.values() for leaf in leaves(s.body, s.id)]
        for path, figure in found:
            self.by_path[path] = figure
            self.path_of.setdefault(id(figure), path)
        for path, figure in found:
            self._hang(path, figure)

    def _hang(self, path: str, figure: Figure) -> None:
        """Give the inputs of a figure their places, nearest first."""
        queue = deque([(path, figure)])
        while queue:
            at, current = queue.popleft()
            if not isinstance(current.origin, Worked) or id(current.origin.inputs) in self._hung:
                continue
            self._hung.add(id(current.origin.inputs))
            for name, given in current.origin.inputs:
                if id(given) not in self.path_of:
                    place = self._place(f"{at}.{name}", given)
                    self.by_path.setdefault(place, given)
                    self.path_of[id(given)] = place
                    queue.append((place, given))

    def _place(self, below: str, figure: Figure) -> str:
        match figure.origin:
            case Entered(entry=entry, field=field):
                return f"record.{entry}.{field}"
            case Cell(table=table, key=key, column=column):
                return f"table.{table}.{key}.{column}"
            case _:
                return below

    def as_json(self) -> dict[str, dict[str, Any]]:
        """Every node as plain JSON values, by path.

        Many inputs that figures share are told once, at the first of their paths; the others name
        it.
        """
        told, met = dict[int, str](), Met()
        return {path: self._node(f, path, told, met) for path, f in sorted(self.by_path.items())}

    def _node(self, figure: Figure, path: str, told: dict[int, str], met: Met) -> dict[str, Any]:
        node: dict[str, Any] = {"value": plain(figure.value), "unit": figure.unit}
        match figure.origin:
            case Worked(formula, inputs):
                node["origin"] = "worked"
                node["function"] = formula.function.removeprefix("fencerow.")
                node["formula"] = formula.text
                first = path if len(inputs) < MANY else told.setdefault(id(inputs), path)
                if first == path:
                    node["inputs"] = {name: self.path_of[id(f)] for name, f in inputs}
                else:
                    node["inputs_as"] = first
            case Cell(table, key, column):
                node |= {"origin": "table", "table": table, "key": key, "column": column}
            case Assumed(why):
                node |= {"origin": "assumed", "why": message_json(why)}
            case Entered(entry, field, how, on):
                node |= {"origin": how, "entry": entry, "field": field}
                node["on"] = on.isoformat() if on else None
        node["basis"] = figure.basis.text
        node["sources"] = list(figure.sources(met))
        if figure.reason is not None:
            node["reason"] = message_json(figure.reason)
        return node

    def tree(self, body: Any, path: str) -> Any:
        """A section's body with each figure as a reference to its node."""
        if isinstance(body, Figure):
            return {"ref": path}
        if isinstance(body, Message):
            return message_json(body)
        drawn = hasattr(body, "digest")  # what is only drawn stands as its digest
        if is_dataclass(body) and not isinstance(body, type) and not drawn:
            return {
                f.name: self.tree(getattr(body, f.name), f"{path}.{f.name}") for f in fields(body)
            }
        if isinstance(body, Mapping):
            return {str(k): self.tree(v, f"{path}.{k}") for k, v in body.items()}
        if isinstance(body, list | tuple):
            return [plain(v) for v in body]
        return plain(body)


def plain(value: Any) -> Any:
    """A figure's value as JSON: full precision, dates as ISO, an outline as its type."""
    if isinstance(value, date | datetime):
        return value.isoformat()
    if hasattr(value, "geom_type"):
        return {"outline": value.geom_type}
    if isinstance(value, tuple):
        return [plain(v) for v in value]
    if hasattr(value, "digest"):
        return {"digest": value.digest}
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        return float(value)
    return str(value)


def message_json(message: Message) -> dict[str, Any]:
    return {
        "id": message.id,
        "params": {k: plain(v) for k, v in message.params},
        "text": str(message),
    }

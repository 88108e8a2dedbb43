"""How a figure is said: rounded to what its unit deserves, with its working in the trade's words.

Rounding happens here and nowhere before; plan JSON keeps full precision.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Self

from fencerow.data import sources
from fencerow.figure import Assumed, Basis, Cell, Entered, Figure, Formula, Worked
from fencerow.manner import Amount, Manner, manner, quantity, shown_in
from fencerow.manner import number as number
from fencerow.plan.nodes import Nodes
from fencerow.units import convert, unit_of
from fencerow.words import Words, day_text, has_name, language, name_of, say, value_of
from fencerow.words import compact_day as compact_day
from fencerow.words.language import Language

_IDENTIFIER = re.compile(r"[a-z_][a-z0-9_]*")


def value_text(value: Any, unit: str) -> str:
    """A value with its unit: '2.6 tons', '$431', 'Sep 14, 2027', 'silt loam'."""
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if isinstance(value, datetime):
        return f"{value:%H:%M} {day_text(value)}"
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, int | float):
        return quantity(value, unit)
    if isinstance(value, tuple):
        return ", ".join(f"{v:g}" for v in value)
    if isinstance(value, Basis):
        return str(name_of(value.text))
    if hasattr(value, "geom_type"):
        return say("outline")
    if hasattr(value, "digest"):
        return say("series", digest=value.digest[:8])
    return value_of(str(value))


class Told(str):
    """Words that tell a figure, and the figure, so that a page can lead to its working."""

    figure: Figure

    def __new__(cls, words: str, figure: Figure) -> Self:
        told = super().__new__(cls, words)
        told.figure = figure
        return told

    def __add__(self, mark: str) -> Told:
        """The words with a mark after them tell the same figure."""
        return Told(str(self) + mark, self.figure)


class ToldValue(Told):
    """The value of a figure in words, which are said anew where another language is spoken."""

    _speak: Callable[[Figure], str]
    _said_in: Language

    @classmethod
    def by(cls, speak: Callable[[Figure], str], figure: Figure) -> Self:
        told = cls(speak(figure), figure)
        told._speak, told._said_in = speak, language()
        return told

    def __str__(self) -> str:
        same = language() is self._said_in
        return super().__str__() if same else str(self._speak(self.figure))

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)


def text(figure: Figure) -> str:
    """A figure as it is said, or that it is not known and why."""
    return ToldValue.by(_in_full, figure)


def brief(figure: Figure | None, absent: str = "") -> str:
    """A figure for a cell of a table: its value, or 'not known'."""
    return absent if figure is None else ToldValue.by(_in_brief, figure)


def _in_full(figure: Figure) -> str:
    if figure.known or not figure.reason:
        return _in_brief(figure)
    return say("not-known", reason=figure.reason)


def _in_brief(figure: Figure) -> str:
    return value_text(figure.value, figure.unit) if figure.known else say("unknown")


@dataclass(frozen=True)
class ToldAmount(Amount):
    """A quantity in a sentence, and the figure that it tells."""

    figure: Figure | None = field(default=None, compare=False, repr=False)


def amount(figure: Figure) -> object:
    """A figure for a sentence, which is said when the sentence is: its number, else its words."""
    if isinstance(figure.value, int | float) and not isinstance(figure.value, bool):
        return ToldAmount(figure.value, figure.unit, figure=figure)
    return text(figure)


def step_text(figure: Figure) -> str:
    """A figure in its working: where it is converted, beside the trade's own number."""
    words = text(figure)
    with shown_in(Manner.US):
        trade = text(figure)
    return words if words == trade or not figure.known else f"{words} ({trade})"


def label(identifier: str) -> str:
    """The trade's name for a value; its own letters without its unit where there is none."""
    if isinstance(identifier, Words):  # an input that is called by a sentence
        return str(identifier)
    unit = "" if has_name(identifier) else unit_of(identifier)
    return name_of(identifier.removesuffix(f"_{unit}") if unit else identifier)


def in_words(formula: Formula) -> str:
    """The formula with the trade's names: 'acidity × share to lift − credit for earlier lime'."""
    return _spell(formula, label)


def in_numbers(formula: Formula, inputs: Mapping[str, Figure]) -> str:
    """The formula with its inputs' values: '1.6 × 0.86 − 0'.

    It multiplies in the trade's units, as its table and its publication do; read in metric, each
    number carries its unit.
    """
    say_number = number if manner() is Manner.US else quantity

    def value(name: str) -> str:
        if name not in inputs and name in formula.defaults:
            return value_text(formula.defaults[name], unit_of(name))
        given, unit = inputs[name], unit_of(name)
        if isinstance(given.value, int | float) and not isinstance(given.value, bool):
            if not unit or not given.unit:
                return say_number(given.value, given.unit or unit)
            return say_number(convert(given.value, given.unit, unit), unit)
        return brief(given)

    with shown_in(Manner.US):
        return _spell(formula, value)


def _spell(formula: Formula, say_name: Callable[[str], str]) -> str:
    def swap(found: re.Match[str]) -> str:
        return say_name(found[0]) if found[0] in formula.params else found[0]

    text = _IDENTIFIER.sub(swap, formula.text)
    return text.replace("**", "^").replace(" * ", " × ").replace(" - ", " − ")


@dataclass(frozen=True)
class Step:
    """One line of a working: how deep it hangs, what it is, how it came."""

    depth: int
    path: str
    name: str
    value: str
    working: str
    origin: str
    source: str
    unchecked: bool
    assumed: bool = False
    entry: str = ""
    field: str = ""
    """Where the person said it: an entry and its field, so that a page can lead there."""


def explain(nodes: Nodes, path: str, *, deep: bool = True) -> list[Step]:
    """The working of a figure, every step, each figure opened once where it is first met.

    Args:
        deep: whether what it was worked from is opened as well.
    """
    steps: list[Step] = []
    opened: set[str] = set()

    def open_(at: str, name: str, figure: Figure, depth: int) -> None:
        here = nodes.path_of.get(id(figure), at)
        steps.append(_step(figure, here, name, depth, again=here in opened))
        if not deep or here in opened or not isinstance(figure.origin, Worked):
            return
        opened.add(here)
        for given_name, given in figure.origin.inputs:
            open_(f"{here}.{given_name}", given_name, given, depth + 1)

    names = [name for name in path.split(".") if not name.isdecimal()]
    # a figure of a series is called by the series: 'forage.asked.likely.31' is 'asked'
    open_(path, names[-1] if path.endswith(names[-1]) else names[-2], nodes.at(path), 0)
    return steps


def _step(figure: Figure, path: str, name: str, depth: int, again: bool) -> Step:
    working, source, entry, field = "", "", "", ""
    own = Basis.SEEN
    match figure.origin:
        case Worked(formula, inputs):
            given = dict(inputs)
            working = in_words(formula)
            if not formula.lookup:
                working += f" = {in_numbers(formula, given)}"
            origin = say("origin-again") if again else say("origin-worked")
            source, own = cite(formula.sources), formula.basis
        case Cell(table, key, column, source_id, basis):
            origin = say("origin-table", table=name_of(table), key=key, column=label(column))
            source, own = cite((source_id,)), basis
        case Assumed(why):
            origin = say("origin-assumed", why=why)
        case Entered(entry, field, how, on):
            origin = say("origin-entered", how=name_of(how))
            if on:
                origin = say("origin-entered-on", how=name_of(how), on=value_text(on, ""))
    assumed = isinstance(figure.origin, Assumed)
    return Step(
        depth, path, label(name), step_text(figure), working, origin, source, own.unchecked,
        assumed, entry, field,
    )  # fmt: skip


def cite(ids: tuple[str, ...]) -> str:
    """The publications by these ids, in short."""
    return "; ".join(sources()[i].cited for i in ids if i != "definition")


def unchecked_mark(figure: Figure | None) -> str:
    """A dagger after a figure that rests on memory or on common practice."""
    return "†" if figure is not None and figure.known and figure.basis.unchecked else ""


def compass(figure: Figure | None) -> str:
    """A direction in words of the compass: 137 deg is 'SE'; level ground has none."""
    if figure is None or not figure.known:
        return ""
    degrees = figure.number()
    if degrees != degrees:
        return say("level")
    points = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    return Told(name_of(points[int((degrees + 22.5) // 45) % 8]), figure)

"""How a quantity is said: rounded to what its unit deserves, in the trade's units or in metric.

The manner is that of whoever reads, and is set around the saying (`shown_in`), each request and
each thread for itself. Nothing that is worked, kept or written to plan JSON depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from enum import StrEnum

from fencerow.units import METRIC, UNITS, convert
from fencerow.words import say, value_of


class Manner(StrEnum):
    """The units that a person reads in."""

    US = "us"
    METRIC = "metric"


_MANNER: ContextVar[Manner] = ContextVar("manner", default=Manner.US)


@contextmanager
def shown_in(manner: Manner) -> Iterator[None]:
    """Within it, quantities are said in this manner."""
    token = _MANNER.set(manner)
    try:
        yield
    finally:
        _MANNER.reset(token)


def manner() -> Manner:
    """The manner in which quantities are being said."""
    return _MANNER.get()


def shown_unit(unit: str) -> str:
    """The suffix that a unit is shown in."""
    return METRIC[unit][0] if manner() is Manner.METRIC and unit in METRIC else unit


def shown(value: float, unit: str) -> float:
    """A number of a unit, in the unit that it is shown in."""
    return convert(value, unit, shown_unit(unit))


def symbol(unit: str) -> str:
    """How the unit that a unit is shown in is printed: 'lb' is 'kg' in metric."""
    return value_of(UNITS[shown_unit(unit)].symbol)


def number(value: float, unit: str) -> str:
    """A number rounded to what its unit deserves, without it: '2.6', '1,240', '0.86'."""
    converted = shown_unit(unit) != unit
    return rounded(shown(value, unit), METRIC[unit][1] if converted else UNITS[unit].places)


def quantity(value: float, unit: str) -> str:
    """A number rounded to what its unit deserves, with it: '2.6 tons', '$431', '17°'."""
    return with_unit(number(value, unit), unit)


def with_unit(text: str, unit: str) -> str:
    """A number as text, with the symbol of the unit that it is shown in."""
    mark = symbol(unit)
    if mark.startswith("$"):
        return f"${text}{mark[1:]}"
    gap = "" if mark == "°" else " "
    return f"{text}{gap}{mark}".rstrip()


def rounded(value: float, places: int) -> str:
    """A number to so many places; from a thousand on to none, and never '-0'."""
    if places and abs(value) >= 1000:
        places = 0
    text = f"{value:,.{places}f}"
    return text.removeprefix("-") if float(text.replace(",", "")) == 0 else text


@dataclass(frozen=True)
class Amount:
    """A quantity in a sentence, or a range of one, that is said when the sentence is.

    `printed` is for what a table, a tag or a rule prints: it is said to its last digit in its own
    unit, and to two that count when it is converted.
    """

    value: float
    unit: str
    to: float | None = None
    printed: bool = False

    def __str__(self) -> str:
        text = self._number(self.value)
        if self.to is not None and self.to != self.value:
            text = say("span", low=text, high=self._number(self.to))
        return with_unit(text, self.unit)

    def _number(self, value: float) -> str:
        if not self.printed:
            return number(value, self.unit)
        if shown_unit(self.unit) == self.unit:
            return _trimmed(f"{value:,.6f}")
        return _trimmed(rounded(float(f"{shown(value, self.unit):.2g}"), METRIC[self.unit][1]))


def _trimmed(text: str) -> str:
    """A number without the zeros that it ends in: '0.50' is '0.5'."""
    return text.rstrip("0").rstrip(".") if "." in text else text


def in_both(value: float, unit: str, printed: bool = False) -> str:
    """A quantity as it is sold or worked in the trade's unit, with its metric beside it.

    '50 lb' is '50 lb (22.7 kg)' in metric; where nothing is converted it stands alone.
    """
    if shown_unit(unit) == unit:
        return str(Amount(value, unit, printed=printed))
    metric = quantity(value, unit)
    with shown_in(Manner.US):
        return f"{Amount(value, unit, printed=printed)} ({metric})"

"""Figure: a value, its unit, its working, its sources.

Science returns plain numbers. A planner calls it through one door, `work`, which records the
function, the inputs and where each came from. The formula's text, valid range and source stand on
the function (`@formula`), so that working is never written by hand. Outside the range that a
formula's source gives, the answer is "not known", with the reason.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import IntEnum
from functools import cached_property, wraps
from typing import Any, Generic, ParamSpec, TypeVar

from fencerow.units import UNITS, convert, unit_of
from fencerow.words import Message, OutsideRange

P = ParamSpec("P")
R = TypeVar("R")


class Basis(IntEnum):
    """How well a published fact is supported; the larger, the weaker."""

    SEEN = 0
    DEFINITION = 1
    DERIVED = 2
    COMMON_PRACTICE = 3
    FROM_MEMORY = 4

    @property
    def text(self) -> str:
        return self.name.lower().replace("_", " ")

    @classmethod
    def of(cls, text: str) -> Basis:
        return cls[text.strip().upper().replace(" ", "_")]

    @property
    def unchecked(self) -> bool:
        return self >= Basis.COMMON_PRACTICE


@dataclass(frozen=True)
class Formula:
    """What stands on a science function: its text, unit, source and the range of each input."""

    function: str
    text: str
    unit: str
    sources: tuple[str, ...]
    basis: Basis
    valid: Mapping[str, tuple[float, float]]
    params: tuple[str, ...]
    lookup: bool
    defaults: Mapping[str, Any] = field(default_factory=dict)
    """What holds for a parameter that is not given."""


FORMULAS: dict[str, Formula] = {}
"""Every formula that has been imported, by the dotted name of its function."""


def formula(
    text: str,
    *,
    unit: str,
    source: str | tuple[str, ...],
    basis: str = "seen",
    valid: Mapping[str, tuple[float, float]] | None = None,
    lookup: bool = False,
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Put a formula's text, unit, valid range and source on a science function.

    Args:
        text: the right-hand side as an expression of the parameter names (`4 * (6.6 - buffer_ph)`);
            a test evaluates it and compares it with the function. With `lookup`, plain words.
        unit: suffix of the result.
        source: ids in data/sources.toml.
        basis: 'seen', 'definition', 'derived', 'common practice' or 'from memory'.
        valid: inclusive range of each scalar input; a call outside raises `OutsideRange`.
        lookup: the function reads rows that it is given, and `text` is a sentence.
    """
    ranges = dict(valid or {})

    def put(fn: Callable[P, R]) -> Callable[P, R]:
        signature = inspect.signature(fn)
        name = f"{fn.__module__}.{fn.__qualname__}"
        described = Formula(
            name,
            text,
            unit,
            (source,) if isinstance(source, str) else source,
            Basis.of(basis),
            ranges,
            tuple(signature.parameters),
            lookup,
            {n: p.default for n, p in signature.parameters.items() if p.default is not p.empty},
        )
        if unit not in UNITS:
            raise KeyError(f"{name}: unit {unit!r} is not in units.py")
        if extra := set(ranges) - set(signature.parameters):
            raise KeyError(f"{name}: a range for {sorted(extra)}, which are no parameters")

        @wraps(fn)
        def checked(*args: P.args, **kwargs: P.kwargs) -> R:
            if ranges:
                named = {
                    **described.defaults,
                    **dict(zip(described.params, args, strict=False)),
                    **kwargs,
                }
                for param, (low, high) in ranges.items():
                    value = named.get(param)  # where it is missing the function itself says so
                    if isinstance(value, int | float) and not low <= value <= high:
                        raise OutsideRange(
                            "outside-range", name=param, value=value, low=low, high=high
                        )
            return fn(*args, **kwargs)

        checked.formula = described  # type: ignore[attr-defined]
        FORMULAS[name] = described
        return checked

    return put


def formula_of(fn: Callable[..., object]) -> Formula:
    """The formula that stands on a function.

    Raises:
        TypeError: the function carries none, so its result could not be explained.
    """
    found = getattr(fn, "formula", None)
    if not isinstance(found, Formula):
        raise TypeError(
            f"{fn!r} carries no formula; a number that cannot be explained is not shown"
        )
    return found


@dataclass(frozen=True)
class Entered:
    """A value that the person entered or measured: which entry, which field, on which day."""

    entry: str
    field: str
    how: str = "entered"
    on: date | None = None


@dataclass(frozen=True)
class Assumed:
    """A value that nobody entered; it is listed beside the answer."""

    why: Message


@dataclass(frozen=True)
class Cell:
    """A cell of a published table."""

    table: str
    key: str
    column: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Worked:
    """The result of a science function on other figures."""

    formula: Formula
    inputs: tuple[tuple[str, Figure], ...]


Origin = Entered | Assumed | Cell | Worked


@dataclass(frozen=True, eq=False)
class Figure:
    """A value with its unit and where it comes from; `value` is None where it is not known."""

    value: Any
    unit: str
    origin: Origin
    reason: Message | None = field(default=None)

    @property
    def known(self) -> bool:
        return self.value is not None

    def number(self) -> float:
        """The value as a number.

        Raises:
            ValueError: the figure is not known, or is no number.
        """
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            raise ValueError(f"no number: {self.value!r}")
        return float(self.value)

    def ancestry(self) -> Iterator[Figure]:
        """This figure and all that it was worked from, each once, nearest first."""
        queue, met = [self], set[int]()
        while queue:
            figure = queue.pop(0)
            if id(figure) in met:
                continue
            met.add(id(figure))
            yield figure
            if isinstance(figure.origin, Worked):
                queue += [f for _, f in figure.origin.inputs]

    @cached_property
    def basis(self) -> Basis:
        """The weakest support among all that this figure rests on."""
        inputs = self.origin.inputs if isinstance(self.origin, Worked) else ()
        return max([_own_basis(self), *(f.basis for _, f in inputs)])

    def assumed(self) -> tuple[Figure, ...]:
        """The inputs that nobody entered."""
        return tuple(f for f in self.ancestry() if isinstance(f.origin, Assumed))

    def sources(self, met: Met | None = None) -> tuple[str, ...]:
        """Ids of the publications that this figure rests on, nearest first.

        Args:
            met: what was found for inputs that figures share, for who asks of many figures.
        """
        match self.origin:
            case Worked(described, inputs):
                below = _sources_of(inputs, {} if met is None else met)
                return tuple(dict.fromkeys((*described.sources, *below)))
            case Cell(source=source):
                return (source,)
            case _:
                return ()


Inputs = tuple[tuple[str, Figure], ...]
Met = dict[int, tuple[str, ...]]
"""The sources of inputs, by the identity of these."""


def _sources_of(inputs: Inputs, met: Met) -> tuple[str, ...]:
    found = met.get(id(inputs))
    if found is None:
        each = (figure.sources(met) for _, figure in inputs)
        found = met[id(inputs)] = tuple(dict.fromkeys(s for sources in each for s in sources))
    return found


def _own_basis(figure: Figure) -> Basis:
    match figure.origin:
        case Worked(described, _):
            return described.basis
        case Cell(basis=basis):
            return basis
        case _:
            return Basis.SEEN


def assume(value: Any, unit: str, why: str, /, **params: object) -> Figure:
    """A figure that nobody entered, with the message that says why this value."""
    return Figure(value, unit, Assumed(Message.of(why, **params)))


def not_known(unit: str, origin: Origin, reason: str, /, **params: object) -> Figure:
    """A figure whose value is not known, with the reason."""
    return Figure(None, unit, origin, Message.of(reason, **params))


def work(fn: Callable[..., Any], /, **inputs: Figure) -> Figure:
    """Call a science function on figures and keep the working.

    Each input is converted to the unit that the parameter's name ends in. Where an input is not
    known, or lies outside the formula's range, the result is not known and says why.

    Raises:
        TypeError: the function carries no formula.
        ValueError: an input measures another quantity than its parameter.
    """
    described = formula_of(fn)
    origin = Worked(described, tuple(inputs.items()))
    values: dict[str, Any] = {}
    for name, figure in inputs.items():
        if not figure.known:
            reason = figure.reason or Message.of("input-not-known", name=name)
            return Figure(None, described.unit, origin, reason)
        values[name] = _in_unit(figure, unit_of(name))
    try:
        return Figure(fn(**values), described.unit, origin)
    except OutsideRange as error:
        return Figure(None, described.unit, origin, error.message)


def _in_unit(figure: Figure, unit: str) -> Any:
    if not unit or figure.unit == unit or not isinstance(figure.value, int | float):
        return figure.value
    return convert(figure.value, figure.unit, unit)


@dataclass(frozen=True)
class Parts(Generic[R]):
    """A structured answer of one call, from which single figures are taken with their working."""

    result: R
    formula: Formula
    inputs: Mapping[str, Figure]

    def figure(self, pick: Callable[[R], Any], unit: str, *only: str) -> Figure:
        """One value of the answer; `only` names the inputs to show, all where none is named."""
        shown = tuple((n, self.inputs[n]) for n in self.inputs if n in only) if only else self._all
        return Figure(pick(self.result), unit, Worked(self.formula, shown))

    @cached_property
    def _all(self) -> tuple[tuple[str, Figure], ...]:
        """Every input; figures of one answer share them, for there may be thousands."""
        return tuple(self.inputs.items())


def work_parts(fn: Callable[..., R], inputs: Mapping[str, Figure], /, **arguments: Any) -> Parts[R]:
    """Call a science function that takes and gives structures, and keep the working.

    Args:
        fn: the function; a formula stands on it.
        inputs: every figure that went into the arguments, by a name to show.
        arguments: what the function is called with, made of the inputs' values.

    Raises:
        TypeError: the function carries no formula.
    """
    return Parts(fn(**arguments), formula_of(fn), inputs)

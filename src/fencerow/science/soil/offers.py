"""What plots need and what is for sale, as the choice of a purchase takes them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any, TypeVar

from fencerow.words import BadInput, name_of

NUTRIENTS = ("n", "p2o5", "k2o", "s", "b")
T = TypeVar("T")


@dataclass(frozen=True)
class PlotNeed:
    """What a plot needs in all, and the most that it may get [lb]; None for no cap.

    `short_lb` says by how much each nutrient may fall short, `not_of` which materials may not go
    there, `passes` over how many passes at most it may be spread, a pass for each material.
    """

    plot: str
    n_lb: float = 0.0
    p2o5_lb: float = 0.0
    k2o_lb: float = 0.0
    n_cap_lb: float | None = None
    p2o5_cap_lb: float | None = None
    k2o_cap_lb: float | None = None
    s_lb: float = 0.0
    b_lb: float = 0.0
    s_cap_lb: float | None = None
    b_cap_lb: float | None = None
    short_lb: Mapping[str, float] = field(default_factory=dict)
    not_of: tuple[str, ...] = ()
    passes: int | None = None

    @property
    def needs(self) -> tuple[float, ...]:
        return tuple(getattr(self, f"{n}_lb") for n in NUTRIENTS)

    @property
    def caps(self) -> tuple[float, ...]:
        given = (getattr(self, f"{n}_cap_lb") for n in NUTRIENTS)
        return tuple(math.inf if cap is None else cap for cap in given)

    @property
    def may_lack(self) -> tuple[float, ...]:
        return tuple(self.short_lb.get(n, 0.0) for n in NUTRIENTS)


@dataclass(frozen=True)
class Offer:
    """A material as it is sold: grade [%], lb and price of one package, how many there are.

    An order of it is of `least` packages or more, and costs `delivery_usd` to be brought.
    `on_hand_lb` is there already, in open bags, and costs nothing. A spreader carries `load_lb`.
    """

    offer: str
    material: str
    n_pct: float
    p2o5_pct: float
    k2o_pct: float
    package_lb: float
    price_usd: float
    most: int | None = None
    s_pct: float = 0.0
    b_pct: float = 0.0
    least: int = 1
    delivery_usd: float = 0.0
    on_hand_lb: float = 0.0
    load_lb: float | None = None

    @property
    def shares(self) -> tuple[float, ...]:
        return tuple(getattr(self, f"{n}_pct") / 100 for n in NUTRIENTS)


def nutrient_name(nutrient: str) -> str:
    """A nutrient as the trade writes it: 'P2O5', 'S'."""
    return name_of(f"nutrient_{nutrient}" if nutrient in ("s", "b") else nutrient)


def made(kind: type[T], given: T | Mapping[str, Any]) -> T:
    """A thing, or the thing that a plain mapping of its fields describes."""
    return kind(**given) if isinstance(given, Mapping) else given


def named(things: Sequence[T], name: str) -> list[T]:
    """The things in order of their names.

    Raises:
        BadInput: a name stands twice, or a number is out of its range.
    """
    found: dict[str, T] = {}
    for thing in things:
        values = asdict(thing)  # type: ignore[call-overload]
        of = str(values[name])
        if of in found:
            raise BadInput("blend-twice", kind=name, name=of)
        values |= {f"{n}_lb": lb for n, lb in dict(values.get("short_lb", {})).items()}
        for title, value in values.items():
            if isinstance(value, int | float):
                _check(of, title, value)
        found[of] = thing
    return [found[key] for key in sorted(found)]


def _check(of: str, title: str, value: float) -> None:
    high = 100.0 if title.endswith("_pct") else 1e7
    low = {"package_lb": 0.01, "load_lb": 0.01}.get(title, 0.0)
    if not low <= value <= high:
        raise BadInput("blend-number", of=of, field=title, value=value, low=low, high=high)

"""How a tract begins: step by step, what the plan says already and what one more input would add.

The order is that of the work: each step makes those after it worth more, and none is demanded.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fencerow.tract.model import Tract
from fencerow.tract.places import Blind, Plot, Treestand
from fencerow.words import say


@dataclass(frozen=True)
class Beginning:
    """One step: how many of these are entered, and what that says or what one would add."""

    id: str
    title: str
    count: int
    text: str
    places: tuple[str, ...]
    kinds: tuple[str, ...]
    """The kinds of place, and of other things, that belong to the step."""


@dataclass(frozen=True)
class _Step:
    id: str
    count: Callable[[Tract], int]
    places: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()


def _places(*kinds: type) -> Callable[[Tract], int]:
    return lambda tract: sum(isinstance(k.body, kinds) for k in tract.places.values())


def _datasets(role: str) -> Callable[[Tract], int]:
    return lambda tract: sum(k.body.role == role for k in tract.datasets.values())


STEPS = (
    _Step("plots", _places(Plot), places=("plot",)),
    _Step("tests", lambda t: len(t.soil_tests), kinds=("soil-test",)),
    _Step("plantings", lambda t: len(t.plantings), kinds=("blend", "planting")),
    _Step("prices", lambda t: len(t.materials) + len(t.seed_lots), kinds=("material", "seed-lot")),
    _Step("equipment", lambda t: len(t.equipment), kinds=("equipment",)),
    _Step("weather", _datasets("weather")),
    _Step("deer", lambda t: len(t.deer), kinds=("deer",)),
    _Step("closing", lambda t: len(t.closings), kinds=("closing", "season")),
    _Step("elevation", _datasets("elevation")),
    _Step(
        "sits",
        _places(Treestand, Blind),
        places=("treestand", "blind", "access route"),
        kinds=("hours", "reach"),
    ),
)


def begin(tract: Tract) -> list[Beginning]:
    """Every step, in order."""
    return [_beginning(step, step.count(tract)) for step in STEPS]


def _beginning(step: _Step, count: int) -> Beginning:
    text = say(f"begin-{step.id}-{'says' if count else 'adds'}")
    return Beginning(step.id, say(f"begin-{step.id}"), count, text, step.places, step.kinds)

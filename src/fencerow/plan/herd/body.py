"""What the planners of the herd answer with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from fencerow.figure import Figure, Worked
from fencerow.plan.forage.series import Recipe
from fencerow.words import Message


@dataclass(frozen=True)
class Estimate:
    """What one method says: of what, how many, from where to where, and what it takes for true."""

    name: Message
    of: Message
    likely: Figure
    low: Figure
    high: Figure
    assumes: Message


@dataclass(frozen=True)
class Curve:
    """When deer are seen: at each half hour by the sun, what percent of all come in an hour."""

    name: Message
    seen: Figure
    height: tuple[float, ...] = ()
    recipe: Recipe | None = None

    def figure(self, week: int, case: str = "height") -> Figure:
        """The height at one half hour, counted from 0.

        Raises:
            IndexError: the day has no such half hour.
        """
        if not 0 <= week < len(self.height) or self.recipe is None:
            raise IndexError(week)
        origin = Worked(self.recipe.formula, tuple(self.recipe.inputs[case].items()))
        return Figure(self.height[week], "pct", origin)


@dataclass(frozen=True)
class Overlap:
    """How far two curves overlap."""

    first: Message
    second: Message
    likely: Figure
    low: Figure
    high: Figure


@dataclass(frozen=True)
class Effect:
    """How many times as many visits there are for a step more of one thing."""

    name: Message
    step: Message
    likely: Figure
    low: Figure
    high: Figure

    @property
    def tells(self) -> bool:
        """Whether the interval leaves 1 out."""
        if not (self.low.known and self.high.known):
            return False
        return self.low.number() > 1 or self.high.number() < 1


@dataclass(frozen=True)
class Survey:
    """The survey that the numbers are of."""

    name: str
    first: Figure
    last: Figure
    cameras: Figure
    visits: Figure
    untagged: Figure
    needed: Figure | None
    baited: bool | None


@dataclass(frozen=True)
class Design:
    """A survey on record, to lay out one's own by."""

    block: Figure
    days: Figure
    photographed: Figure


@dataclass(frozen=True)
class Herd:
    """How many deer, and when they move."""

    survey: Survey | None = None
    ratios: Mapping[str, Figure] = field(default_factory=dict)
    by_camera: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    estimates: Mapping[str, Estimate] = field(default_factory=dict)
    curves: Mapping[str, Curve] = field(default_factory=dict)
    by_day: Estimate | None = None
    overlaps: Mapping[str, Overlap] = field(default_factory=dict)
    effects: Mapping[str, Effect] = field(default_factory=dict)
    spread: Figure | None = None
    designs: Mapping[str, Design] = field(default_factory=dict)


@dataclass(frozen=True)
class ClassTaken:
    """Deer of one sex and age that were taken."""

    sex: str
    age: str
    count: Figure
    dressed: Figure | None
    live: Figure | None
    points: Figure | None
    spread: Figure | None


@dataclass(frozen=True)
class Share:
    """A part of some, with its interval."""

    part: Figure
    whole: Figure
    likely: Figure
    low: Figure
    high: Figure


@dataclass(frozen=True)
class Watched:
    """Deer seen from sits, to the hour."""

    sits: Figure
    hours: Figure
    each_hour: Mapping[str, Figure]
    uncounted: Figure


@dataclass(frozen=True)
class Balance:
    """What recruitment and survival imply for does, at the least and at the most."""

    does: Mapping[str, Figure]
    fawns: Mapping[str, Figure]
    survive: Mapping[str, Figure]
    share: Mapping[str, Figure]
    taken: Mapping[str, Figure]


@dataclass(frozen=True)
class Taken:
    """What was taken and seen in the year, and what the herd bears."""

    classes: Mapping[str, ClassTaken]
    lactating: Share | None
    fetuses: Figure | None
    watched: Watched | None
    balance: Balance | None


@dataclass(frozen=True)
class Due:
    """A duty for a deer that was taken, or by a day."""

    task: str
    by: Figure
    what: Message
    why: Message
    place: str
    done: bool
    taken_on: date | None

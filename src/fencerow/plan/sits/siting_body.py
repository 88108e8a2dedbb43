"""What the section `siting` holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.sits.drifts import DriftTest


@dataclass(frozen=True)
class Counted:
    """Hours that are right, of those with a known wind."""

    right: Figure
    known: Figure
    share: Figure


@dataclass(frozen=True)
class Lost:
    """Hours that fail, by what fails first, and at which place most."""

    why: str
    place: str
    hours: Figure


@dataclass(frozen=True)
class SeasonJudged:
    """One season at one sit. Months and parts of the day are never put together without need."""

    name: str
    record: str
    whole: Counted
    parts: Mapping[str, Counted]
    months: Mapping[str, Mapping[str, Counted]]
    lost: Mapping[str, Lost]


@dataclass(frozen=True)
class WayIn:
    """A way in from a gate in some winds: its line, length, minutes, and those of them exposed,
    and how much of that is to ears."""

    winds: str
    line: Figure
    length: Figure
    minutes: Figure
    exposed: Figure
    heard: Figure
    hidden: bool


@dataclass(frozen=True)
class Judged:
    """One sit: the winds it wants, its hours, its ways in, and its tests with milkweed or smoke."""

    name: str
    wants: Figure
    seasons: Mapping[str, SeasonJudged]
    ways: Mapping[str, WayIn]
    tests: Mapping[str, DriftTest]
    turn: Figure | None


@dataclass(frozen=True)
class InSet:
    """A sit in the order taken, and the hours that it adds to those before it."""

    name: str
    adds: Figure


@dataclass(frozen=True)
class SetOf:
    """The sits that together serve the most season hours, and what no set could go beyond."""

    record: str
    members: Mapping[str, InSet]
    served: Figure
    bound: Figure
    known: Figure
    unserved: Figure | None


@dataclass(frozen=True)
class Proposal:
    """A cell for one more treestand: where, the winds that it wants, and why there."""

    name: str
    spot: Figure
    inside: str
    near: str
    off: Figure
    bearing: Figure
    wants: Figure
    travel: Figure
    right: Figure | None
    adds: Figure | None
    minutes: Figure | None
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Siting:
    """The sits that are drawn, the best set of them, and places for one more."""

    places: Mapping[str, Judged]
    best: SetOf | None
    proposals: Mapping[str, Proposal]

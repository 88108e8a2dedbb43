"""What the section `siting` holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from fencerow.figure import Figure
from fencerow.plan.sits.drifts import DriftTest
from fencerow.science.ground.grid import Floats, Index, LocalGrid


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
class Surface:
    """What siting found of squares all over a tract.

    Args:
        grid: where the squares lie; each has the judged spot in its middle. Heights mean nothing.
        share: of the season's hours with a known wind that can be sat in; NaN where nobody sits.
        first: what most other hours fail by, a `Why`; 0 where nobody sits.
        travel: how much deer are taken to travel in the shortest reach, of the most; NaN as above.
        hours: how many hours were judged.
        at: rows and columns of the judged spots, among the squares here.
        cells: the same spots among those of the tract's ground.
    """

    grid: LocalGrid
    share: Floats
    first: NDArray[np.uint8]
    travel: Floats
    hours: int
    at: tuple[Index, Index]
    cells: tuple[Index, Index]

    @cached_property
    def digest(self) -> str:
        """SHA-256 of what was found and where."""
        parts = (self.share.tobytes(), self.first.tobytes(), self.travel.tobytes())
        return sha256(b"".join([self.grid.digest.encode(), *parts])).hexdigest()


@dataclass(frozen=True)
class Print:
    """The ground that scent reaches in one wind, and where it may reach for all that is known of
    the wind's direction; with the cover and plots under each. A calm blows from nowhere."""

    from_deg: float | None
    wind_m_s: float
    middle: BaseGeometry
    spread: BaseGeometry
    reached: tuple[str, ...]
    maybe: tuple[str, ...]

    @property
    def digest(self) -> str:
        """SHA-256 of both outlines."""
        return sha256(bytes(self.middle.wkb + self.spread.wkb)).hexdigest()


@dataclass(frozen=True)
class Siting:
    """The sits that are drawn, the best set of them, places for one more, and what was found of
    squares all over the tract."""

    places: Mapping[str, Judged]
    best: SetOf | None
    proposals: Mapping[str, Proposal]
    surface: Surface | None = None
    prints: Mapping[str, Mapping[str, Print]] = field(default_factory=dict)
    """Of each sit on the steady day, by where the wind blows from."""

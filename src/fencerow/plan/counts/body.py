"""What the section `counts` holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure
from fencerow.plan.counts.read import Reading
from fencerow.words import Message


@dataclass(frozen=True)
class Counted:
    """A count, what the thresholds say of it, what they speak for, and the choice that was taken.

    `year` says in which of its growing seasons the stand was counted; `came_up` are the plants of
    a hundred live seeds sown.
    """

    reading: Reading
    verdict: Figure | None
    advice: str
    taken: str
    year: Figure | None
    sown: Figure | None
    came_up: Figure | None


@dataclass(frozen=True)
class Due:
    """A count that is to be taken."""

    place: str
    name: str
    method: str
    by: Figure
    why: Message


@dataclass(frozen=True)
class CageSeason:
    """Cages of a plot over a year, period by period: what grew, what was taken, how sure it is."""

    name: str
    year: Figure
    periods: Figure
    pairs: Figure | None
    growth: Figure | None
    removal: Figure
    low: Figure | None
    high: Figure | None
    use: Figure | None


@dataclass(frozen=True)
class PhotoPoint:
    """A photo point: which way it faces, how high the camera is held, its photos, the next."""

    name: str
    facing: Figure
    height: Figure
    photos: Figure
    last: Figure | None
    due: Figure


@dataclass(frozen=True)
class Counts:
    """Every count by its id, the latest first; what is due; cages by plot and year; photos."""

    counts: Mapping[str, Counted] = field(default_factory=dict)
    due: Mapping[str, Due] = field(default_factory=dict)
    cages: Mapping[str, CageSeason] = field(default_factory=dict)
    points: Mapping[str, PhotoPoint] = field(default_factory=dict)

"""What the section `learned` holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure


@dataclass(frozen=True)
class Visit:
    """A plot on a day: what stood in the cages and beside them, by whichever way it was read.

    `frames` tells how far a mean of so many readings can be trusted; `span` are the days since the
    cages were set or moved, `start` what stood outside then.
    """

    place: str
    name: str
    on: Figure
    how: str
    inside: Figure | None
    outside: Figure | None
    frames: Figure
    since: Figure | None
    start: Figure | None
    growth: Figure | None = None
    removal: Figure | None = None
    use: Figure | None = None
    deer: Figure | None = None

    @property
    def day(self) -> date:
        found: date = self.on.value
        return found


@dataclass(frozen=True)
class Reading:
    """One reading of a factor: what was found over what the model said, and its variance."""

    on: Figure
    of: str
    log: Figure
    variance: Figure


@dataclass(frozen=True)
class Factor:
    """By what the model is multiplied on a plot, and what is left of its own range."""

    factor: Figure
    band: Figure
    mean: Figure
    variance: Figure


@dataclass(frozen=True)
class PlotLearned:
    """What was learned of a plot this year, from a day on, of the plantings that were there."""

    name: str
    plantings: tuple[str, ...]
    since: Figure
    days: Figure
    stale: bool
    growth: Factor
    use: Factor
    readings: Mapping[str, Reading]


@dataclass(frozen=True)
class Score:
    """A forecast, and what was found."""

    name: str
    on: Figure
    side: str
    low: Figure
    likely: Figure
    high: Figure
    found: Figure
    outcome: Figure


@dataclass(frozen=True)
class Learned:
    """By plot what was learned this year; every visit; every forecast that a clip has judged since.

    `unseen`: plots with a crop on which nothing was counted of late, by the days since.
    """

    plots: Mapping[str, PlotLearned]
    visits: Mapping[str, Visit]
    scores: Mapping[str, Score]
    held: Figure | None
    unseen: Mapping[str, Figure]

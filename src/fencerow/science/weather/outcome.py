"""How a year's work came out: what was done on which day, what was not, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

NOT_FIT, NO_HOURS, NOT_KNOWN, WAITS = "not-fit", "no-hours", "not-known", "waits"
"""Why a plot was not finished. Waits are the reason only where no day was lost to another."""
BARRED = ("", "permission", "closed", "machine-away")
"""What may keep a job off a day whatever the weather, by its number; 0 is nothing."""


class Spell(NamedTuple):
    """Hours that went to a job on a day."""

    day: int
    job: int
    work_h: float


@dataclass(frozen=True)
class PlotYear:
    """How one plot came out: the day of its last job, or why there is none."""

    finished: bool
    done_day: int | None
    reason: str = ""
    lost_days: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class YearRun:
    """How one year came out: the day on which each job was last done, and every hour worked.

    A skipped job has no day and does not keep its plot from being finished.
    """

    finished: bool
    plots: Mapping[str, PlotYear]
    done_day: tuple[int | None, ...]
    skipped: tuple[int, ...]
    spells: tuple[Spell, ...]


@dataclass(frozen=True)
class Seasons:
    """Every year by itself, in the order of the arrays."""

    runs: tuple[YearRun, ...]

    @property
    def finished_years(self) -> int:
        """In how many years all was done."""
        return sum(run.finished for run in self.runs)

    @property
    def last_days(self) -> list[int | None]:
        """The day on which the last job of each year was done; None where one was left."""
        return [
            max((day for day in run.done_day if day is not None), default=None)
            if run.finished
            else None
            for run in self.runs
        ]

"""Ways to work by: which job goes first on a day, what is held back, how far ahead is looked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from fencerow.science.weather.jobs import Job, depths

FIRST = ("advanced", "plot", "hours", "last day")
"""What goes first: the most advanced job; all of one plot; the job with most hours behind it; the
job whose last day comes soonest."""
STEPS = (-14, -7, -3, 3, 7, 14)
"""Days by which a first day is tried to be moved."""
MOST_APART = 4
"""Days by which each plot is tried to be begun after the one before it, at the most."""
_LAST = 1e9  # of a job without a last day


@dataclass(frozen=True)
class Way:
    """A way to work by. `plots` go first in their order; `moved` and `held` are days by which the
    first days of kinds of job and of plots come later, sooner below 0."""

    first: str = FIRST[0]
    plots: tuple[str, ...] = ()
    moved: Mapping[str, int] = field(default_factory=dict)
    held: Mapping[str, int] = field(default_factory=dict)
    sees_days: int = 0

    def jobs(self, jobs: Sequence[Job], kinds: Sequence[str]) -> list[Job]:
        """The jobs with their first days moved, those of the kinds that may be."""
        return [self._moved(job) if job.kind in kinds else job for job in jobs]

    def _moved(self, job: Job) -> Job:
        days = self.moved.get(job.kind, 0) + self.held.get(job.plot, 0)
        return replace(job, go_day=max(0, job.go_day + days)) if days else job

    def order(self, jobs: Sequence[Job]) -> list[int]:
        """The jobs, by their place in the list, in the order in which a day looks at them."""
        depth = depths(jobs)
        ranked = {plot: rank for rank, plot in enumerate(self.plots)}
        plots = dict.fromkeys(job.plot for job in jobs)
        own = {plot: ranked.get(plot, at) for at, plot in enumerate(plots)}
        after = hours_after(jobs) if self.first == "hours" else []

        def key(at: int) -> tuple[float, ...]:
            job, rank = jobs[at], ranked.get(jobs[at].plot, 0)
            match self.first:
                case "plot":
                    return own[job.plot], -depth[at], job.go_day, at
                case "hours":
                    return -after[at], rank, -depth[at], at
                case "last day":
                    last = _LAST if job.until_day is None else job.until_day
                    return last, -depth[at], rank, at
                case _:
                    return -depth[at], rank, job.go_day, at

        return sorted(range(len(jobs)), key=key)


def hours_after(jobs: Sequence[Job]) -> list[float]:
    """The hours of each job and of the longest row of jobs that wait on it [h]."""
    found = [job.work_h for job in jobs]
    for at in reversed(range(len(jobs))):
        for wait in jobs[at].waits:
            found[wait.after] = max(found[wait.after], jobs[wait.after].work_h + found[at])
    return found


def another(
    dice: np.random.Generator, way: Way, plots: Sequence[str], kinds: Sequence[str], sees_days: int
) -> Way:
    """A way with one thing drawn anew."""
    what = int(dice.integers(6))
    if what == 0:
        return replace(way, first=FIRST[int(dice.integers(len(FIRST)))])
    if what == 1:
        ranked = list(way.plots or plots)
        plot = ranked.pop(int(dice.integers(len(ranked))))
        ranked.insert(int(dice.integers(len(ranked) + 1)), plot)
        return replace(way, plots=tuple(ranked))
    if what == 2:
        return replace(way, sees_days=int(dice.integers(sees_days + 1)))
    if what == 3:
        apart = int(dice.integers(MOST_APART + 1))
        ranked = list(way.plots or plots)
        return replace(way, held={plot: rank * apart for rank, plot in enumerate(ranked)})
    among, days = (kinds, way.moved) if what == 4 else (plots, way.held)
    if not among:
        return way
    one = among[int(dice.integers(len(among)))]
    days = {**days, one: days.get(one, 0) + STEPS[int(dice.integers(len(STEPS)))]}
    return replace(way, moved=days) if what == 4 else replace(way, held=days)

"""The days that each plot lost, by why: what kept the first of its jobs that was ready."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fencerow.science.weather.day_bits import NEVER, JobDays, from_day, span
from fencerow.science.weather.outcome import BARRED, NO_HOURS, NOT_FIT, NOT_KNOWN


class LostDays:
    """Counts by spells of days between two changes of a plot, rather than day by day."""

    def __init__(self, days: JobDays, jobs: Mapping[str, Sequence[int]]) -> None:
        """With the jobs of each plot, in the order in which a day looks at them."""
        self.days, self.jobs = days, jobs
        self.by_plot: dict[str, dict[str, int]] = {plot: {} for plot in jobs}
        self.since = dict.fromkeys(jobs, 0)
        self.vain = [0] * len(days.ok)
        """Days on which each job was left, since what follows could not have followed in time."""

    def count(self, plot: str, until: int, ready: Callable[[int], int]) -> None:
        """Count a plot's days up to one, on which it changes; `ready` is `NEVER` of what is done,
        left out, or waits."""
        days, left = self.days, span(self.since[plot], until)
        self.since[plot] = max(until, self.since[plot])
        lost = self.by_plot[plot]
        for at in self.jobs[plot]:
            if not left:
                return
            if (earliest := ready(at)) == NEVER:
                continue
            own = left & days.open[at] & from_day(earliest)
            left &= ~own
            kept = days.barred[at]
            if own & kept[0]:
                for number, reason in enumerate(BARRED[1:], 1):
                    _add(lost, reason, own & kept[number])
                own &= ~kept[0]
            fit = own & days.may[at]
            _add(lost, NOT_KNOWN, own & ~fit & ~days.known[at])
            _add(lost, NOT_FIT, (own & ~fit & days.known[at]) | (fit & self.vain[at]))
            _add(lost, NO_HOURS, fit & ~self.vain[at])


def _add(lost: dict[str, int], reason: str, days: int) -> None:
    if days:
        lost[reason] = lost.get(reason, 0) + days.bit_count()

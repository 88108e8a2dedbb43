"""One year by the rule of the day, from one day on which something can happen to the next."""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.science.weather.day_bits import NEVER, JobDays, first_day
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.lost import LostDays
from fencerow.science.weather.outcome import WAITS, PlotYear, Spell, YearRun

_DONE = 1e-9  # hours left of a job that are nothing but rounding
Followers = Sequence[Sequence[tuple[int, Wait]]]


def followers_of(jobs: Sequence[Job]) -> list[list[tuple[int, Wait]]]:
    """For each job those that wait on it, and how."""
    found: list[list[tuple[int, Wait]]] = [[] for _ in jobs]
    for at, job in enumerate(jobs):
        for wait in job.waits:
            found[wait.after].append((at, wait))
    return found


class OneYear:
    """One year under way."""

    def __init__(
        self, jobs: Sequence[Job], order: Sequence[int], followers: Followers, days: JobDays,
        sees_days: int,
    ) -> None:  # fmt: skip
        self.jobs, self.followers, self.days, self.sees_days = jobs, followers, days, sees_days
        self.todo = self.order = list(order)
        self.left = [job.work_h for job in jobs]
        self.done: list[int | None] = [None] * len(jobs)
        self.begun: set[int] = set()
        self.skipped: set[int] = set()
        self.spells: list[Spell] = []
        self.lost = LostDays(days, [job.plot for job in jobs], order)
        self.next = [self._next(at, 0) for at in range(len(jobs))]
        self.hurried = [at for at in order if any(w.most_days is not None for w in jobs[at].waits)]
        self.late = [NEVER] * len(jobs)

    def run(self, people: Sequence[float], machines: Sequence[float]) -> YearRun:
        """The year, within the hours of people and of each machine on each day [h]."""
        end = len(people)
        while self.todo:
            day = min([self.next[at] for at in self.todo])
            late = min([self.late[at] for at in self.hurried], default=NEVER)
            if min(day, late) >= end:
                break
            if late <= day:
                self._too_late(late)
            else:
                self._work(day, people[day], machines[day])
        for plot in self.lost.by_plot:
            self.lost.count(plot, end, self._ready)
        return self._outcome()

    def _ready(self, at: int) -> int:
        """The day from which what it waits on was done long enough ago; `NEVER` where it is not
        done, or where this job is done or left out itself."""
        if self.done[at] is not None or at in self.skipped:
            return NEVER
        job = self.jobs[at]
        ready = job.go_day
        for wait in job.waits:
            if wait.after in self.skipped:
                continue
            earlier = self.done[wait.after]
            if earlier is None:
                return NEVER
            ready = max(ready, earlier + wait.least_days)
        return ready

    def _next(self, at: int, day: int) -> int:
        """The next day, from one on, on which a job may be worked at."""
        ready = self._ready(at)
        return NEVER if ready == NEVER else first_day(self.days.ok[at], max(ready, day))

    def _changes(self, at: int, day: int) -> None:
        """Before a job is done, done over or left out: its plot's lost days are those till now."""
        for plot in {self.jobs[at].plot, *(self.jobs[f].plot for f, _ in self.followers[at])}:
            self.lost.count(plot, day, self._ready)

    def _changed(self, at: int, day: int) -> None:
        """After it: when it and those that wait on it come next."""
        self.next[at], self.late[at] = self._next(at, day), self._late(at)
        for after, _ in self.followers[at]:
            self.next[after] = self._next(after, day)
            self.late[after] = self._late(after)

    def _late(self, at: int) -> int:
        """The day on which a job is found to be too late for the longest of its waits."""
        if self.done[at] is not None or at in self.begun or at in self.skipped:
            return NEVER
        days = [
            earlier + wait.most_days + 1
            for wait in self.jobs[at].waits
            if wait.most_days is not None and (earlier := self.done[wait.after]) is not None
        ]
        return min(days, default=NEVER)

    def _too_late(self, day: int) -> None:
        """Do over, or leave out, where the longest wait has run out before a job was begun."""
        for at in self.hurried:
            if self.late[at] > day:
                continue
            for wait in self.jobs[at].waits:
                earlier = self.done[wait.after]
                if earlier is None or wait.most_days is None or day - earlier <= wait.most_days:
                    continue
                gone = at if wait.if_late == "skip" else wait.after
                self._changes(gone, day)
                if gone == at:
                    self.skipped.add(at)
                else:
                    self.done[gone], self.left[gone] = None, self.jobs[gone].work_h
                self._changed(gone, day)
        self._list_todo()

    def _list_todo(self) -> None:
        self.todo = [at for at in self.order if self.done[at] is None and at not in self.skipped]

    def _work(self, day: int, hours: float, running: float) -> None:
        """Spend the hours of a day; what was done today may let another job begin today."""
        free: dict[str, float] = {}
        finished = True
        while finished:
            finished = False
            for at in self.todo:
                if self.next[at] != day:
                    continue
                left = self.left[at]
                spent = min(left, hours)
                if self.sees_days:
                    in_vain = spent >= left - _DONE and self._in_vain(at, day)
                    self._note_vain(at, day, in_vain)
                    if in_vain:
                        continue
                if machine := self.jobs[at].machine:
                    spent = min(spent, free.setdefault(machine, running))
                    free[machine] -= spent
                hours -= spent
                self._spend(day, at, spent)
                if self.left[at] <= _DONE:
                    self._changes(at, day)
                    self.done[at], finished = day, True
                    self._changed(at, day)
            if finished:
                self._list_todo()
        for at in self.todo:
            if self.next[at] == day:
                self.next[at] = first_day(self.days.ok[at], day + 1)

    def _in_vain(self, at: int, day: int) -> bool:
        """Whether it is seen that what follows cannot follow in time, so that it is done twice."""
        for after, wait in self.followers[at]:
            most = wait.most_days
            if most is None or most > self.sees_days or wait.if_late == "skip":
                continue
            if first_day(self.days.may[after], day + wait.least_days) > day + most:
                return True
        return False

    def _note_vain(self, at: int, day: int, in_vain: bool) -> None:
        if in_vain:
            self.lost.vain[at] |= 1 << day
        elif self.lost.vain[at]:
            self.lost.vain[at] &= ~(1 << day)

    def _spend(self, day: int, at: int, hours: float) -> None:
        if hours > 0:
            self.left[at] -= hours
            self.spells.append(Spell(day, at, hours))
            if at not in self.begun:
                self.begun.add(at)
                self.late[at] = NEVER

    def _outcome(self) -> YearRun:
        plots = {plot: self._plot(plot) for plot in self.lost.by_plot}
        finished = all(plot.finished for plot in plots.values())
        skipped = tuple(sorted(self.skipped))
        return YearRun(finished, plots, tuple(self.done), skipped, tuple(self.spells))

    def _plot(self, plot: str) -> PlotYear:
        lost = dict(self.lost.by_plot[plot])
        own = self.lost.jobs[plot]
        if any(self.done[at] is None and at not in self.skipped for at in own):
            return PlotYear(False, None, max(lost, key=lost.__getitem__, default=WAITS), lost)
        days = [day for at in own if (day := self.done[at]) is not None]
        return PlotYear(True, max(days, default=None), "", lost)

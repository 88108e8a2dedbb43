"""One year by the rule of the day, from one day on which something can happen to the next."""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from heapq import heappop, heappush

from fencerow.science.weather.day_bits import DONE_H, NEVER, JobDays, first_day, from_day
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.lost import LostDays
from fencerow.science.weather.outcome import WAITS, PlotYear, Spell, YearRun


class Listed:
    """Jobs in an order, as each of many years asks for them."""

    def __init__(
        self, jobs: Sequence[Job], order: Sequence[int], sees_days: int = 0, reasons: bool = True
    ) -> None:
        self.jobs, self.order, self.sees_days, self.reasons = jobs, order, sees_days, reasons
        self.rank = {at: rank for rank, at in enumerate(order)}
        self.followers: list[list[tuple[int, Wait]]] = [[] for _ in jobs]
        for at, job in enumerate(jobs):
            for wait in job.waits:
                self.followers[wait.after].append((at, wait))
        self.by_plot: dict[str, list[int]] = {job.plot: [] for job in jobs}
        for at in order:
            self.by_plot[jobs[at].plot].append(at)
        self.hurried = {
            at: None for at in order if any(w.most_days is not None for w in jobs[at].waits)
        }
        self.stops = not reasons and all(job.work_h > DONE_H for job in jobs)
        """Whether a day is over with its hours: nothing takes none, and nobody asks of the rest."""


class OneYear:
    """One year under way."""

    def __init__(self, listed: Listed, days: JobDays) -> None:
        self.listed, self.days = listed, days
        self.jobs, self.followers = listed.jobs, listed.followers
        self.left = [job.work_h for job in self.jobs]
        self.done: list[int | None] = [None] * len(self.jobs)
        self.begun: set[int] = set()
        self.skipped: set[int] = set()
        self.spells: list[Spell] = []
        self.lost = LostDays(days, listed.by_plot)
        self.may = [0] * len(self.jobs)
        """The days on which each job may be worked at yet; none while it waits."""
        self.ready: list[int] = []
        """The jobs that have such days, by their places in the order."""
        self.coming, self.now = 0, 0
        """The days of any of them that are not over, and the first of those."""
        for at in range(len(self.jobs)):
            self._set(at, 0)
        self.late = [NEVER] * len(self.jobs)
        self.lates: list[tuple[int, int]] = []

    def run(self, people: Sequence[float], machines: Sequence[float]) -> YearRun:
        """The year, within the hours of people and of each machine on each day [h]."""
        end = len(people)
        while True:
            day, late = first_day(self.coming, 0), self._next_late()
            if min(day, late) >= end:
                break
            if late <= day:
                self._too_late(late)
            else:
                self._work(day, people[day], machines[day])
        for plot in self.lost.by_plot if self.listed.reasons else ():
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

    def _set(self, at: int, day: int) -> None:
        """The days, from one on, on which a job may be worked at."""
        ready, before = self._ready(at), self.may[at]
        self.may[at] = 0 if ready == NEVER else self.days.ok[at] & from_day(max(ready, day))
        self.coming |= self.may[at]
        if bool(before) != bool(self.may[at]):
            if before:
                self.ready.remove(self.listed.rank[at])
            else:
                insort(self.ready, self.listed.rank[at])

    def _changes(self, at: int, day: int) -> None:
        """Before a job is done, done over or left out: its plot's lost days are those till now."""
        if self.listed.reasons:
            for plot in {self.jobs[at].plot, *(self.jobs[f].plot for f, _ in self.followers[at])}:
                self.lost.count(plot, day, self._ready)

    def _changed(self, at: int, day: int) -> None:
        """After it: when it and those that wait on it come next."""
        for changed in (at, *(after for after, _ in self.followers[at])):
            self._set(changed, day)
            if changed in self.listed.hurried:
                self.late[changed] = late = self._late(changed)
                if late < NEVER:
                    heappush(self.lates, (late, changed))

    def _next_late(self) -> int:
        """The first day on which a job is found to be too late."""
        while self.lates and self.late[self.lates[0][1]] != self.lates[0][0]:
            heappop(self.lates)
        return self.lates[0][0] if self.lates else NEVER

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
        if day < self.now:
            # what is set anew may be worked at on a day that is over for the others
            self.may = [days & from_day(self.now) for days in self.may]
            self.ready = [rank for rank in self.ready if self.may[self.listed.order[rank]]]
        for at in self.listed.hurried:
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

    def _work(self, day: int, hours: float, running: float) -> None:
        """Spend the hours of a day; what was done today may let another job begin today."""
        free: dict[str, float] = {}
        today, finished = 1 << day, True
        while finished and (hours or not self.listed.stops):
            finished = False
            queue = [*self.ready]
            for rank in queue:
                at = self.listed.order[rank]
                if not self.may[at] & today:
                    continue
                left = self.left[at]
                if not hours and left > DONE_H:
                    if self.listed.stops:
                        break
                    self._note_vain(at, day, False)
                    continue
                spent = min(left, hours)
                if self.listed.sees_days:
                    in_vain = spent >= left - DONE_H and self._in_vain(at, day)
                    self._note_vain(at, day, in_vain)
                    if in_vain:
                        continue
                if machine := self.jobs[at].machine:
                    spent = min(spent, free.setdefault(machine, running))
                    free[machine] -= spent
                hours -= spent
                self._spend(day, at, spent)
                if self.left[at] <= DONE_H:
                    self._changes(at, day)
                    self.done[at], finished = day, True
                    self._changed(at, day)
                    for after in {f for f, _ in self.followers[at]}:
                        if self.may[after] & today and self.listed.rank[after] > rank:
                            insort(queue, self.listed.rank[after])
        self.coming &= ~today
        self.now = day + 1

    def _in_vain(self, at: int, day: int) -> bool:
        """Whether it is seen that what follows cannot follow in time, so that it is done twice."""
        for after, wait in self.followers[at]:
            most = wait.most_days
            if most is None or most > self.listed.sees_days or wait.if_late == "skip":
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
        own = self.listed.by_plot[plot]
        if any(self.done[at] is None and at not in self.skipped for at in own):
            return PlotYear(False, None, max(lost, key=lost.__getitem__, default=WAITS), lost)
        days = [day for at in own if (day := self.done[at]) is not None]
        return PlotYear(True, max(days, default=None), "", lost)

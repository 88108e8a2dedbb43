"""How the year's work would have gone in each year of a record, by a rule that sees only today.

Each day the most advanced job that may be done is done, ties going to the earlier go-date, within
the hours of the people and of each machine. Nobody in it knows more of the weather than the few
days that a forecast is given for: what could have been done by someone who did is never shown as a
chance. In a past year the forecast is what came, which is better than any forecast is.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import formula
from fencerow.science.weather.series import Bools, DailySeries, Floats, HourlySeries, require_record
from fencerow.words import BadInput, OutsideRange

NOT_FIT, NO_HOURS, NOT_KNOWN, WAITS = "not-fit", "no-hours", "not-known", "waits"
"""Why a plot was not finished. Waits are the reason only where no day was lost to another."""
BARRED = ("", "permission", "closed", "machine-away")
"""What may keep a job off a day whatever the weather, by its number; 0 is nothing."""

_DONE = 1e-9  # hours left of a job that are nothing but rounding


@dataclass(frozen=True)
class Wait:
    """An earlier job of the list, by its place in it, and the days to keep after it is done.

    `if_late` says what becomes of a job that was not begun within `most_days`: 'redo' has the
    earlier job done over again, 'skip' leaves this one out.
    """

    after: int
    least_days: int = 0
    most_days: int | None = None
    if_late: str = "redo"


@dataclass(frozen=True)
class Job:
    """One job on one plot. `go_day` is the first day, counted from 0, on which it may be begun."""

    plot: str
    kind: str
    work_h: float
    waits: tuple[Wait, ...] = ()
    machine: str = ""
    go_day: int = 0


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


@formula(
    "each day the most advanced job that may be done, within the hours of people and machines",
    unit="",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def seasons(
    jobs: Sequence[Job | Mapping[str, Any]],
    fit: Bools | Sequence[Any],
    known: Bools | Sequence[Any],
    people_h: Floats | Sequence[float],
    machine_h: Floats | Sequence[float] | None = None,
    sees_days: int = 0,
    barred: Sequence[Any] | NDArray[np.int_] | None = None,
) -> Seasons:
    """The season of every year, each on its own, by the rule that sees today and a few days on.

    A rule of ours. Days run from 0 to the last on which work is allowed: the closing of the ground
    is the end of the arrays. A day that is not known to be fit is not worked on.

    Args:
        jobs: what is to be done, each after those that it waits on.
        fit: whether the ground and the sky allow a job on a day [job, year, day].
        known: where that is known.
        people_h: hours of work that the people have, each day [h].
        machine_h: hours that one machine can run, each day; as `people_h` where left out [h].
        sees_days: days ahead that are foreseen. A job is not ended today where it is seen that what
            has to follow within so many days cannot [days].
        barred: what keeps a job off a day in every year, as its place in `BARRED` [job, day].

    Raises:
        BadInput: a job waits on one that does not stand before it, or the arrays do not fit.
    """
    listed = jobs_from(jobs)
    may, sure = np.asarray(fit, dtype=bool), np.asarray(known, dtype=bool)
    people = np.asarray(people_h, dtype=np.float64)
    machines = people if machine_h is None else np.asarray(machine_h, dtype=np.float64)
    _check(listed, may, sure, people, machines)
    kept_off = np.zeros(may.shape[::2], int) if barred is None else np.asarray(barred, dtype=int)
    if kept_off.shape != may.shape[::2]:
        raise BadInput("soilwater-shapes", jobs=len(listed), days=may.shape[-1], fit=kept_off.shape)
    depth = _depths(listed)
    order = sorted(range(len(listed)), key=lambda j: (-depth[j], listed[j].go_day, j))
    runs = (
        _Season(listed, order, may[:, year] & sure[:, year], sure[:, year], kept_off).run(
            people, machines, sees_days
        )
        for year in range(may.shape[1])
    )
    return Seasons(tuple(runs))


def jobs_from(jobs: Sequence[Job | Mapping[str, Any]]) -> list[Job]:
    """Jobs, of which some may be given as plain rows."""
    return [job if isinstance(job, Job) else _job(job) for job in jobs]


def _job(row: Mapping[str, Any]) -> Job:
    waits = tuple(Wait(**wait) for wait in row.get("waits", ()))
    return Job(**{**row, "waits": waits})


def _check(jobs: Sequence[Job], may: Bools, sure: Bools, people: Floats, machines: Floats) -> None:
    for at, job in enumerate(jobs):
        for wait in job.waits:
            if not 0 <= wait.after < at:
                raise BadInput(
                    "soilwater-wait-order", plot=job.plot, job=job.kind, row=at, after=wait.after
                )
    days = people.shape[-1]
    if may.shape != sure.shape or may.shape[::2] != (len(jobs), days) or len(machines) != days:
        raise BadInput("soilwater-shapes", jobs=len(jobs), days=days, fit=may.shape)


def _depths(jobs: Sequence[Job]) -> list[int]:
    """How many jobs, one after the other, come before each."""
    depth: list[int] = []
    for job in jobs:
        depth.append(max((depth[wait.after] + 1 for wait in job.waits), default=0))
    return depth


class _Season:
    """One year under way."""

    def __init__(
        self, jobs: Sequence[Job], order: Sequence[int], may: Bools, known: Bools,
        barred: NDArray[np.int_],
    ) -> None:  # fmt: skip
        self.jobs = jobs
        self.barred: list[list[int]] = barred.tolist()
        self.may: list[list[bool]] = may.tolist()
        self.known: list[list[bool]] = known.tolist()
        self.todo = list(order)
        self.left = [job.work_h for job in jobs]
        self.done: list[int | None] = [None] * len(jobs)
        self.begun: set[int] = set()
        self.skipped: set[int] = set()
        self.lost: dict[str, Counter[str]] = {job.plot: Counter() for job in jobs}
        self.spells: list[Spell] = []
        self.order = list(order)
        self.followers: dict[int, list[tuple[int, Wait]]] = {}
        for at, job in enumerate(jobs):
            for wait in job.waits:
                self.followers.setdefault(wait.after, []).append((at, wait))
        self.hurried = [at for at in order if any(w.most_days is not None for w in jobs[at].waits)]

    def run(self, people: Floats, machines: Floats, sees_days: int = 0) -> YearRun:
        self.sees_days = sees_days
        self._open(0)
        for day, (hours, running) in enumerate(zip(people, machines, strict=True)):
            if not self.todo:
                break
            self._too_late(day)
            if day >= self.next_go:
                self._open(day)
            self._work(day, float(hours), float(running))
        return self._outcome()

    def _too_late(self, day: int) -> None:
        """Do over, or leave out, where the longest wait has run out before a job was begun."""
        late = False
        for at in self.hurried:
            if self.done[at] is not None or at in self.begun or at in self.skipped:
                continue
            for wait in self.jobs[at].waits:
                earlier = self.done[wait.after]
                if earlier is None or wait.most_days is None or day - earlier <= wait.most_days:
                    continue
                late = True
                if wait.if_late == "skip":
                    self.skipped.add(at)
                else:
                    self.done[wait.after] = None
                    self.left[wait.after] = self.jobs[wait.after].work_h
        if late:
            self._list_todo()

    def _list_todo(self) -> None:
        self.todo = [at for at in self.order if self.done[at] is None and at not in self.skipped]
        self._open(self.day)

    def _open(self, day: int) -> None:
        """The jobs whose first day has come, and the next first day of one whose has not."""
        self.day = day
        self.open = [at for at in self.todo if self.jobs[at].go_day <= day]
        self.next_go = min(
            (self.jobs[at].go_day for at in self.todo if self.jobs[at].go_day > day),
            default=math.inf,
        )

    def _work(self, day: int, hours: float, running: float) -> None:
        """Spend the hours of a day; what was done today may let another job begin today."""
        free: dict[str, float] = {}
        while True:
            lost: dict[str, str] = {}
            finished = False
            for at in self.open:
                job = self.jobs[at]
                if day < job.go_day or not self._ready(at, day):
                    continue
                if self.barred[at][day]:
                    lost.setdefault(job.plot, BARRED[self.barred[at][day]])
                    continue
                if not self.may[at][day]:
                    lost.setdefault(job.plot, NOT_FIT if self.known[at][day] else NOT_KNOWN)
                    continue
                spent = min(self.left[at], hours)
                if self.sees_days and spent >= self.left[at] - _DONE and self._in_vain(at, day):
                    lost.setdefault(job.plot, NOT_FIT)
                    continue
                if job.machine:
                    spent = min(spent, free.setdefault(job.machine, running))
                    free[job.machine] -= spent
                hours -= spent
                self._spend(day, at, spent)
                if self.left[at] <= _DONE:
                    self.done[at], finished = day, True
                else:
                    lost.setdefault(job.plot, NO_HOURS)
            if not finished:
                break
            self._list_todo()
        for plot, reason in lost.items():
            self.lost[plot][reason] += 1

    def _in_vain(self, at: int, day: int) -> bool:
        """Whether it is seen that what follows cannot follow in time, so that it is done twice."""
        for after, wait in self.followers.get(at, ()):
            most = wait.most_days
            if most is None or most > self.sees_days or wait.if_late == "skip":
                continue
            if not any(self.may[after][day + wait.least_days : day + most + 1]):
                return True
        return False

    def _spend(self, day: int, at: int, hours: float) -> None:
        if hours > 0:
            self.left[at] -= hours
            self.begun.add(at)
            self.spells.append(Spell(day, at, hours))

    def _ready(self, at: int, day: int) -> bool:
        """Whether what it waits on was done long enough ago."""
        for wait in self.jobs[at].waits:
            earlier = self.done[wait.after]
            if wait.after in self.skipped:
                continue
            if earlier is None or day - earlier < wait.least_days:
                return False
        return True

    def _outcome(self) -> YearRun:
        plots = {plot: self._plot(plot) for plot in self.lost}
        finished = all(plot.finished for plot in plots.values())
        skipped = tuple(sorted(self.skipped))
        return YearRun(finished, plots, tuple(self.done), skipped, tuple(self.spells))

    def _plot(self, plot: str) -> PlotYear:
        lost = dict(self.lost[plot])
        if any(self.jobs[at].plot == plot for at in self.todo):
            return PlotYear(False, None, max(lost, key=lost.__getitem__, default=WAITS), lost)
        days = [d for job, d in zip(self.jobs, self.done, strict=True) if job.plot == plot]
        return PlotYear(True, max((d for d in days if d is not None), default=None), "", lost)


class YearCount(NamedTuple):
    """In how many years of the record all was done, and what that says of the years to come."""

    finished_years: int
    of_years: int
    low_share: float
    high_share: float


def count_finished(series: DailySeries | HourlySeries, seasons: Seasons) -> YearCount:
    """The count of years in which all was done, with the 95 % interval of its share.

    Args:
        series: the record that the seasons come from.
        seasons: `seasons`, of the years of that record alone.

    Raises:
        BadInput: the series is a typical year, or there is no year.
    """
    require_record(series)
    finished, of = seasons.finished_years, len(seasons.runs)
    if not of:
        raise BadInput("soilwater-no-years")
    return YearCount(finished, of, wilson_low(finished, of), wilson_high(finished, of))


_YEARS = {"finished_years": (0.0, 500.0), "of_years": (1.0, 500.0)}
_WILSON = (
    "(finished_years + 1.959964 ** 2 / 2 {} 1.959964"
    " * sqrt(finished_years * (of_years - finished_years) / of_years + 1.959964 ** 2 / 4))"
    " / (of_years + 1.959964 ** 2)"
)


@formula(f"max(0, {_WILSON.format('-')})", unit="share", source="wilson-1927", valid=_YEARS)
def wilson_low(finished_years: float, of_years: float) -> float:
    """The low end of the 95 % interval of a share of years. Source: Wilson (1927), score interval.

    Args:
        finished_years: years in which it happened.
        of_years: years in all, at least as many.

    Raises:
        OutsideRange: there is no year, or it happened in more years than there are.
    """
    return max(0.0, _wilson(finished_years, of_years, -1.959964))


@formula(f"min(1, {_WILSON.format('+')})", unit="share", source="wilson-1927", valid=_YEARS)
def wilson_high(finished_years: float, of_years: float) -> float:
    """The high end of the 95 % interval of a share of years. Source: Wilson (1927), score interval.

    Args:
        finished_years: years in which it happened.
        of_years: years in all, at least as many.

    Raises:
        OutsideRange: there is no year, or it happened in more years than there are.
    """
    return min(1.0, _wilson(finished_years, of_years, 1.959964))


def _wilson(count: float, of: float, z: float) -> float:
    if count > of:
        raise OutsideRange("outside-range", name="finished_years", value=count, low=0, high=of)
    spread = z * math.sqrt(count * (of - count) / of + z * z / 4)
    return (count + z * z / 2 + spread) / (of + z * z)


@formula(
    "the middle year's count of fit days",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def middle_count(fit: Bools | Sequence[Sequence[bool]]) -> float:
    """The median over the years of the number of fit days [days].

    By definition of the median.

    Args:
        fit: whether each day was fit [year, day].
    """
    return float(np.median(np.asarray(fit, dtype=bool).sum(axis=1)))

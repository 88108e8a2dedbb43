"""What the count of years rests on: what would add to it, what its critical tasks are, its bound.

Each line is the same count run again with one thing changed; nothing is added up or estimated.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from fencerow.data import Tables
from fencerow.figure import Figure, Parts, work_parts
from fencerow.science.weather import dispatch, hindsight, hired, tuning
from fencerow.science.weather.jobs import Job
from fencerow.science.weather.outcome import Seasons
from fencerow.science.weather.series import Bools, Times
from fencerow.words import Message

EARLIER_DAYS = 7
MOST_CRITICAL, MOST_DROPPED = 6, 12
LARGE = 1200
"""Jobs times years beyond which no critical tasks and no first days are searched: it would take
seconds, at every change of the record."""
Call = Mapping[str, Any]


@dataclass(frozen=True)
class Change:
    """The count with one thing changed."""

    what: Message
    years: Figure
    of_years: Figure


@dataclass(frozen=True)
class Critical:
    """A task that years fail by: how many of the failed ones are saved by half its hours, and by
    its beginning a week sooner."""

    kind: str
    name: str
    fewer: Figure
    earlier: Figure
    failed: Figure

    @property
    def saves(self) -> float:
        return max(self.fewer.number(), self.earlier.number())


@dataclass(frozen=True)
class Tuned:
    """First days moved to finish more of the odd years, and what came of it in the even ones."""

    moved: Mapping[str, Figure]
    odd_before: Figure
    odd_after: Figure
    of_odd: Figure
    even_before: Figure
    even_after: Figure
    of_even: Figure


@dataclass(frozen=True)
class Likely:
    """What the count sees, what nobody could pass, and what would change it."""

    sees: Figure
    hindsight: Figure
    changes: Mapping[str, Change]
    critical: Mapping[str, Critical]
    tuned: Tuned | None
    searched: bool = True


@dataclass(frozen=True)
class Counted:
    """The count as it was called, so that it can be called again otherwise."""

    tables: Tables
    ids: Sequence[str]
    names: Mapping[str, str]
    inputs: Mapping[str, Figure]
    call: Call
    parts: Parts[Seasons]
    years: Sequence[int]
    days: Times
    people: int

    def again(self, only: Bools | None = None, **changed: Any) -> Parts[Seasons]:
        """The count with other arguments, for all years or for some."""
        call = {**self.call, **changed}
        if only is not None:
            call |= {name: call[name][:, only] for name in ("fit", "known")}
        return work_parts(dispatch.seasons, self.inputs, **call, reasons=False)

    @property
    def jobs(self) -> list[Job]:
        found: list[Job] = self.call["jobs"]
        return found


def finished(parts: Parts[Seasons]) -> Figure:
    """In how many years all is done."""
    return parts.figure(lambda s: s.finished_years, "years")


def of_years(parts: Parts[Seasons]) -> Figure:
    """How many years were run."""
    return parts.figure(lambda s: len(s.runs), "years")


def likely_of(counted: Counted) -> Likely:
    """What stands behind a count of years."""
    failed = np.array([not run.finished for run in counted.parts.result.runs])
    sees = counted.tables["likely_settings"].row("forecast-sight").figure("ahead_days")
    best = _hindsight(counted, failed)
    if not failed.any():
        return Likely(sees, best, {}, {}, None)
    changes = dict(_changes(counted))
    if len(counted.jobs) * len(failed) > LARGE:
        return Likely(sees, best, changes, {}, None, searched=False)
    return Likely(sees, best, changes, _critical(counted, failed), _tuned(counted, failed))


def _hindsight(counted: Counted, failed: Bools) -> Figure:
    """The bound; a year that the rule itself finishes needs no proof that it could be."""
    call = {n: v for n, v in counted.call.items() if n != "sees_days"}
    call |= {name: call[name][:, failed] for name in ("fit", "known")}
    could = work_parts(hindsight.could_finish, counted.inputs, **call)
    return could.figure(lambda some: sum(some) + int((~failed).sum()), "years")


def _changes(counted: Counted) -> list[tuple[str, Change]]:
    found = [
        ("helper", _more_people(counted)),
        ("evening", _evening(counted)),
        ("hired", _hired(counted)),
    ]
    dropped = _dropped(counted)
    return [*found, *([("dropped", dropped)] if dropped else [])]


def _change(parts: Parts[Seasons], message_id: str, /, **said: object) -> Change:
    return Change(Message.of(message_id, **said), finished(parts), of_years(parts))


def _more_people(counted: Counted) -> Change:
    hours = np.asarray(counted.call["people_h"]) * (counted.people + 1) / counted.people
    return _change(counted.again(people_h=hours), "likely-helper")


def _evening(counted: Counted) -> Change:
    extra = counted.tables["likely_settings"].row("more-evening").figure("extra_h")
    wednesdays = _weekday(counted.days) == 2
    longer = wednesdays * extra.number()
    hours = np.asarray(counted.call["people_h"]) + longer * counted.people
    machines = np.asarray(counted.call["machine_h"]) + longer
    more = replace(counted, inputs={**counted.inputs, "hours more": extra})
    parts = more.again(people_h=hours, machine_h=machines)
    return _change(parts, "likely-evening", hours=extra.number())


def _hired(counted: Counted) -> Change:
    extra = counted.tables["likely_settings"].row("machine-day").figure("extra_h")
    parts = work_parts(
        hired.with_hired_day,
        {**counted.inputs, "hours more": extra},
        **counted.call,
        hired_on=_weekday(counted.days) == 5,
        extra_h=extra.number(),
        reasons=False,
    )
    return _change(parts, "likely-hired", hours=extra.number())


def _weekday(days: Times) -> Any:
    """0 on a Monday: 1 January 1970 was a Thursday."""
    return (days.astype("datetime64[D]").astype(int) + 3) % 7


def _dropped(counted: Counted) -> Change | None:
    """Plots left out, the one that fails most often first, until the wished share is reached."""
    wished = counted.tables["likely_settings"].row("wished").number("wished_share") or 1.0
    parts, gone = counted.parts, list[str]()
    while _share(parts.result) < wished and len(gone) < MOST_DROPPED:
        fails = Counter(
            plot for run in parts.result.runs for plot, out in run.plots.items() if not out.finished
        )
        if not fails:
            break
        gone.append(fails.most_common(1)[0][0])
        kept = [at for at, job in enumerate(counted.jobs) if job.plot not in gone]
        if not kept:
            return None
        parts = counted.again(**_only(counted.call, kept))
    if not gone:
        return None
    names = ", ".join(counted.names[place] for place in gone)
    return _change(parts, "likely-dropped", places=names)


def _share(result: Seasons) -> float:
    return result.finished_years / len(result.runs)


def _only(call: Call, kept: Sequence[int]) -> dict[str, Any]:
    """The arguments of a count for some of its jobs, whose waits stay among themselves."""
    place = {at: new for new, at in enumerate(kept)}
    jobs: list[Job] = [call["jobs"][at] for at in kept]
    jobs = [
        replace(
            j, waits=tuple(replace(w, after=place[w.after]) for w in j.waits if w.after in place)
        )
        for j in jobs
    ]
    arrays = {n: call[n][list(kept)] for n in ("fit", "known", "barred") if n in call}
    return {"jobs": jobs, **arrays}


def _critical(counted: Counted, failed: Bools) -> dict[str, Critical]:
    """The tasks that failed years stand still at, and what easing each would save."""
    stuck: Counter[int] = Counter()
    for run in counted.parts.result.runs:
        if not run.finished:
            first: dict[str, int] = {}
            for at, day in enumerate(run.done_day):
                if day is None and at not in run.skipped:
                    first.setdefault(counted.jobs[at].plot, at)
            stuck.update(first.values())
    many = counted.parts.figure(lambda s: len(s.runs) - s.finished_years, "years")
    found = {}
    for at, _ in stuck.most_common(MOST_CRITICAL):
        job = counted.jobs[at]
        fewer = _with(counted, at, failed, replace(job, work_h=job.work_h / 2))
        sooner = max(0, job.go_day - EARLIER_DAYS)
        earlier = _with(counted, at, failed, replace(job, go_day=sooner))
        found[counted.ids[at]] = Critical(job.kind, counted.names[job.plot], fewer, earlier, many)
    ranked = sorted(found.items(), key=lambda f: -f[1].saves)
    return {id_: c for id_, c in ranked if c.saves}


def _with(counted: Counted, at: int, only: Bools, job: Job) -> Figure:
    jobs = [job if i == at else other for i, other in enumerate(counted.jobs)]
    return finished(counted.again(only, jobs=jobs))


def _tuned(counted: Counted, failed: Bools) -> Tuned | None:
    """First days of what goes before seeding, moved by kind; None where it brings nothing."""
    odd = np.array([year % 2 == 1 for year in counted.years])
    if odd.all() or not failed[odd].any():
        return None
    kinds = list(dict.fromkeys(j.kind for j in counted.jobs if "seed" not in j.kind and j.go_day))
    if not kinds:
        return None
    found = work_parts(tuning.moved_days, counted.inputs, kinds=kinds, odd=odd, call=counted.call)
    moved: dict[str, int] = found.result
    if not any(moved.values()):
        return None
    jobs = tuning.with_moved(counted.jobs, moved)
    before = {half: counted.again(only) for half, only in (("odd", odd), ("even", ~odd))}
    after = {half: counted.again(only, jobs=jobs) for half, only in (("odd", odd), ("even", ~odd))}

    if before["odd"].result.finished_years >= after["odd"].result.finished_years:
        return None

    def days(kind: str) -> Callable[[Mapping[str, int]], int]:
        return lambda m: m[kind]

    return Tuned(
        {kind: found.figure(days(kind), "days") for kind in kinds if moved[kind]},
        finished(before["odd"]), finished(after["odd"]), of_years(before["odd"]),
        finished(before["even"]), finished(after["even"]), of_years(before["even"]),
    )  # fmt: skip

"""Hours: what the plan gave each kind of task, and what it took, by the marks that say so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from fencerow.figure import Figure, assume, work
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import sprayings
from fencerow.plan.section import Section
from fencerow.plan.sitting import sum_hours
from fencerow.plan.span import year_of
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.tasks import Work, Yard, tasks_of
from fencerow.science.herd import tally
from fencerow.tract.bodies import Done
from fencerow.tract.model import Kept

NOBODY = ""
"""Hours that no person is named for."""


@dataclass(frozen=True)
class TaskHours:
    """One kind of task: hours planned in the year, hours worked, and both of those tasks alone for
    which the record has hours."""

    count: int
    marked: int
    planned: Figure | None
    done: Figure | None
    planned_of_done: Figure | None
    more: Figure | None


@dataclass(frozen=True)
class Worked:
    """The hours of a year by kind of task, and by person."""

    tasks: Mapping[str, TaskHours] = field(default_factory=dict)
    people: Mapping[str, Figure] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    planned: Figure | None = None
    done: Figure | None = None


def worked_hours(given: Given, earlier: Mapping[str, Section]) -> Worked:
    """The hours of the tract's year."""
    marks = marks_with_hours(given)
    jobs = jobs_of_year(given, earlier)
    kinds = {m.id: _kind(jobs, m.body.task) for m in marks}
    names = dict.fromkeys([*(j.kind for j in jobs.values()), *kinds.values()])
    tasks = {
        kind: _of_kind(jobs, kind, [m for m in marks if kinds[m.id] == kind])
        for kind in sorted(names)
    }
    people = {p: k.body.name for p, k in given.tract.people.items()}
    each = _by_person(marks)
    return Worked(
        tasks=tasks,
        people={p: sum_hours(hours) for p, hours in sorted(each.items())},
        names={p: people.get(p, p) for p in each},
        planned=_sum([t.planned for t in tasks.values()], list(tasks)),
        done=_sum([t.done for t in tasks.values()], list(tasks)),
    )


def marks_with_hours(given: Given) -> list[Kept[Done]]:
    """The marks of the tract's year that say how long it took."""
    start, end = year_of(given.tract, given.as_of)
    found = [
        m for m in given.tract.done.values()
        if m.body.worked_h is not None and m.on is not None and start <= m.on <= end
    ]  # fmt: skip
    return sorted(found, key=lambda m: (m.on or start, m.id))


def of_mark(mark: Kept[Done]) -> Figure:
    """The hours of all who were at it; one person where nobody is named."""
    count = len(mark.body.people)
    if count <= 1:
        return mark.figure("worked_h")
    people = assume(float(count), "count", "hours-people-named")
    return work(tally.person_hours, worked_h=mark.figure("worked_h"), people_count=people)


def jobs_of_year(given: Given, earlier: Mapping[str, Section]) -> dict[str, Work]:
    """The tasks of the whole year: as its first day saw them, and as they stand today."""
    plan: WorkPlan = earlier["work"].body
    orders, buying = earlier["order"].body, earlier["buy"].body
    start = year_of(given.tract, given.as_of)[0]
    begun = replace(given, as_of=start)
    sprayed = sprayings(begun, orders)[0]
    yard = Yard(given.tract, given.tables, start, orders, buying, sprayed)
    return {**tasks_of(yard), **plan.jobs}


def _kind(jobs: Mapping[str, Work], task: str) -> str:
    """What kind of task a mark is on; of one that is gone, what its id begins with."""
    job = jobs.get(task)
    return task.split(".")[0].replace("-", " ") if job is None else job.kind


def _of_kind(every: Mapping[str, Work], kind: str, marks: list[Kept[Done]]) -> TaskHours:
    jobs = {i: j for i, j in every.items() if j.kind == kind}
    done = sum_hours({_named(m): of_mark(m) for m in marks}) if marks else None
    both = {m.body.task: m for m in marks if m.body.task in jobs and m.body.part == "done"}
    planned = _planned(j for i, j in jobs.items() if i in both)
    own = sum_hours({_named(m): of_mark(m) for m in both.values()}) if both else None
    more = None
    if planned is not None and own is not None:
        more = work(tally.hours_more, done_h=own, planned_h=planned)
    return TaskHours(len(jobs), len(marks), _planned(jobs.values()), done, planned, more)


def _named(mark: Kept[Done]) -> str:
    return f"{mark.body.task}, {mark.on}, {mark.id}"


def _planned(jobs: Iterable[Work]) -> Figure | None:
    known = {f"{j.what.id} {j.name} {n}": j.hours for n, j in enumerate(jobs) if j.hours.known}
    return sum_hours(known) if known else None


def _sum(figures: list[Figure | None], names: list[str]) -> Figure | None:
    known = {n: f for n, f in zip(names, figures, strict=True) if f is not None}
    return sum_hours(known) if known else None


def _by_person(marks: list[Kept[Done]]) -> dict[str, dict[str, Figure]]:
    found: dict[str, dict[str, Figure]] = {}
    for mark in marks:
        for person in mark.body.people or (NOBODY,):
            found.setdefault(person, {})[_named(mark)] = mark.figure("worked_h")
    return found

"""Every task of the year from its first day to its last, for what is printed and handed out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.section import Section
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.tasks import Work
from fencerow.plan.year import State, Year
from fencerow.plan.year import Task as YearTask
from fencerow.tract.hands import CHORES
from fencerow.words import Message

KIND_OF = {"cores": "soil cores", "order": "order", "close": "close", "lime": "spread lime"}
"""What a line of the year that is no job is called, by the stem of its id."""


@dataclass(frozen=True)
class Span:
    """A task from its first day to its last; of one that is only due, both are that day."""

    kind: str
    place: str
    what: Message
    first: Figure
    last: Figure
    job: Work | None = None


def spans(given: Given, earlier: Mapping[str, Section]) -> dict[str, Span]:
    """The tasks that are not done, by their ids."""
    done = {d.body.task for d in given.tract.done.values() if d.body.part == "done"}
    return {id_: span for id_, span in _spans(earlier) if id_ not in done}


def _spans(earlier: Mapping[str, Section]) -> Iterator[tuple[str, Span]]:
    work: WorkPlan = earlier["work"].body
    year: Year = earlier["year"].body
    orders: Mapping[str, PlotOrder] = earlier["order"].body
    for id_, job in work.jobs.items():
        if job.go.known:
            told = year.tasks.get(id_)
            what = job.what if told is None else told.what
            yield id_, Span(job.kind, job.place, what, job.go, _last(id_, job, work, orders), job)
    for id_, task in year.tasks.items():
        if id_ not in work.jobs and not _said_by_a_job(id_, work) and task.state is not State.DONE:
            yield id_, Span(_kind(id_, task), task.place, task.what, task.when, task.when)


def _said_by_a_job(id_: str, work: WorkPlan) -> bool:
    """Liming stands in the year by a line of its own, with the same days."""
    stem, _, place = id_.partition(".")
    return stem == "lime" and f"spread-lime.{place}" in work.jobs


def _kind(id_: str, task: YearTask) -> str:
    choice = str(dict(task.what.params).get("choice", ""))
    return choice if choice in CHORES else KIND_OF.get(id_.partition(".")[0], "scouted")


def _last(id_: str, job: Work, work: WorkPlan, orders: Mapping[str, PlotOrder]) -> Figure:
    """The last day of a job: its own, else that of what it waits for or is waited for by."""
    if job.until is not None:
        return job.until
    found = [f for f in _ends(id_, job, work, orders) if f.known and f.value >= job.go.value]
    return found[0] if found else job.go


def _ends(id_: str, job: Work, work: WorkPlan, orders: Mapping[str, PlotOrder]) -> Iterator[Figure]:
    """Days that end a job which has no last day of its own, the nearest to the point first."""
    order = orders.get(job.place)
    if job.kind == "spread lime" and order and order.liming and order.liming.spread_by:
        yield order.liming.spread_by
    stem, _, planting = id_.partition(".")
    if stem in ("sow", "sow-second", "pack") and planting in work.windows:
        closes = work.finish.closes if work.finish else None
        ends = [f for f in (work.windows[planting].last, closes) if f is not None and f.known]
        yield min(ends, key=lambda day: day.value) if ends else job.go
    yield from sorted(
        (later.go for later in work.jobs.values() if id_ in later.after and later.go.known),
        key=lambda go: go.value,
    )

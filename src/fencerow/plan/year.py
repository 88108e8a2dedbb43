"""Year: what comes when, what is next, what is late, each with its reason.

Tasks are derived, never stored: each has an id that stays the same as long as what it is about
does, so that a mark of `done` in the record finds it again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fencerow.figure import Figure
from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.counts.body import Counts
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Due
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.sampling import PlotSamples
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.plan.work.looks import Looked
from fencerow.plan.work.planner import WorkPlan
from fencerow.words import Message


class State(StrEnum):
    """Where a task stands on the day of the plan."""

    LATE = "late"
    NEXT = "next"
    LATER = "later"
    DONE = "done"


@dataclass(frozen=True)
class Task:
    """Something to do by a day: what, where, why, and how it stands."""

    when: Figure
    what: Message
    why: Message
    place: str
    state: State


@dataclass(frozen=True)
class Year:
    """The year from the close of one season to the close of the next."""

    starts: Figure
    ends: Figure
    tasks: Mapping[str, Task]

    def of_state(self, state: State) -> list[tuple[str, Task]]:
        """The tasks in a state, by day."""
        found = [(i, t) for i, t in self.tasks.items() if t.state is state]
        return sorted(found, key=lambda f: (f[1].when.value, f[0]))


def year(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The tasks of the tract's year, derived from what the other planners say."""
    start, end = year_of(given.tract, given.as_of)
    marks = {d.body.task for d in given.tract.done.values() if d.body.part == "done"}
    tasks = {
        id_: Task(when, what, why, place, _state(id_, when.value, given.as_of, marks))
        for id_, when, what, why, place in _tasks(given, earlier)
        if when.known and (start <= when.value <= end or when.value < given.as_of)
    }
    about = given.tract.about
    body = Year(
        starts=Figure(start, "date", about.figure("year_starts", "decided").origin),
        ends=Figure(end, "date", about.figure("year_starts", "decided").origin),
        tasks=dict(sorted(tasks.items(), key=lambda t: (t[1].when.value, t[0]))),
    )
    return Section("year", body)


NEXT_DAYS = 45


def _state(id_: str, when: date, as_of: date, marks: set[str]) -> State:
    if id_ in marks:
        return State.DONE
    if when < as_of:
        return State.LATE
    return State.NEXT if (when - as_of).days <= NEXT_DAYS else State.LATER


Line = tuple[str, Figure, Message, Message, str]


def _tasks(given: Given, earlier: Mapping[str, Section]) -> Iterator[Line]:
    orders: Mapping[str, PlotOrder] = earlier["order"].body
    for place, order in orders.items():
        yield from _plot_tasks(place, order)
    yield from _buying_tasks(earlier["buy"].body, given.as_of)
    samples: Mapping[str, PlotSamples] = earlier["sampling"].body
    for place, found in samples.items():
        what = Message.of("task-cores", place=found.name)
        yield found.task, found.due, what, found.why, place
    plan: WorkPlan = earlier["work"].body
    for id_, job in plan.jobs.items():
        if job.listed:
            yield id_, job.by, job.what, job.why, job.place
    looked: Mapping[str, Looked] = earlier["scout"].body
    for id_, look in looked.items():
        if look.task is not None:
            yield f"scout.{id_}", look.task.by, look.task.what, look.task.why, look.place
    dues: Mapping[str, Due] = earlier["duties"].body
    for due in dues.values():
        if not due.done:
            yield due.task, due.by, due.what, due.why, due.place
    counts: Counts = earlier["counts"].body
    for id_, count in counts.due.items():
        yield (
            id_,
            count.by,
            Message.of("task-count", place=count.name, how=count.method),
            count.why,
            count.place,
        )
    for id_, point in counts.points.items():
        what = Message.of("task-photo", place=point.name)
        yield f"photo.{id_}", point.due, what, Message.of("task-photo-why"), id_
    closed: Mapping[str, ClosedGround] = earlier["closed"].body
    for id_, ground in closed.items():
        why = Message.of("task-close-why", entry=", ".join(ground.places) or "all of it")
        yield f"close.{id_}", ground.closes, Message.of("task-close"), why, ""


def _plot_tasks(place: str, order: PlotOrder) -> Iterator[Line]:
    lime = order.liming
    if lime is not None and lime.spread_by is not None and lime.total.known:
        what = Message.of("task-lime", place=order.name, material=lime.material_name or "lime")
        yield f"lime.{place}", lime.spread_by, what, Message.of("task-lime-why"), place
    for id_, planting in order.plantings.items():
        if planting.seed is not None:
            what = Message.of("task-sow", place=order.name, blend=planting.blend)
            yield f"sow.{id_}", planting.sow_on, what, Message.of("task-sow-why"), place


def _buying_tasks(buying: Buying, as_of: date) -> Iterator[Line]:
    for id_, purchase in buying.purchases.items():
        if purchase.order_by is not None and purchase.packages.value:
            what = Message.of("task-order", name=purchase.name)
            yield f"order.{id_}", purchase.order_by, what, Message.of("task-order-why"), ""

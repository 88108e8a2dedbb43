"""What was decided after a look at a plot: a task like any other, with hours and a last day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.work.looks import Looked
from fencerow.plan.work.options import standing_on
from fencerow.plan.work.tasks.base import Task, Yard
from fencerow.plan.work.tasks.sown import plot_job

KINDS = {"mow": ("mow",), "spray": ("spray",), "overseed": ("overseed",)}
"""The jobs of a choice; a changed crop has those of what is entered to follow."""


def decided_tasks(yard: Yard, looks: Mapping[str, Looked]) -> Iterator[Task]:
    """The jobs of every choice that is open; the last bears the id of the choice's task."""
    for id_, look in looks.items():
        order = yard.orders.get(look.place)
        if order is None or look.task is None:
            continue
        by = look.options[look.taken].by
        after = tuple[str, ...]()
        kinds = _kinds(yard, look, order)
        for kind in kinds:
            last = kind == kinds[-1]
            name = f"scout.{id_}" if last else f"scout-{kind}.{id_}"
            job = plot_job(yard, kind, look.place, order, yard.today, after)
            until = by if by is not None and by.known else None
            yield name, replace(job, until=until, why=look.task.why, listed=not last)
            after = (name,)


def _kinds(yard: Yard, look: Looked, order: PlotOrder) -> tuple[str, ...]:
    if look.taken != "replant":
        return KINDS.get(look.taken, ())
    planting = standing_on(yard.tract, look.place, look.on.value)
    sown = None if planting is None else order.plantings.get(planting.id)
    if planting is None or sown is None:
        return ()
    if sown.method == "drilled":
        return ("drill seed",)
    return ("till", "broadcast seed") if planting.body.covered else ("broadcast seed",)

"""Soil cores, with their hours; when and why they are due stands in the sampling section."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fencerow.plan.order.sampling import due_of
from fencerow.plan.work.tasks.base import Task, Work, Yard
from fencerow.plan.work.tasks.hours import hours_over
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.words import Message


def core_tasks(yard: Yard) -> Iterator[Task]:
    """The cores of every plot that are due in this year of the tract's."""
    for place, order in yard.orders.items():
        kept = yard.tract.places[place]
        if not isinstance(kept.body, Plot):
            continue
        plot = cast(Kept[Plot], kept)
        id_, due, why = due_of(yard.tract, yard.as_of, plot)
        if due.value > yard.year[1].value:
            continue
        yield (
            id_,
            Work(
                kind="soil cores",
                place=place,
                name=order.name,
                hours=hours_over(yard, "soil cores", order.acres, None),
                go=due,
                machine="",
                after=(),
                what=Message.of("task-cores", place=order.name),
                why=why,
                # the year has its line from the sampling section; cores are pulled on any open day
                counted=False,
                listed=False,
            ),
        )

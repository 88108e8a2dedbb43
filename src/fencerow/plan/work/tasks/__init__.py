"""The tasks of the year, a file for each family."""

from __future__ import annotations

from itertools import chain

from fencerow.plan.work.tasks.base import Work, Yard
from fencerow.plan.work.tasks.clover import clover_tasks
from fencerow.plan.work.tasks.cores import core_tasks
from fencerow.plan.work.tasks.grass import grass_tasks
from fencerow.plan.work.tasks.lines import line_tasks
from fencerow.plan.work.tasks.sown import sown_tasks
from fencerow.plan.work.tasks.stands import stand_tasks

__all__ = ["Work", "Yard", "tasks_of"]

FAMILIES = (sown_tasks, clover_tasks, grass_tasks, line_tasks, stand_tasks, core_tasks)


def tasks_of(yard: Yard) -> dict[str, Work]:
    """Every task by an id that stays the same; each follows what it waits on."""
    return dict(chain.from_iterable(family(yard) for family in FAMILIES))

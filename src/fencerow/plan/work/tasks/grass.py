"""What native grass takes: old sod killed the year before, a high first mowing, a third disked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fencerow.figure import Figure, work
from fencerow.manner import Amount
from fencerow.plan.ground import acres_of
from fencerow.plan.work.tasks.base import Task, Work, Yard
from fencerow.plan.work.tasks.hours import hours_over, machine_for
from fencerow.science.weather.effort import area_part
from fencerow.tract.model import Kept
from fencerow.tract.places import NativeGrass
from fencerow.words import Message

DISKED_FROM_YEAR = 3
"""Grass is disked from its third year on (Illinois job sheet: well established, three years)."""


def grass_tasks(yard: Yard) -> Iterator[Task]:
    """The task of each native-grass field in this year of its life."""
    for kept in yard.tract.places.values():
        if isinstance(kept.body, NativeGrass) and kept.body.planted is not None:
            yield from _of_age(yard, cast(Kept[NativeGrass], kept))


def _of_age(yard: Yard, kept: Kept[NativeGrass]) -> Iterator[Task]:
    assert kept.body.planted is not None
    year = yard.year[0].value.year
    age = year - kept.body.planted
    if age == -1:
        what = Message.of("task-grass-sod", place=kept.body.name)
        yield f"grass-sod.{kept.id}.{year}", _job(yard, kept, "grass old sod", "mow", what,
                                                  "task-grass-sod-why")  # fmt: skip
    elif age == 0:
        what = Message.of("task-grass-mow", place=kept.body.name, height=_inches(yard))
        yield f"grass-mow.{kept.id}.{year}", _job(yard, kept, "grass first mow", "mow", what,
                                                  "task-grass-mow-why")  # fmt: skip
    elif age >= DISKED_FROM_YEAR:
        every = yard.upkeep("grass rotation").figure("every_years")
        turn = (age - DISKED_FROM_YEAR) % round(every.number()) + 1
        what = Message.of("task-grass-disk", place=kept.body.name, turn=turn,
                          of=round(every.number()))  # fmt: skip
        acres = work(area_part, area_ac=acres_of(kept), turn_years=every)
        yield f"grass-disk.{kept.id}.{year}", _job(yard, kept, "grass disk", "till", what,
                                                   "task-grass-disk-why", acres)  # fmt: skip


def _inches(yard: Yard) -> Amount:
    row = yard.upkeep("grass first mow")
    low = row.number("low_in")
    assert low is not None
    return Amount(low, "in", row.number("high_in"), printed=True)


def _job(
    yard: Yard, kept: Kept[NativeGrass], task: str, kind: str, what: Message, why: str,
    acres: Figure | None = None,
) -> Work:  # fmt: skip
    season = yard.season(task)
    assert season is not None, "the seasons of native grass do not lapse"
    machine = machine_for(yard, kind)
    return Work(
        kind=kind,
        place=kept.id,
        name=kept.body.name,
        hours=hours_over(yard, kind, acres or acres_of(kept), machine),
        go=season[0],
        machine=machine.body.name if machine is not None else kind,
        after=(),
        what=what,
        why=Message.of(why),
        until=season[1],
        equipment=machine.id if machine is not None else "",
        counted=False,
    )

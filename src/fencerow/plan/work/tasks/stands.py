"""What treestands, mock scrapes and cameras take before the ground closes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fencerow.figure import Figure, assume, work
from fencerow.plan.work.tasks.base import Task, Work, Yard
from fencerow.plan.work.tasks.hours import hours_once
from fencerow.science.soil import timing
from fencerow.tract.model import Kept
from fencerow.tract.places import Camera, MockScrape, PlaceBase, Treestand
from fencerow.words import Message

INSPECT_EVERY_MONTHS = 12
Spoken = tuple[str, str]
HANG, CAMERA = ("task-hang", "task-hang-why"), ("task-camera", "task-camera-why")
BRANCHES, INSPECT = (
    ("task-branches", "task-branches-why"), ("task-inspect", "task-inspect-why"),
)  # fmt: skip
HUNG = (None, "hang-on", "ladder")
"""Forms that are hung or strapped for the season; the others stand, or are carried."""


def stand_tasks(yard: Yard) -> Iterator[Task]:
    """The tasks of every treestand, mock scrape and camera."""
    for kept in yard.tract.places.values():
        if isinstance(kept.body, Treestand):
            yield _inspection(yard, cast(Kept[Treestand], kept))
            if kept.body.form in HUNG:
                yield from _in_time(yard, kept, "hang treestand", "hang", HANG)
        elif isinstance(kept.body, MockScrape) and kept.body.branches_due is not None:
            when = kept.figure("branches_due", unit="date")
            yield f"branches.{kept.id}", _task(yard, kept, "licking branches", when, when,
                                               BRANCHES)  # fmt: skip
        elif isinstance(kept.body, Camera):
            yield from _in_time(yard, kept, "camera", "camera", CAMERA)


def _in_time(
    yard: Yard, kept: Kept[PlaceBase], task: str, stem: str, said: Spoken
) -> Iterator[Task]:
    """What is done once before the ground closes; nothing where no closing is entered."""
    until = yard.before_closing(task)
    if until is not None and yard.closes is not None:
        id_ = f"{stem}.{kept.id}.{yard.closes.value.year}"
        yield id_, _task(yard, kept, task, yard.today, until, said)


def _inspection(yard: Yard, kept: Kept[Treestand]) -> Task:
    last = kept.body.last_inspection
    if last is None:
        when = assume(yard.as_of, "date", "task-inspect-never")
        id_ = f"inspect.{kept.id}"
    else:
        seen = kept.figure("last_inspection", unit="date")
        every = assume(INSPECT_EVERY_MONTHS, "months", "task-inspect-every")
        when = work(timing.months_after, from_date=seen, after_months=every)
        id_ = f"inspect.{kept.id}.{last:%Y-%m-%d}"
    return id_, _task(yard, kept, "inspect treestand", yard.today, when, INSPECT)


def _task(
    yard: Yard, kept: Kept[PlaceBase], kind: str, go: Figure, until: Figure, said: Spoken
) -> Work:
    return Work(
        kind=kind,
        place=kept.id,
        name=kept.body.name,
        hours=hours_once(yard, kind),
        go=go if go.value <= until.value else until,
        machine="",
        after=(),
        what=Message.of(said[0], place=kept.body.name),
        why=Message.of(said[1]),
        until=until,
        counted=False,
    )

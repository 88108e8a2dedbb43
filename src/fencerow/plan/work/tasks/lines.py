"""What is long and narrow takes: firebreaks bare or mown, roads drained, lanes trimmed."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.work.tasks.base import Task, Work, Yard
from fencerow.plan.work.tasks.hours import hours_on_foot, hours_on_strip, machine_for
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept
from fencerow.tract.places import AccessRoute, Firebreak, Lane, PlaceBase
from fencerow.words import Message

DRIVEN = ("utv", "truck", "tractor")
Said = tuple[str, str]
BARE = ("till", "break disk", ("task-break-disk", "task-break-disk-why"))
MOWN = ("mow", "break mow", ("task-break-mow", "task-break-mow-why"))
BREAKS: dict[str, tuple[str, str, Said]] = {"bare": BARE, "mown": MOWN, "sown": MOWN}
ROAD, TRIM = ("task-road", "task-road-why"), ("task-trim", "task-trim-why")


def line_tasks(yard: Yard) -> Iterator[Task]:
    """The yearly tasks along firebreaks, access routes that are driven, and lanes of view."""
    year = yard.year[0].value.year
    for kept in yard.tract.places.values():
        body = kept.body
        if isinstance(body, Firebreak) and body.kept is not None:
            kind, task, said = BREAKS[body.kept]
            machine = machine_for(yard, kind)
            hours = hours_on_strip(yard, kind, kept, machine)
            id_ = f"break.{kept.id}.{year}"
            yield from _line(yard, kept, id_, kind, task, hours, said, machine)
        elif isinstance(body, AccessRoute) and body.carries in DRIVEN:
            hours = hours_on_foot(yard, "road", "road", kept, 1)
            yield from _line(yard, kept, f"road.{kept.id}.{year}", "road", "road", hours, ROAD)
        elif isinstance(body, Lane):
            hours = hours_on_foot(yard, "trim", "lane trim", kept, 2)
            yield from _line(yard, kept, f"trim.{kept.id}.{year}", "trim", "lane trim", hours, TRIM)


def _line(
    yard: Yard, kept: Kept[PlaceBase], id_: str, kind: str, task: str, hours: Figure, said: Said,
    machine: Kept[Equipment] | None = None,
) -> Iterator[Task]:  # fmt: skip
    season = yard.season(task)
    if season is None:
        return
    yield (
        id_,
        Work(
            kind=kind,
            place=kept.id,
            name=kept.body.name,
            hours=hours,
            go=season[0],
            machine="" if kind in ("road", "trim") else machine.body.name if machine else kind,
            after=(),
            what=Message.of(said[0], place=kept.body.name),
            why=Message.of(said[1]),
            until=season[1],
            equipment=machine.id if machine is not None else "",
            counted=False,
        ),
    )

"""What clover that is kept takes: two mowings, and seed thrown on frozen ground."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from fencerow.manner import Amount
from fencerow.plan.work.tasks.base import Task, Yard
from fencerow.plan.work.tasks.sown import plot_job
from fencerow.words import Message

MOWINGS = (("mow-early", "clover mow early"), ("mow-late", "clover mow late"))
FROST = "clover frost-seed"


def clover_tasks(yard: Yard) -> Iterator[Task]:
    """The tasks of every plot on which clover is kept."""
    for place, order in yard.orders.items():
        for id_ in order.plantings:
            if yard.tract.plantings[id_].body.stage == "maintain" and _clover(yard, id_):
                yield from _kept(yard, place, id_)


def _clover(yard: Yard, planting: str) -> bool:
    blend = yard.tract.blends.get(yard.tract.plantings[planting].body.blend)
    rows = yard.tables["species"].rows
    parts = [] if blend is None else [rows.get(c.species) for c in blend.body.components]
    return any(row is not None and row.text("group") == "clover" for row in parts)


def _kept(yard: Yard, place: str, id_: str) -> Iterator[Task]:
    order = yard.orders[place]
    season = yard.season(FROST)
    if season is not None:
        go, until = season
        job = plot_job(yard, "frost-seed", place, order, go, (), why="task-frost-seed-why")
        what = Message.of("task-frost-seed", place=order.name)
        # only where it is thin, so the count of years does not wait for it
        yield f"frost-seed.{id_}", replace(job, until=until, what=what, counted=False)
    for stem, task in MOWINGS:
        season = yard.season(task)
        if season is None:
            continue
        go, until = season
        row = yard.upkeep(task)
        low, high = row.number("low_in"), row.number("high_in")
        assert low is not None
        height = Amount(low, "in", high, printed=True)
        what = Message.of("task-mow-clover", place=order.name, height=height)
        job = plot_job(yard, "mow", place, order, go, (), why="task-mow-clover-why")
        yield f"{stem}.{id_}", replace(job, until=until, what=what)

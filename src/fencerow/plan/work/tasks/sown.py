"""What a sown plot takes: spray, wait, mow, lime, fertilize, till, seed, a second pass, roll."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from fencerow.data import Tables
from fencerow.figure import Figure, work
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.plan.work.tasks.base import Task, Work, Yard
from fencerow.plan.work.tasks.hours import hours_over, machine_for
from fencerow.science.seed.depth import seeding_passes
from fencerow.science.soil import timing
from fencerow.tract.applied import Label
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message

FRESH_DAYS = 21
"""Days after a spraying by which weeds have come again: the row of tillage in `job_waits`."""
STAPLES = (("spread lime", "lime"), ("spread fertilizer", "fertilizer"))


def sown_tasks(yard: Yard) -> Iterator[Task]:
    """The tasks of every plot that something is spread or sown on."""
    for place, order in yard.orders.items():
        spread = dict(_spreading(yard, place, order))
        yield from spread.items()
        for id_, planting in order.plantings.items():
            if planting.seed is not None and planting.sow_on.value >= yard.as_of:
                yield from _sowing(yard, place, order, id_, planting, tuple(spread))


def _spreading(yard: Yard, place: str, order: PlotOrder) -> Iterator[Task]:
    lines = yard.buying.spread.get(place, {}).values()
    sown = [p.sow_on for p in order.plantings.values() if p.seed is not None]
    for kind, wanted in STAPLES:
        named = [line for line in lines if line.kind == wanted]
        if not named:
            continue
        go, until, why = yard.today, None, ""
        if wanted == "fertilizer" and sown:
            go = lead(yard, kind, min(sown, key=lambda day: day.value))
        elif wanted == "fertilizer":
            # nothing is sown: it goes on what is kept
            go, until = yard.season("clover fertilizer") or (yard.today, None)
            why = "task-fertilizer-kept-why"
        job = plot_job(yard, kind, place, order, go, (), named=named[0].spreader, why=why)
        # the year has a line of its own for lime, by the time that it takes to act
        id_ = f"{kind.replace(' ', '-')}.{place}"
        yield id_, replace(job, until=until, listed=wanted != "lime")


def lead(yard: Yard, kind: str, sow_on: Figure) -> Figure:
    """The first day of a job that goes before seeding."""
    days = yard.tables["job_leads"].row(kind).figure("before_days")
    return work(timing.first_day, sow_date=sow_on, before_days=days, as_of_date=yard.today)


def _sowing(
    yard: Yard, place: str, order: PlotOrder, id_: str, planting: PlantingOrder,
    before: tuple[str, ...],
) -> Iterator[Task]:  # fmt: skip
    body, sow = yard.tract.plantings[id_].body, planting.sow_on
    if body.over:
        yield from _overseeding(yard, place, order, id_, planting, body.over)
        return
    label = label_for(yard, id_)
    wait = _label_days(yard.tract, label, body.blend)
    cleared = dict(_clearing(yard, place, order, id_, sow, label, wait))
    yield from cleared.items()
    # a wait of the label's that is longer than weeds stay away is not the tillage's to keep
    fresh = wait is None or wait.number() <= FRESH_DAYS
    tilled = planting.method == "broadcast" and body.covered
    if tilled:
        waits = (*before, *(i for i, job in cleared.items() if fresh or job.kind != "spray"))
        yield f"till.{id_}", plot_job(yard, "till", place, order, lead(yard, "till", sow), waits)
    kind = "drill seed" if planting.method == "drilled" else "broadcast seed"
    waits = (f"till.{id_}",) if tilled else (*before, *cleared)
    if label is not None:
        waits = tuple(dict.fromkeys((*waits, f"spray.{id_}")))
    first = plot_job(yard, kind, place, order, sow, waits)
    yield f"sow.{id_}", replace(first, label_days=wait, listed=False)
    yield from _after_seed(yard, place, order, id_, kind, sow)


def _after_seed(
    yard: Yard, place: str, order: PlotOrder, id_: str, kind: str, sow: Figure
) -> Iterator[Task]:
    """Seed of another depth by itself, then the roller; neither on seed that is not covered."""
    body, last = yard.tract.plantings[id_].body, f"sow.{id_}"
    if not body.covered:
        return
    if _passes(yard.tract, yard.tables, body.blend) > 1:
        second = plot_job(yard, kind, place, order, sow, (last,), why="task-second-why")
        last = f"sow-second.{id_}"
        yield last, replace(second, listed=False)
    if machine_for(yard, "pack") is not None:
        rolled = plot_job(yard, "pack", place, order, sow, (last,))
        yield f"pack.{id_}", replace(rolled, listed=False)


def _overseeding(
    yard: Yard, place: str, order: PlotOrder, id_: str, planting: PlantingOrder, over: str
) -> Iterator[Task]:
    """Seed over what stands is not tilled in: that would end what it is sown over."""
    first = order.plantings.get(over)
    sown = first is not None and first.seed is not None and first.sow_on.value >= yard.as_of
    after = (f"sow.{over}",) if sown else ()
    job = plot_job(yard, "overseed", place, order, planting.sow_on, after)
    yield f"sow.{id_}", replace(job, listed=False)


def _clearing(
    yard: Yard, place: str, order: PlotOrder, id_: str, sow: Figure, label: Kept[Label] | None,
    wait: Figure | None,
) -> Iterator[Task]:  # fmt: skip
    """A spraying where a label names all that is sown, and a mowing where there is a mower."""
    after = tuple[str, ...]()
    if label is not None:
        go = lead(yard, "spray", sow)
        if wait is not None:
            longer = work(timing.first_day, sow_date=sow, before_days=wait, as_of_date=yard.today)
            go = min(go, longer, key=lambda day: day.value)
        why = Message.of("task-spray-why", label=label.body.name)
        yield f"spray.{id_}", replace(plot_job(yard, "spray", place, order, go, ()), why=why)
        after = (f"spray.{id_}",)
    if machine_for(yard, "mow") is not None:
        yield f"mow.{id_}", plot_job(yard, "mow", place, order, lead(yard, "mow", sow), after)


def label_for(yard: Yard, planting: str) -> Kept[Label] | None:
    """The label that a planting may be sprayed by: the one that was read last."""
    fit = [s.label for s in yard.sprayed.values() if planting in s.plantings]
    return max(fit, key=lambda k: (k.body.read_on, k.id), default=None)


def _label_days(tract: Tract, label: Kept[Label] | None, blend: str) -> Figure | None:
    """The longest wait that the label sets before a species of a blend is sown."""
    kept = tract.blends.get(blend)
    if label is None or kept is None:
        return None
    sown = {part.species for part in kept.body.components}
    days = [row.days for row in label.body.replant if row.species in sown]
    if not days:
        return None
    return Figure(float(max(days)), "days", label.figure("replant", unit="text").origin)


def _passes(tract: Tract, tables: Tables, blend: str) -> int:
    """Trips over the ground, by the depths that the seed of a blend allows."""
    kept, rows = tract.blends.get(blend), tables["seeding_depth"].rows
    if kept is None:
        return 1
    depths = {}
    for part in kept.body.components:
        row = rows.get(part.species)
        low, high = (None, None) if row is None else (row.number("low_in"), row.number("high_in"))
        if low is not None and high is not None:
            depths[part.species] = (low, high)
    return len(seeding_passes(depths))


def plot_job(
    yard: Yard, kind: str, place: str, order: PlotOrder, go: Figure, after: tuple[str, ...],
    named: str = "", why: str = "",
) -> Work:  # fmt: skip
    """A job on a plot, with the machine that the person has for it."""
    machine = machine_for(yard, kind, named)
    called = machine.body.name if machine is not None else named or USUAL.get(kind, kind)
    return Work(
        kind=kind,
        place=place,
        name=order.name,
        hours=hours_over(yard, kind, order.acres, machine),
        go=go,
        machine=called,
        after=after,
        what=Message.of("task-job", job=kind, place=order.name),
        why=Message.of(why or WHY.get(kind, "task-job-why")),
        equipment=machine.id if machine is not None else "",
    )


USUAL = {"till": "disk", "pack": "cultipacker"}
WHY = {
    "spread fertilizer": "task-fertilizer-why",
    "till": "task-till-why",
    "mow": "task-mow-why",
    "overseed": "task-overseed-why",
}

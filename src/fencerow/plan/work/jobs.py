"""The jobs of the year, derived from the orders: what, where, how long, after what, from when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, assume, work
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.planner import PlantingOrder, PlotOrder
from fencerow.science.soil import timing
from fencerow.science.weather.dispatch import Job, Wait
from fencerow.science.weather.effort import hours_for
from fencerow.tract.model import Tract


@dataclass(frozen=True)
class Work:
    """One job of the year: what, where, how many hours, and the first day it may begin."""

    kind: str
    place: str
    name: str
    hours: Figure
    go: Figure
    machine: str
    after: tuple[str, ...]


def jobs_of(
    tract: Tract, tables: Tables, orders: Mapping[str, PlotOrder], buying: Buying, as_of: date
) -> dict[str, Work]:
    """Every job by an id that stays the same; each follows what it waits on."""
    found: dict[str, Work] = {}
    for place, order in orders.items():
        for id_, job in _plot_jobs(tract, tables, place, order, buying, as_of):
            found[id_] = job
    return found


def _plot_jobs(
    tract: Tract, tables: Tables, place: str, order: PlotOrder, buying: Buying, as_of: date
) -> Iterator[tuple[str, Work]]:
    spread = buying.spread.get(place, {})
    today = assume(as_of, "date", "as-of-day")
    before: list[str] = []
    for kind, wanted in (("spread lime", "lime"), ("spread fertilizer", "fertilizer")):
        lines = [line for line in spread.values() if line.kind == wanted]
        if lines:
            id_ = f"{kind.replace(' ', '-')}.{place}"
            go = today if wanted == "lime" else _fertilizer_go(tables, order, today)
            machine = lines[0].spreader or kind
            yield id_, _job(tables, kind, place, order, go, machine, ())
            before.append(id_)
    for planting_id, planting in order.plantings.items():
        if planting.seed is not None and planting.sow_on.value >= as_of:
            parts = (planting_id, planting, today, tuple(before))
            yield from _sowing(tract, tables, place, order, *parts)


def _fertilizer_go(tables: Tables, order: PlotOrder, today: Figure) -> Figure:
    sown = [p.sow_on for p in order.plantings.values() if p.seed is not None]
    if not sown:
        return today
    return _go(tables, "spread fertilizer", min(sown, key=lambda day: day.value), today)


def _go(tables: Tables, kind: str, sow_on: Figure, today: Figure) -> Figure:
    """The first day of a job that goes before seeding."""
    days = tables["job_leads"].row(kind).figure("before_days")
    return work(timing.first_day, sow_date=sow_on, before_days=days, as_of_date=today)


def _sowing(
    tract: Tract, tables: Tables, place: str, order: PlotOrder, id_: str,
    planting: PlantingOrder, today: Figure, before: tuple[str, ...],
) -> Iterator[tuple[str, Work]]:  # fmt: skip
    sow = planting.sow_on
    covered = tract.plantings[id_].body.covered
    if planting.method == "broadcast" and covered:
        go = _go(tables, "till", sow, today)
        yield f"till.{id_}", _job(tables, "till", place, order, go, "disk", before)
        before = (f"till.{id_}",)
    kind = "drill seed" if planting.method == "drilled" else "broadcast seed"
    yield f"sow.{id_}", _job(tables, kind, place, order, sow, kind, before)
    if covered and any(e.body.form == "cultipacker" for e in tract.equipment.values()):
        yield f"pack.{id_}", _job(tables, "pack", place, order, sow, "cultipacker", (f"sow.{id_}",))


def _job(
    tables: Tables, kind: str, place: str, order: PlotOrder, go: Figure, machine: str,
    after: tuple[str, ...],
) -> Work:  # fmt: skip
    row = tables["job_hours"].row(kind)
    hours = work(
        hours_for, area_ac=order.acres, setup_h=row.figure("setup_h"), each_h=row.figure("each_h")
    )
    return Work(kind, place, order.name, hours, go, machine, after)


def as_dispatched(tables: Tables, jobs: Mapping[str, Work], first: date) -> list[Job]:
    """The jobs as the day-by-day rule takes them, days counted from the first."""
    position = {id_: at for at, id_ in enumerate(jobs)}
    return [
        Job(
            plot=job.place,
            kind=job.kind,
            work_h=job.hours.number() if job.hours.known else 0.0,
            waits=tuple(_wait(tables, job, jobs[a], position[a]) for a in job.after),
            machine=job.machine,
            go_day=max(0, (job.go.value - first).days),
        )
        for job in jobs.values()
    ]


def _wait(tables: Tables, job: Work, earlier: Work, at: int) -> Wait:
    """The days to keep between two jobs; none where the table has no row for the two."""
    row = tables["job_waits"].rows.get(f"{job.kind}/{earlier.kind}/usual")
    if row is None:
        return Wait(at)
    most = row.number("most_days")
    return Wait(
        at, int(row.number("least_days") or 0), None if most is None else int(most),
        row.text("if_late"),
    )  # fmt: skip

"""The way to the work and back: from the nearest gate that is drawn, once for each task."""

from __future__ import annotations

from dataclasses import replace

from fencerow.figure import Figure, work
from fencerow.plan.ground import outline
from fencerow.plan.work.tasks.base import Work, Yard
from fencerow.science.ground.lines import nearest_yd
from fencerow.science.weather import effort
from fencerow.tract.places import Gate


def with_travel(yard: Yard, jobs: dict[str, Work]) -> dict[str, Work]:
    """The tasks with their travel; as they are where no gate, or not their place, is drawn."""
    away: dict[str, Figure | None] = {}
    found = {}
    for id_, job in jobs.items():
        if job.place not in away:
            away[job.place] = _away(yard, job.place)
        found[id_] = _with(yard, job, away[job.place])
    return found


def _away(yard: Yard, place: str) -> Figure | None:
    """How far a place is from the gate that is nearest to it; None where that is not known."""
    kept = yard.tract.places.get(place)
    gates = [k for k in yard.tract.places.values() if isinstance(k.body, Gate) and k.body.shape]
    if kept is None or kept.body.shape is None or not gates:
        return None
    ways = [work(nearest_yd, sit=outline(gate), shape=outline(kept)) for gate in gates]
    return min((w for w in ways if w.known), key=Figure.number, default=None)


def _with(yard: Yard, job: Work, away: Figure | None) -> Work:
    if away is None or not job.hours.known:
        return job
    row = yard.tables["travel"].row("driving" if job.machine else "walking")
    hours = work(
        effort.hours_with_travel,
        work_h=job.hours,
        away_yd=away,
        detour=row.figure("detour"),
        speed_mph=row.figure("speed_mph"),
    )
    return replace(job, hours=hours)

"""The jobs of a year: what waits on what, and for how many days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fencerow.words import BadInput


@dataclass(frozen=True)
class Wait:
    """An earlier job of the list, by its place in it, and the days to keep after it is done.

    `if_late` says what becomes of a job that was not begun within `most_days`: 'redo' has the
    earlier job done over again, 'skip' leaves this one out.
    """

    after: int
    least_days: int = 0
    most_days: int | None = None
    if_late: str = "redo"


@dataclass(frozen=True)
class Job:
    """One job on one plot. `go_day` is the first day, counted from 0, on which it may be begun, and
    `until_day` the last on which it may be worked at; None where it has none."""

    plot: str
    kind: str
    work_h: float
    waits: tuple[Wait, ...] = ()
    machine: str = ""
    go_day: int = 0
    until_day: int | None = None


def jobs_from(jobs: Sequence[Job | Mapping[str, Any]]) -> list[Job]:
    """Jobs, of which some may be given as plain rows.

    Raises:
        BadInput: a job waits on one that does not stand before it.
    """
    found = [job if isinstance(job, Job) else _job(job) for job in jobs]
    for at, job in enumerate(found):
        for wait in job.waits:
            if not 0 <= wait.after < at:
                raise BadInput(
                    "soilwater-wait-order", plot=job.plot, job=job.kind, row=at, after=wait.after
                )
    return found


def _job(row: Mapping[str, Any]) -> Job:
    waits = tuple(Wait(**wait) for wait in row.get("waits", ()))
    return Job(**{**row, "waits": waits})


def depths(jobs: Sequence[Job]) -> list[int]:
    """How many jobs, one after the other, come before each."""
    depth: list[int] = []
    for job in jobs:
        depth.append(max((depth[wait.after] + 1 for wait in job.waits), default=0))
    return depth


def most_advanced_first(jobs: Sequence[Job]) -> list[int]:
    """The jobs by their place in the list, the most advanced first, ties to the earlier go-date."""
    depth = depths(jobs)
    return sorted(range(len(jobs)), key=lambda at: (-depth[at], jobs[at].go_day, at))

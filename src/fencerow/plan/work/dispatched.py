"""The tasks that the count of years is made of, as the day-by-day rule takes them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date

from fencerow.data import Tables
from fencerow.plan.work.tasks import Work
from fencerow.science.weather.jobs import Job, Wait


def counted_jobs(
    jobs: Mapping[str, Work], places: Collection[str], first: date, closes: date
) -> dict[str, Work]:
    """What has to be done before the closing, on ground whose fitness is known, with all before it.

    A task whose season opens after the closing, or is over, keeps no year from being finished.
    """
    found: dict[str, Work] = {}
    for id_, job in jobs.items():
        over = job.until is not None and (job.until.value < first or job.go.value >= closes)
        waited_on = all(a in found for a in job.after)
        if job.counted and job.place in places and not over and waited_on:
            found[id_] = job
    return found


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
            until_day=None if job.until is None else (job.until.value - first).days,
        )
        for job in jobs.values()
    ]


def _wait(tables: Tables, job: Work, earlier: Work, at: int) -> Wait:
    """The days to keep between two jobs; none where neither table nor label has a word on it."""
    row = tables["job_waits"].rows.get(f"{job.kind}/{earlier.kind}/usual")
    least = 0 if row is None else int(row.number("least_days") or 0)
    if earlier.kind == "spray" and job.label_days is not None:
        least = max(least, round(job.label_days.number()))
    most = None if row is None else row.number("most_days")
    late = "redo" if row is None else row.text("if_late")
    return Wait(at, least, None if most is None else int(most), late)

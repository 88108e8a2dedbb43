"""What keeps a job off a day whatever the weather: permissions, closed ground, a machine away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from fencerow.plan.graph import Given
from fencerow.plan.permits import stopped_days
from fencerow.plan.work.tasks import Work
from fencerow.science.weather.effort import days_held
from fencerow.science.weather.outcome import BARRED

JOB_OF = {"overseed": "broadcast seed", "frost-seed": "broadcast seed",
          "pack": "drive heavy equipment"}  # fmt: skip
"""What a permission calls a job of ours that it has no word for."""


def barred(given: Given, jobs: Mapping[str, Work], days: Sequence[date]) -> NDArray[np.int_]:
    """Why each job may not be done on each day, as its place in `BARRED` [job, day]."""
    rows = {(j.kind, j.place, j.equipment): j for j in jobs.values()}
    found = {key: _row(given, job, days) for key, job in rows.items()}
    return np.array([found[j.kind, j.place, j.equipment] for j in jobs.values()], dtype=int)


def _row(given: Given, job: Work, days: Sequence[date]) -> NDArray[np.int_]:
    dates = np.array(days, dtype="datetime64[D]")
    row = np.zeros(len(days), dtype=int)
    machine = given.tract.equipment.get(job.equipment)
    if machine is not None:
        lent = machine.body
        here = days_held(dates, lent.from_on, lent.until_on, lent.weekdays)
        row[~here] = BARRED.index("machine-away")
    kind = JOB_OF.get(job.kind, job.kind)
    stopped = np.array(stopped_days(given.tract, given.tables, job.place, kind, days), dtype=bool)
    row[stopped] = BARRED.index("permission")
    for kept in given.tract.closings.values():
        body = kept.body
        if not body.places or job.place in body.places:
            row[days_held(dates, body.closes, body.opens, ())] = BARRED.index("closed")
    return row

"""The rule of the day in plain NumPy, all years at once: what the house's own way is held against.

A loop over days and jobs, with every year of the record in one array.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.science.weather.jobs import Job


def plain(
    jobs: Sequence[Job], may: np.ndarray, people: np.ndarray, machines: np.ndarray,
    order: Sequence[int] | None = None, sees: int = 0,
) -> np.ndarray:  # fmt: skip
    """The day on which each job was last done [job, year]; -1 where it was not, -2 left out."""
    count, years, days = may.shape
    depth: list[int] = []
    for job in jobs:
        depth.append(max((depth[w.after] + 1 for w in job.waits), default=0))
    if order is None:
        order = sorted(range(count), key=lambda j: (-depth[j], jobs[j].go_day, j))
    left = np.repeat([[j.work_h] for j in jobs], years, axis=1).astype(float)
    done = np.full((count, years), -1)
    begun, skipped = np.zeros((2, count, years), dtype=bool)
    for day in range(days):
        for at in order:
            for wait in jobs[at].waits:
                if wait.most_days is None:
                    continue
                earlier = done[wait.after]
                late = (done[at] < 0) & ~skipped[at] & ~begun[at]
                late &= (earlier >= 0) & (day - earlier > wait.most_days)
                if wait.if_late == "skip":
                    skipped[at] |= late
                else:
                    done[wait.after][late] = -1
                    left[wait.after][late] = jobs[wait.after].work_h
        hours = np.full(years, people[day])
        free = {j.machine: np.full(years, machines[day]) for j in jobs if j.machine}
        active = np.ones(years, dtype=bool)
        while active.any():
            finished = np.zeros(years, dtype=bool)
            for at in order:
                job = jobs[at]
                if day < job.go_day or (job.until_day is not None and day > job.until_day):
                    continue
                now = active & (done[at] < 0) & ~skipped[at] & may[at, :, day]
                for wait in job.waits:
                    earlier = done[wait.after]
                    kept = (earlier >= 0) & (day - earlier >= wait.least_days)
                    now &= kept | skipped[wait.after]
                if not now.any():
                    continue
                spent = np.where(now, np.minimum(left[at], hours), 0.0)
                ends = now & (spent >= left[at] - 1e-9)
                now &= ~(ends & _in_vain(jobs, may, at, day, sees))
                spent = np.where(now, spent, 0.0)
                if job.machine:
                    spent = np.minimum(spent, free[job.machine])
                    free[job.machine] = free[job.machine] - spent
                hours = hours - spent
                left[at] -= spent
                begun[at] |= spent > 0
                over = now & (left[at] <= 1e-9)
                done[at][over] = day
                finished |= over
            active = finished
    return np.where(skipped, -2, done)


def _in_vain(jobs: Sequence[Job], may: np.ndarray, at: int, day: int, sees: int) -> np.ndarray:
    """The years in which it is seen that what follows cannot follow in time."""
    found = np.zeros(may.shape[1], dtype=bool)
    for after, job in enumerate(jobs):
        for wait in job.waits:
            if wait.after == at and wait.if_late != "skip" and wait.most_days in range(sees + 1):
                days = may[after, :, day + wait.least_days : day + wait.most_days + 1]
                found |= ~days.any(axis=1)
    return found

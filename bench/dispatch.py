"""The rule of the day: 12 plots x 6 jobs x 75 days x 30 years, ours and plain NumPy, side by side.

Run `python bench/dispatch.py`. Both must give the same day for every job of every year before their
times count; the times are medians of the processor's time. The aim is 0.1 s.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

import numpy as np
from dispatch_plain import plain

from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.hindsight import could_finish
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.outcome import Seasons

STEPS = (
    ("spray", "sprayer", ()),
    ("mow", "tractor", (Wait(0, 7),)),
    ("spread lime", "spreader", ()),
    ("till", "tractor", (Wait(0, 10, 21), Wait(1, 0), Wait(2, 0))),
    ("seed", "", (Wait(3, 0, 3),)),
    ("pack", "", (Wait(4, 0, 1, "skip"),)),
)


def year_of_work(plots: int, hours: float) -> list[Job]:
    jobs: list[Job] = []
    for plot in range(plots):
        first = len(jobs)
        for kind, machine, waits in STEPS:
            own = tuple(Wait(first + w.after, w.least_days, w.most_days, w.if_late) for w in waits)
            jobs.append(Job(f"plot {plot}", kind, hours, own, machine))
    return jobs


def days_done(found: Seasons) -> np.ndarray:
    """The day of each job [job, year]; -1 where it was not done, -2 where it was left out."""
    return np.array([
        [-2 if at in run.skipped else -1 if day is None else day
         for at, day in enumerate(run.done_day)] for run in found.runs
    ]).T  # fmt: skip


def median_s(run: Callable[[], object], runs: int) -> float:
    took = []
    for _ in range(runs):
        begin = time.process_time()
        run()
        took.append(time.process_time() - begin)
    return statistics.median(took)


def main() -> None:
    parser = argparse.ArgumentParser()
    for name, value in (("plots", 12), ("days", 75), ("years", 30), ("runs", 5)):
        parser.add_argument(f"--{name}", type=int, default=value)
    told = parser.parse_args()
    jobs = year_of_work(told.plots, 1.4)
    dice = np.random.default_rng(7)
    fit = np.repeat(dice.random((1, told.years, told.days)) < 0.5, len(jobs), axis=0)
    people = np.resize([3.0, 3, 3, 0, 0, 10, 10], told.days)

    def ours() -> np.ndarray:
        return days_done(seasons(jobs, fit, fit | True, people))

    assert np.array_equal(ours(), plain(jobs, fit, people, people))
    one = median_s(ours, told.runs)
    print(f"rule of the day    {one * 1e3:8.1f} ms   (1)   aim 100 ms")
    other = median_s(lambda: plain(jobs, fit, people, people), told.runs)
    print(f"plain NumPy        {other * 1e3:8.1f} ms   ({other / one:.1f} x)")
    bound = median_s(lambda: could_finish(jobs, fit, fit | True, people), told.runs)
    print(f"bound by hindsight {bound * 1e3:8.1f} ms   ({bound / one:.1f} x)")
    most = sum(could_finish(jobs, fit, fit | True, people))
    count = seasons(jobs, fit, fit | True, people).finished_years
    print(f"years finished     {count} of {told.years}, at most {most}")


if __name__ == "__main__":
    main()

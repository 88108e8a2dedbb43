"""The search of a way of working in plain NumPy: what the house's own is held against.

A way is which job goes first, which plots go first, by how many days kinds of job and plots are
held back, and how many days on it looks. Each try changes one of these in the best way so far.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from dispatch_plain import plain

from fencerow.science.weather.jobs import Job

FIRST = ("advanced", "plot", "hours", "last day")
STEPS = (-14, -7, -3, 3, 7, 14)
Way = dict[str, Any]


def searched(
    jobs: Sequence[Job], may: np.ndarray, people: np.ndarray, kinds: Sequence[str], sees: int,
    tries: int, seed: int,
) -> tuple[Way, tuple[int, int, int]]:  # fmt: skip
    """The best way met, and how many years, plots and jobs it ends."""
    dice = np.random.default_rng(seed)
    plots = list(dict.fromkeys(job.plot for job in jobs))
    way: Way = {"first": "advanced", "plots": (), "moved": {}, "held": {}, "sees": sees}
    best = score(jobs, may, people, kinds, way)
    for _ in range(tries):
        other = changed(dice, way, plots, kinds, sees)
        found = score(jobs, may, people, kinds, other)
        if found >= best:
            way, best = other, found
    return way, best


def changed(
    dice: np.random.Generator, way: Way, plots: Sequence[str], kinds: Sequence[str], sees: int
) -> Way:
    what = int(dice.integers(6))
    if what == 0:
        return way | {"first": FIRST[int(dice.integers(len(FIRST)))]}
    if what == 1:
        ranked = list(way["plots"] or plots)
        plot = ranked.pop(int(dice.integers(len(ranked))))
        ranked.insert(int(dice.integers(len(ranked) + 1)), plot)
        return way | {"plots": tuple(ranked)}
    if what == 2:
        return way | {"sees": int(dice.integers(sees + 1))}
    if what == 3:
        apart = int(dice.integers(5))
        ranked = list(way["plots"] or plots)
        return way | {"held": {plot: rank * apart for rank, plot in enumerate(ranked)}}
    name, among = ("moved", kinds) if what == 4 else ("held", plots)
    one = among[int(dice.integers(len(among)))]
    days = way[name].get(one, 0) + STEPS[int(dice.integers(len(STEPS)))]
    return way | {name: {**way[name], one: days}}


def score(
    jobs: Sequence[Job], may: np.ndarray, people: np.ndarray, kinds: Sequence[str], way: Way
) -> tuple[int, int, int]:
    moved = [way["moved"].get(j.kind, 0) + way["held"].get(j.plot, 0) for j in jobs]
    held = [
        replace(j, go_day=max(0, j.go_day + days)) if j.kind in kinds else j
        for j, days in zip(jobs, moved, strict=True)
    ]
    done = plain(held, may, people, people, order_of(held, way), way["sees"]) != -1
    by_plot = {job.plot: np.ones(done.shape[1], dtype=bool) for job in jobs}
    for at, job in enumerate(jobs):
        by_plot[job.plot] &= done[at]
    plots = np.array(list(by_plot.values()))
    return int(plots.all(axis=0).sum()), int(plots.sum()), int(done.sum())


def order_of(jobs: Sequence[Job], way: Way) -> list[int]:
    depth: list[int] = []
    for job in jobs:
        depth.append(max((depth[w.after] + 1 for w in job.waits), default=0))
    tail = [job.work_h for job in jobs]
    for at in reversed(range(len(jobs))):
        for wait in jobs[at].waits:
            tail[wait.after] = max(tail[wait.after], jobs[wait.after].work_h + tail[at])
    plots = list(dict.fromkeys(job.plot for job in jobs))
    rank = {p: i for i, p in enumerate(way["plots"])}
    own = {p: rank.get(p, i) for i, p in enumerate(plots)}

    def key(at: int) -> tuple[float, ...]:
        job, ahead = jobs[at], rank.get(jobs[at].plot, 0)
        until = 1e9 if job.until_day is None else job.until_day
        return {
            "advanced": (-depth[at], ahead, job.go_day, at),
            "plot": (own[job.plot], -depth[at], job.go_day, at),
            "hours": (-tail[at], ahead, -depth[at], at),
            "last day": (until, -depth[at], ahead, at),
        }[way["first"]]

    return sorted(range(len(jobs)), key=key)

"""What nobody could have passed, had they known the whole year: a bound, and never a chance.

For each year the work is relaxed until it is easy to judge: jobs may be cut up at will, a wait only
bounds from below, what may be left out is left out, nothing has to be done over. Every season that
the rule of the day brings to its end keeps these bounds too, so the bound is never below its count.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.jobs import Job, jobs_from
from fencerow.science.weather.series import Bools, Floats

_PER_HOUR = 3600  # the flow counts whole seconds: needs rounded down, hours rounded up


@formula(
    "whether each job's hours fit into its fit days, between what comes before and what after",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def could_finish(
    jobs: Sequence[Job | Mapping[str, Any]],
    fit: Bools | Sequence[Any],
    known: Bools | Sequence[Any],
    people_h: Floats | Sequence[float],
    machine_h: Floats | Sequence[float] | None = None,
    barred: Sequence[Any] | None = None,
) -> tuple[bool, ...]:
    """For each year, whether it could have been finished by one who knew it; if not, by nobody.

    By maximum flow from jobs to the hours of their days: a relaxation, so that a year which it
    lets pass need not be one that could have been finished.

    Args:
        jobs, fit, known, people_h, machine_h, barred: as for `dispatch.seasons`.
    """
    listed = jobs_from(jobs)
    may = np.asarray(fit, dtype=bool) & np.asarray(known, dtype=bool)
    if barred is not None:
        may &= np.asarray(barred, dtype=int)[:, None, :] == 0
    people = np.asarray(people_h, dtype=np.float64)
    machines = people if machine_h is None else np.asarray(machine_h, dtype=np.float64)
    return tuple(_could(listed, may[:, year], people, machines) for year in range(may.shape[1]))


def _could(jobs: Sequence[Job], may: Bools, people: Floats, machines: Floats) -> bool:
    needed = [not any(w.if_late == "skip" for w in job.waits) for job in jobs]
    spans = _spans(jobs, needed, may)
    return spans is not None and _flows(jobs, spans, people, machines)


def _spans(jobs: Sequence[Job], needed: Sequence[bool], may: Bools) -> dict[int, list[int]] | None:
    """The days on which each needed job may be worked at; None where one has none."""
    days = may.shape[1]
    first: dict[int, int] = {}
    for at, job in enumerate(jobs):
        if needed[at]:
            waits = [first[w.after] + w.least_days for w in job.waits if w.after in first]
            begin = max([job.go_day, *waits])
            later = np.flatnonzero(may[at, begin:])
            if not len(later):
                return None
            first[at] = begin + int(later[0])
    last = {at: min(days - 1, _until(jobs[at], days)) for at in first}
    for at in reversed(list(first)):
        for wait in jobs[at].waits:
            if wait.after in last:
                last[wait.after] = min(last[wait.after], last[at] - wait.least_days)
    found = {}
    for at, begin in first.items():
        found[at] = [d for d in range(begin, last[at] + 1) if may[at, d]]
        if not found[at]:
            return None
    return found


def _until(job: Job, days: int) -> int:
    return days if job.until_day is None else job.until_day


def _flows(
    jobs: Sequence[Job], spans: Mapping[int, Sequence[int]], people: Floats, machines: Floats
) -> bool:
    """Whether all hours that are needed flow into the hours that there are."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import maximum_flow

    nodes: dict[object, int] = {"from": 0, "to": 1}
    edges: dict[tuple[int, int], int] = {}

    def node(name: object) -> int:
        return nodes.setdefault(name, len(nodes))

    def edge(one: object, other: object, hours: float, up: bool) -> None:
        whole = math.ceil(hours * _PER_HOUR) if up else math.floor(hours * _PER_HOUR)
        edges[node(one), node(other)] = whole

    wanted = 0
    for at, days in spans.items():
        job = jobs[at]
        edge("from", ("job", at), job.work_h, up=False)
        wanted += math.floor(job.work_h * _PER_HOUR)
        for day in days:
            into: object = ("day", day)
            if job.machine:
                into = (job.machine, day)
                edge(into, ("day", day), float(machines[day]), up=True)
            edge(("job", at), into, job.work_h, up=True)
            edge(("day", day), "to", float(people[day]), up=True)
    rows, columns = np.array(list(edges), dtype=np.int32).T
    size = (len(nodes), len(nodes))
    graph = coo_array((np.array(list(edges.values()), dtype=np.int32), (rows, columns)), size)
    return int(maximum_flow(graph.tocsr(), 0, 1).flow_value) >= wanted

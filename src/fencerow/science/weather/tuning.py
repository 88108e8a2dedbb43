"""First days moved so that more of some years are finished: a plain search, held back from others.

What was tuned on a year says too much of that year, so the years that it is reported on are others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.jobs import Job, jobs_from
from fencerow.science.weather.series import Bools

STEPS = (-14, -7, 7, 14)
"""Days by which the first day of a kind of job is tried to be moved."""


@formula(
    "each kind of job in turn, moved by the step that finishes most of the odd years",
    unit="days",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def moved_days(
    kinds: Sequence[str], odd: Bools | Sequence[bool], call: Mapping[str, Any]
) -> dict[str, int]:
    """Days by which each kind's first day is moved, sooner below 0 [days].

    One pass over the kinds: each keeps the step with the most years finished, then the most plots;
    it is moved only where that is more than without. A search of ours; it proves nothing.

    Args:
        kinds: the kinds of job whose first day may be moved.
        odd: the years to tune on.
        call: the arguments of `dispatch.seasons`.
    """
    tuned_on = np.asarray(odd, dtype=bool)
    jobs = jobs_from(call["jobs"])
    some = {**call, **{n: np.asarray(call[n])[:, tuned_on] for n in ("fit", "known")}}
    moved = dict.fromkeys(kinds, 0)
    best = _score(some, jobs, moved)
    for kind in kinds:
        for step in STEPS:
            score = _score(some, jobs, {**moved, kind: step})
            if score > best:
                best, moved = score, {**moved, kind: step}
    return moved


def with_moved(jobs: Sequence[Job], moved: Mapping[str, int]) -> list[Job]:
    """The jobs with their first days moved by kind, none before the first day of all."""
    return [replace(j, go_day=max(0, j.go_day + moved.get(j.kind, 0))) for j in jobs]


def _score(call: Mapping[str, Any], jobs: Sequence[Job], moved: Mapping[str, int]) -> Any:
    result = seasons(**{**call, "jobs": with_moved(jobs, moved)})
    plots = sum(out.finished for run in result.runs for out in run.plots.values())
    return result.finished_years, plots

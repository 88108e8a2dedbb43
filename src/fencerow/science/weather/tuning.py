"""First days moved so that more of some years are finished: a plain search, held back from others.

What was tuned on a year says too much of that year, so the years that it is reported on are others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.jobs import Job, jobs_from
from fencerow.science.weather.search import score, skies_of
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
    jobs, sees = jobs_from(call["jobs"]), call.get("sees_days", 0)
    skies = skies_of(call, np.asarray(odd, dtype=bool))

    def of(moved: Mapping[str, int]) -> tuple[int, ...]:
        return score(skies.seasons(with_moved(jobs, moved), None, sees, reasons=False))[:2]

    moved = dict.fromkeys(kinds, 0)
    best = of(moved)
    for kind in kinds:
        for step in STEPS:
            found = of({**moved, kind: step})
            if found > best:
                best, moved = found, {**moved, kind: step}
    return moved


def with_moved(jobs: Sequence[Job], moved: Mapping[str, int]) -> list[Job]:
    """The jobs with their first days moved by kind, none before the first day of all."""
    return [replace(j, go_day=max(0, j.go_day + moved.get(j.kind, 0))) for j in jobs]

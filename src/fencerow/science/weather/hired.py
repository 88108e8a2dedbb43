"""A hired day: who ran out of hours one week has a second machine and a hand on the Saturday."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.dispatch import Skies
from fencerow.science.weather.jobs import Job, jobs_from
from fencerow.science.weather.outcome import Seasons, YearRun
from fencerow.science.weather.series import Bools, Floats


@formula(
    "each year by the rule of the day, with more hours on the first Saturday after a day whose"
    " hours ran out",
    unit="",
    source="judgement",
    basis="common practice",
    valid={"extra_h": (0, 24)},
    lookup=True,
)
def with_hired_day(
    jobs: Sequence[Job | Mapping[str, Any]],
    fit: Bools | Sequence[Any],
    known: Bools | Sequence[Any],
    people_h: Floats | Sequence[float],
    hired_on: Bools | Sequence[bool],
    extra_h: float,
    machine_h: Floats | Sequence[float] | None = None,
    sees_days: int = 0,
    barred: Sequence[Any] | None = None,
    reasons: bool = True,
) -> Seasons:
    """The seasons of `dispatch.seasons`, each with one hired day that nobody's foresight chose.

    A rule of ours. The day is ordered when the hours of a day were all spent for the first time,
    and comes on the next day of `hired_on`, whatever the weather is then.

    Args:
        jobs, fit, known, people_h, machine_h: as for `dispatch.seasons`.
        hired_on: the days that may be hired, the Saturdays.
        sees_days, barred, reasons: as for `dispatch.seasons`.
        extra_h: hours that a hired day adds, to people and to machines [h].

    Raises:
        OutsideRange: an input is outside its range.
        BadInput: as for `dispatch.seasons`.
    """
    listed = jobs_from(jobs)
    people, can = np.asarray(people_h, dtype=np.float64), np.asarray(hired_on, dtype=bool)
    machines = people if machine_h is None else np.asarray(machine_h, dtype=np.float64)
    skies = Skies(len(listed), fit, known, people, machines, barred)
    runs = list(skies.seasons(listed, None, sees_days, reasons).runs)
    for year, run in enumerate(runs):
        day = _hired(run, people, can)
        if day is not None:
            more = np.zeros(len(people))
            more[day] = extra_h
            runs[year] = skies.one(year, listed, sees_days, people + more, machines + more, reasons)
    return Seasons(tuple(runs))


def _hired(run: YearRun, people: Floats, can: Bools) -> int | None:
    """The hired day: the first that can be, after the first day whose hours were all spent."""
    spent: dict[int, float] = defaultdict(float)
    for spell in run.spells:
        spent[spell.day] += spell.work_h
    full = [day for day, hours in spent.items() if hours >= people[day] - 1e-9 > 0]
    if not full:
        return None
    after = np.flatnonzero(can[min(full) + 1 :])
    return min(full) + 1 + int(after[0]) if len(after) else None

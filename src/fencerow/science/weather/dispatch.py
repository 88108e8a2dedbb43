"""How the year's work would have gone in each year of a record, by a rule that sees only today.

Each day the most advanced job that may be done is done, ties going to the earlier go-date, within
the hours of the people and of each machine. Nobody in it knows more of the weather than the few
days that a forecast is given for: what could have been done by someone who did is never shown as a
chance. In a past year the forecast is what came, which is better than any forecast is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import formula
from fencerow.science.weather.day_bits import JobDays, barred_bits, bits_of
from fencerow.science.weather.jobs import Job, jobs_from, most_advanced_first
from fencerow.science.weather.one_year import OneYear, followers_of
from fencerow.science.weather.outcome import Seasons
from fencerow.science.weather.series import Bools, Floats
from fencerow.words import BadInput


@formula(
    "each day the most advanced job that may be done, within the hours of people and machines",
    unit="",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def seasons(
    jobs: Sequence[Job | Mapping[str, Any]],
    fit: Bools | Sequence[Any],
    known: Bools | Sequence[Any],
    people_h: Floats | Sequence[float],
    machine_h: Floats | Sequence[float] | None = None,
    sees_days: int = 0,
    barred: Sequence[Any] | NDArray[np.int_] | None = None,
    order: Sequence[int] | None = None,
) -> Seasons:
    """The season of every year, each on its own, by the rule that sees today and a few days on.

    A rule of ours. Days run from 0 to the last on which work is allowed: the closing of the ground
    is the end of the arrays. A day that is not known to be fit is not worked on. A job that is not
    done by its last day is not done that year.

    Args:
        jobs: what is to be done, each after those that it waits on.
        fit: whether the ground and the sky allow a job on a day [job, year, day].
        known: where that is known.
        people_h: hours of work that the people have, each day [h].
        machine_h: hours that one machine can run, each day; as `people_h` where left out [h].
        sees_days: days ahead that are foreseen. A job is not ended today where it is seen that what
            has to follow within so many days cannot [days].
        barred: what keeps a job off a day in every year, as its place in `BARRED` [job, day].
        order: the jobs in the order in which each day looks at them; where left out, the most
            advanced first.

    Raises:
        BadInput: a job waits on one that does not stand before it, or the arrays do not fit.
    """
    listed = jobs_from(jobs)
    may, sure = np.asarray(fit, dtype=bool), np.asarray(known, dtype=bool)
    people = np.asarray(people_h, dtype=np.float64)
    machines = people if machine_h is None else np.asarray(machine_h, dtype=np.float64)
    kept_off = np.zeros(may.shape[::2], int) if barred is None else np.asarray(barred, dtype=int)
    _check(len(listed), may, sure, people, machines, kept_off)
    looked_at = most_advanced_first(listed) if order is None else list(order)
    followers, why, days = followers_of(listed), barred_bits(kept_off), len(people)
    by_year = (bits_of((may & sure).swapaxes(0, 1)), bits_of(sure.swapaxes(0, 1)))
    hours = people.tolist(), machines.tolist()
    runs = (
        OneYear(listed, looked_at, followers, JobDays(listed, can, sure_of, why, days), sees_days)
        .run(*hours)
        for can, sure_of in zip(*by_year, strict=True)
    )  # fmt: skip
    return Seasons(tuple(runs))


def _check(
    jobs: int, may: Bools, sure: Bools, people: Floats, machines: Floats, barred: NDArray[np.int_]
) -> None:
    days = people.shape[-1]
    wanted = (jobs, days)
    if may.shape != sure.shape or may.shape[::2] != wanted or len(machines) != days:
        raise BadInput("soilwater-shapes", jobs=jobs, days=days, fit=may.shape)
    if barred.shape != wanted:
        raise BadInput("soilwater-shapes", jobs=jobs, days=days, fit=barred.shape)

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
from fencerow.science.weather.one_year import Listed, OneYear
from fencerow.science.weather.outcome import Seasons, YearRun
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
    reasons: bool = True,
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
        reasons: whether to count, day by day, why plots were not finished.

    Raises:
        BadInput: a job waits on one that does not stand before it, or the arrays do not fit.
    """
    listed = jobs_from(jobs)
    skies = Skies(len(listed), fit, known, people_h, machine_h, barred)
    return skies.seasons(listed, order, sees_days, reasons)


class Skies:
    """The days of every year as the rule asks for them, so that many ways may be tried on them."""

    def __init__(
        self, jobs: int, fit: Bools | Sequence[Any], known: Bools | Sequence[Any],
        people_h: Floats | Sequence[float], machine_h: Floats | Sequence[float] | None = None,
        barred: Sequence[Any] | NDArray[np.int_] | None = None,
    ) -> None:  # fmt: skip
        may, sure = np.asarray(fit, dtype=bool), np.asarray(known, dtype=bool)
        people = np.asarray(people_h, dtype=np.float64)
        machines = people if machine_h is None else np.asarray(machine_h, dtype=np.float64)
        kept_off = np.zeros(may.shape[::2]) if barred is None else np.asarray(barred, dtype=int)
        _check(jobs, may, sure, people, machines, kept_off)
        self.barred, self.hours = barred_bits(kept_off), (people.tolist(), machines.tolist())
        self.may = bits_of((may & sure).swapaxes(0, 1))
        self.known = bits_of(sure.swapaxes(0, 1))

    def seasons(
        self, jobs: Sequence[Job], order: Sequence[int] | None = None, sees_days: int = 0,
        reasons: bool = True,
    ) -> Seasons:  # fmt: skip
        """The season of every year by the rule; see the function of this name."""
        looked_at = most_advanced_first(jobs) if order is None else list(order)
        listed = Listed(jobs, looked_at, sees_days, reasons)
        return Seasons(tuple(self._year(at, listed, self.hours) for at in range(len(self.may))))

    def one(
        self, year: int, jobs: Sequence[Job], sees_days: int, people_h: Floats, machine_h: Floats,
        reasons: bool = True,
    ) -> YearRun:  # fmt: skip
        """The season of one year by itself, with other hours of people and machines [h]."""
        hours = people_h.tolist(), machine_h.tolist()
        listed = Listed(jobs, most_advanced_first(jobs), sees_days, reasons)
        return self._year(year, listed, hours)

    def _year(self, at: int, listed: Listed, hours: tuple[list[float], list[float]]) -> YearRun:
        days = JobDays(listed.jobs, self.may[at], self.known[at], self.barred, hours[0])
        return OneYear(listed, days).run(*hours)


def _check(
    jobs: int, may: Bools, sure: Bools, people: Floats, machines: Floats, barred: NDArray[Any]
) -> None:
    days = people.shape[-1]
    wanted = (jobs, days)
    if may.shape != sure.shape or may.shape[::2] != wanted or len(machines) != days:
        raise BadInput("soilwater-shapes", jobs=jobs, days=days, fit=may.shape)
    if barred.shape != wanted:
        raise BadInput("soilwater-shapes", jobs=jobs, days=days, fit=barred.shape)

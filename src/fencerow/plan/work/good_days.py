"""What the coming days are good for, job by job: fit ground, and rain where a job wants it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta

from fencerow.figure import Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.order.urea import offers_urea
from fencerow.plan.work.tasks.base import Work
from fencerow.science.weather import ahead as coming
from fencerow.science.weather import workability
from fencerow.science.weather.series import Floats
from fencerow.science.weather.workability import Verdict
from fencerow.words import Message

DAYS = 7
JOBS = ("spread lime", "spread fertilizer", "broadcast seed", "drill seed", "overseed")
FROZEN_TOO = "spread lime"
"""Lime stays where it lies: it may go on whenever the ground carries, frozen ground without snow
among it."""


@dataclass(frozen=True)
class Ahead:
    """The coming days as each past year had them: fit for a job, rain [year, day], and ground that
    is frozen and bare [year, day]."""

    fit: Callable[[str], Verdict]
    rain_mm: Floats
    frozen: Verdict
    years: int


@dataclass(frozen=True)
class GoodDay:
    """A day: in how many years the ground is fit, and enough rain falls soon after."""

    fit: Figure
    rain: Figure | None = None


@dataclass(frozen=True)
class GoodDays:
    """One job that waits, over the coming days; `wants` is the rain that it is the better for."""

    kind: str
    name: str
    years: int
    days: Mapping[str, GoodDay] = field(default_factory=dict)
    wants: Figure | None = None
    within: Figure | None = None
    urea: bool = False
    frozen: bool = False


def good_days(
    given: Given, jobs: Mapping[str, Work], places: Sequence[str], ahead: Ahead,
    record: Mapping[str, Figure],
) -> dict[str, GoodDays]:  # fmt: skip
    """The coming days of every spreading and seeding that waits."""
    urea = offers_urea(given.tract)
    return {
        id_: _of_job(given, job, places.index(job.place), ahead, record, urea)
        for id_, job in jobs.items()
        if job.kind in JOBS
    }


@dataclass(frozen=True)
class _Rain:
    """The rain that a job is the better for: how much, within how many days, and no more."""

    wants: Figure
    within: Figure
    most: Figure

    @classmethod
    def of(cls, given: Given, kind: str) -> _Rain | None:
        row = given.tables["rain_after"].rows.get(kind)
        if row is None:
            return None
        return cls(row.figure("least_mm"), row.figure("within_days"), row.figure("most_mm"))

    def years(self, record: Mapping[str, Figure], rain_mm: Floats, day: int) -> Figure:
        """In how many years it falls after a day."""
        inputs = {**record, "least_mm": self.wants, "within_days": self.within}
        if self.most.known:
            inputs["most_mm"] = self.most
        parts = work_parts(
            coming.years_of_rain,
            inputs,
            rain_mm=rain_mm[:, day : day + int(self.within.number())],
            least_mm=self.wants.number(),
            most_mm=self.most.number() if self.most.known else None,
        )
        return parts.figure(lambda n: n, "years")


def _years_fit(record: Mapping[str, Figure], open_: Verdict, day: int) -> Figure:
    """In how many years a day is fit; not known where it is sure in none and may be in some."""
    fit = work_parts(coming.years_fit, record, fit=open_.fit[:, day]).figure(lambda n: n, "years")
    if not fit.value and not open_.known[:, day].all():
        return Figure(None, "years", fit.origin, Message.of("likely-water-unknown"))
    return fit


def _either(one: Verdict, other: Verdict) -> Verdict:
    """Fit where one of the two is; known where one is, or where both are known not to be."""
    fit = one.fit | other.fit
    return Verdict(fit, fit | (one.known & other.known))


def _of_job(
    given: Given, job: Work, at: int, ahead: Ahead, record: Mapping[str, Figure], urea: bool
) -> GoodDays:
    found = ahead.fit(job.kind)
    open_ = Verdict(found.fit[at], found.known[at])
    frozen = ahead.frozen.fit & (job.kind == FROZEN_TOO)
    if job.kind == FROZEN_TOO:
        most_rain = given.tables["fit_limits"].row(job.kind).number("most_rain_mm") or 0.0
        dry = workability.little_rain(ahead.rain_mm, most_rain)
        open_ = _either(open_, workability.both(ahead.frozen, dry))
    of_urea = urea and job.kind == "spread fertilizer"
    rain = _Rain.of(given, "urea" if of_urea else job.kind)
    days = {}
    for day in range(DAYS):
        days[(given.as_of + timedelta(days=day)).isoformat()] = GoodDay(
            _years_fit(record, open_, day),
            None if rain is None else rain.years(record, ahead.rain_mm, day),
        )
    return GoodDays(
        kind=job.kind,
        name=job.name,
        years=ahead.years,
        days=days,
        wants=None if rain is None else rain.wants,
        within=None if rain is None else rain.within,
        urea=of_urea,
        frozen=bool(frozen[:, :DAYS].any()),
    )

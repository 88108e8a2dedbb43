"""Today: where is the ground fit, what can be done, and when will the rest be?

The water of last evening is run once, from what fell. From there each past year is continued over
the same soil; a forecast, where there is one, goes before those years on its days.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache, partial

import numpy as np

from fencerow.figure import Figure, Worked, formula_of, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.fitness import Soil, fit_of
from fencerow.plan.work.good_days import Ahead, GoodDays, good_days
from fencerow.plan.work.limits import Limits, limits_of, soils_after
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.sky import Sky, ahead, behind, forecast_days, readings, winter_on
from fencerow.plan.work.tasks import Work
from fencerow.plan.work.verdicts import record_of, today_said
from fencerow.plan.work.weeks import ground_of
from fencerow.plan.work.winter_ahead import below_to_date, carries, dried_below, ground_ahead
from fencerow.science.weather import ahead as coming
from fencerow.science.weather import verdicts
from fencerow.science.weather.series import Bools, require_record
from fencerow.science.weather.soil_water import SURE_MM, LayerWater
from fencerow.science.weather.weeks import LEAST_YEARS
from fencerow.science.weather.workability import Verdict
from fencerow.words import BadInput, Message, OutsideRange

JOB = "till"
LOOK_BACK_DAYS, HORIZON_DAYS, CURVE_DAYS, JOBS_DAYS = 365, 45, 7, 14
ENDS = {"early": 0.1, "middle": 0.5, "late": 0.9}


@dataclass(frozen=True)
class DayWater:
    """The water that the layer may hold at midday: likely, and 1 year in 10 less or more."""

    likely: Figure
    low: Figure
    high: Figure


@dataclass(frozen=True)
class FirstDay:
    """The first fit day: 1 year in 10 has it by the early one, 9 in 10 by the late one."""

    early: Figure
    middle: Figure
    late: Figure
    from_noon: bool = False


@dataclass(frozen=True)
class PlotToday:
    """One plot today, for tillage: what it holds, what it may hold, in how many years it is fit."""

    name: str
    water: Figure
    limit: Figure
    fit: Figure
    of_years: Figure
    years: int
    first: FirstDay
    why: Message
    curve: Mapping[str, DayWater] = field(default_factory=dict)
    own: Figure | None = None


@dataclass(frozen=True)
class JobToday:
    """A job of the next days: whether it can be done today, or what it waits for."""

    kind: str
    name: str
    hours: Figure
    go: Figure
    now: bool
    waits: Message


@dataclass(frozen=True)
class Today:
    """The day of the plan."""

    plots: Mapping[str, PlotToday]
    jobs: Mapping[str, JobToday]
    good: Mapping[str, GoodDays] = field(default_factory=dict)


def today_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Where the ground stands today, and when what is to be done can be."""
    plan: WorkPlan = earlier["work"].body
    soils, said = soils_after(given, earlier), list[Said]()
    state = _state(given, soils, said)
    if state is None:
        return Section("today", Today({}, _jobs(given, plan, {}, None)), tuple(said))
    limits = limits_of(earlier)
    plots = {place: _plot(given, state, place, limits[place]) for place in soils}
    first = {place: p.first for place, p in plots.items()}
    jobs = _jobs(given, plan, first, state)
    waiting = {id_: plan.jobs[id_] for id_ in jobs if plan.jobs[id_].place in soils}
    good = good_days(given, waiting, list(soils), state.ahead, record_of(given))
    return Section("today", Today(plots, jobs, good), tuple(said))


@dataclass(frozen=True)
class _State:
    """Last evening's water of every plot, and the coming days as each past year had them."""

    soils: Mapping[str, Soil]
    past: LayerWater
    coming: LayerWater
    years: tuple[int, ...]
    fit: Callable[[str], Verdict]
    below: Verdict
    ahead: Ahead
    lately: Mapping[str, Figure]

    def at(self, place: str) -> int:
        return list(self.soils).index(place)


def _state(given: Given, soils: Mapping[str, Soil], said: list[Said]) -> _State | None:
    daily = given.daily
    try:
        if daily is not None:
            require_record(daily)
    except BadInput as error:
        said.append(Said(Weight.DOUBT, "today", error.message))
        return None
    if daily is None or not soils:
        said.append(Said.of(Weight.ASK, "today", "likely-today-wants"))
        return None
    first = given.as_of - timedelta(days=LOOK_BACK_DAYS)
    sky = behind(given, first)
    years, next_days = ahead(given, daily, HORIZON_DAYS)
    if len(years) < LEAST_YEARS:
        said.append(Said.of(Weight.DOUBT, "today", "likely-few-years", years=len(years),
                            least=LEAST_YEARS))  # fmt: skip
        return None
    layers = [s.layer for s in soils.values()]
    whole = sky.then(next_days)
    winter = winter_on(whole, daily)
    reaching = winter.reaching_mm[0, :LOOK_BACK_DAYS], winter.reaching_mm[:, LOOK_BACK_DAYS:]
    past = coming.water_to_date(layers, reaching[0], sky.eto_mm_day)
    ends = (past.wettest.evening_mm[:, 0, -1], past.driest.evening_mm[:, 0, -1])
    on = coming.water_ahead(layers, *ends, reaching[1], next_days.eto_mm_day)
    _say(given, sky, first, len(years), bool((ends[1] - ends[0] > SURE_MM).any()), said)
    opened = ground_ahead(whole, winter, LOOK_BACK_DAYS)
    wet, dry = below_to_date(soils.values(), reaching[0], sky.eto_mm_day, given.as_of)
    below = dried_below(given, soils, (wet.at(-1), dry.at(-1)), reaching[1], next_days.eto_mm_day)

    @cache
    def fit(job: str) -> Verdict:
        return fit_of(given.tables, job, list(soils.values()), on, next_days.rain_mm, opened, below)

    next_ = Ahead(fit, next_days.rain_mm, carries(winter, LOOK_BACK_DAYS), len(years))
    return _State(soils, past, on, years, fit, below, next_, _lately(given, first))


def _say(given: Given, sky: Sky, first: date, years: int, unsure: bool, said: list[Said]) -> None:
    if unsure:
        known = np.flatnonzero(~np.isnan(sky.rain_mm))
        if len(known):
            last = first + timedelta(days=int(known[-1]))
            said.append(Said.of(Weight.DOUBT, "today", "likely-record-ends", on=last))
        else:
            said.append(Said.of(Weight.DOUBT, "today", "likely-no-days"))
    days = forecast_days(given)
    if days:
        said.append(Said.of(Weight.NOTE, "today", "likely-forecast", days=days, years=years))
    else:
        said.append(Said.of(Weight.NOTE, "today", "likely-no-forecast", years=years))
    said.append(Said.of(Weight.NOTE, "today", "likely-today-limits"))


def _lately(given: Given, first: date) -> dict[str, Figure]:
    """The record, and the readings of the gauge since a day."""
    since = first.isoformat()
    return record_of(given) | {n: f for n, f in readings(given).items() if n.split()[1] >= since}


def _plot(given: Given, state: _State, place: str, limits: Limits) -> PlotToday:
    at = state.at(place)
    inputs = {**state.lately, **ground_of(given, place), "wanted_mm": limits.tillage}
    verdict = state.fit(JOB)
    held = partial(_held, limits)
    ends = (state.past.wettest.evening_mm[at, 0, -1], state.past.driest.evening_mm[at, 0, -1])
    water = held(
        _worked(coming.midday_known, inputs, "mm", wettest_mm=float(ends[0]),
                driest_mm=float(ends[1]))
    )  # fmt: skip
    today = verdict.fit[at, :, 0]
    fit = work_parts(coming.years_fit, inputs, fit=today).figure(lambda n: n, "years")
    of = work_parts(coming.years_fit, inputs, fit=verdict.known[at, :, 0])
    first = _first(given.as_of, inputs, verdict.fit[at], _maybe(verdict)[at])
    first = replace(first, from_noon=_from_noon(given.as_of, state, at, first, limits))
    own = today_said(given, place, ("till", "seed"))
    return PlotToday(
        name=given.tract.places[place].body.name,
        water=water,
        limit=limits.most_water,
        fit=fit,
        of_years=of.figure(lambda n: n, "years"),
        years=len(state.years),
        first=first,
        why=_why(
            water,
            limits.most_water,
            fit,
            own is not None and own.body.fit,
            own is None,
            bool((~state.below.fit & state.below.known)[at, :, 0].any()),
        ),
        curve=_curve(given.as_of, inputs, state, at, held),
        own=None if own is None else own.figure("fit", "entered", ""),
    )


def _held(limits: Limits, depletion: Figure) -> Figure:
    return work(
        verdicts.water_held, fc_share=limits.holds, depth_mm=limits.depth, depletion_mm=depletion
    )


def _maybe(verdict: Verdict) -> Bools:
    """Where it is fit, or may be for all that is known."""
    return verdict.fit | ~verdict.known


def _worked(
    fn: Callable[..., float], inputs: Mapping[str, Figure], unit: str, **arguments: object
) -> Figure:
    try:
        return work_parts(fn, inputs, **arguments).figure(float, unit)
    except OutsideRange as error:
        return Figure(None, unit, Worked(formula_of(fn), tuple(inputs.items())), error.message)


def _first(as_of: date, inputs: Mapping[str, Figure], surely: Bools, maybe: Bools) -> FirstDay:
    """Early where it may be, late where it is sure; the middle only where both say the same."""
    early = _worked(coming.first_fit, inputs, "days", fit=maybe, share=ENDS["early"])
    late = _worked(coming.first_fit, inputs, "days", fit=surely, share=ENDS["late"])
    middle = _worked(coming.first_fit, inputs, "days", fit=surely, share=ENDS["middle"])
    soonest = _worked(coming.first_fit, inputs, "days", fit=maybe, share=ENDS["middle"])
    if middle.value != soonest.value:
        middle = Figure(None, "days", middle.origin, Message.of("likely-water-unknown"))
    return FirstDay(_dated(as_of, early), _dated(as_of, middle), _dated(as_of, late))


def _dated(as_of: date, days: Figure) -> Figure:
    if not days.known:
        return replace(days, unit="date")
    return Figure(as_of + timedelta(days=round(days.number())), "date", days.origin)


def _from_noon(as_of: date, state: _State, at: int, first: FirstDay, limits: Limits) -> bool:
    """Whether the layer is still too wet on the morning of the early day, in the middle year."""
    if not first.early.known:
        return False
    day = (first.early.value - as_of).days
    morning = (
        state.past.driest.evening_mm[at, 0, -1:] if day == 0
        else state.coming.driest.evening_mm[at, :, day - 1]
    )  # fmt: skip
    return bool(np.median(morning) < limits.tillage.number())


def _why(
    water: Figure, limit: Figure, fit: Figure, own_fit: bool, unsaid: bool, wet_below: bool
) -> Message:
    if not unsaid:
        return Message.of("likely-own-fit" if own_fit else "likely-own-wet")
    if not water.known:
        return Message.of("likely-water-unknown")
    if water.number() > limit.number():
        return Message.of("likely-too-wet")
    if wet_below:
        return Message.of("sky-wet-below")
    return Message.of("likely-dry-enough" if fit.number() else "likely-sky")


def _curve(
    as_of: date, inputs: Mapping[str, Figure], state: _State, at: int,
    held: Callable[[Figure], Figure],
) -> dict[str, DayWater]:  # fmt: skip
    wettest, driest = (c.midday_mm[at] for c in (state.coming.wettest, state.coming.driest))
    found = {}
    for day in range(CURVE_DAYS):
        wet, dry = wettest[:, day], driest[:, day]
        sure = dry - wet <= SURE_MM
        middle = (wet + dry) / 2
        # a year or two with a gap do not hide what the others say
        likely = middle[sure] if sure.mean() >= 0.9 else np.full(1, np.nan)
        quantiles = {"likely": (likely, 0.5), "low": (dry, 0.9), "high": (wet, 0.1)}
        found[(as_of + timedelta(days=day)).isoformat()] = DayWater(
            **{
                name: held(_worked(coming.across_years, inputs, "mm", amounts_mm=a, share=share))
                for name, (a, share) in quantiles.items()
            }
        )
    return found


def _jobs(
    given: Given, plan: WorkPlan, first: Mapping[str, FirstDay], state: _State | None
) -> dict[str, JobToday]:
    done = {d.body.task for d in given.tract.done.values() if d.body.part == "done"}
    left = {i: j for i, j in plan.jobs.items() if i not in done}
    last = given.as_of + timedelta(days=JOBS_DAYS)
    return {
        id_: _job(given, id_, job, left, state)
        for id_, job in left.items()
        if job.go.known and job.go.value <= last
    }


def _job(
    given: Given, id_: str, job: Work, left: Mapping[str, Work], state: _State | None
) -> JobToday:
    waits = _waits(given, job, left, state)
    now = waits.id in ("likely-can", "likely-on-foot")
    return JobToday(job.kind, job.name, job.hours, job.go, now, waits)


def _waits(given: Given, job: Work, left: Mapping[str, Work], state: _State | None) -> Message:
    before = [left[a].kind for a in job.after if a in left]
    if before:
        return Message.of("likely-after", jobs=", ".join(before))
    if job.go.value > given.as_of:
        return Message.of("likely-from", on=job.go.value)
    if job.kind in ON_FOOT:
        return Message.of("likely-on-foot")
    own = today_said(given, job.place, _SAID_OF.get(job.kind, ("drive",)))
    if own is not None:
        return Message.of("likely-can" if own.body.fit else "likely-own-wet")
    if state is None or job.place not in state.soils:
        return Message.of("likely-ground-unknown")
    verdict, at = state.fit(job.kind), state.at(job.place)
    if verdict.fit[at, :, 0].all():
        return Message.of("likely-can")
    first = _first(given.as_of, {}, verdict.fit[at], _maybe(verdict)[at])
    if not first.early.known:
        return Message.of("likely-none-in-sight", days=HORIZON_DAYS)
    if first.early.value == given.as_of:
        return Message.of("likely-if-dry")
    return Message.of("likely-not-before", on=first.early.value)


ON_FOOT = ("hang treestand", "inspect treestand", "licking branches", "camera", "trim")
_GROUND = ("till", "drill seed", "broadcast seed", "pack")
_SAID_OF = dict.fromkeys(_GROUND, ("till", "seed"))
"""Which of the person's verdicts speaks of a job; of the others, the one on driving."""

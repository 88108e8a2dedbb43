"""Work, put together: jobs, frost and windows, fit days, and the count of years that finish.

The count is that of the record's years in which a crew that sees only today's ground and sky would
have done everything before the ground closes. It is a count, not a promise.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass, field
from datetime import date
from functools import partial

import numpy as np

from fencerow.figure import Entered, Figure, assume, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import sprayings
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.work.barred import barred
from fencerow.plan.work.crew import Hand, Hours, hours_of
from fencerow.plan.work.dispatched import as_dispatched, counted_jobs
from fencerow.plan.work.fitness import Fitness, Soil, fitness
from fencerow.plan.work.frost import FrostDates, PlantingWindow, frost_dates, planting_windows
from fencerow.plan.work.likely import Counted, Likely, likely_of
from fencerow.plan.work.limits import soils_after
from fencerow.plan.work.looks import looks_of
from fencerow.plan.work.rain import past_record
from fencerow.plan.work.tasks import Work, Yard, tasks_of
from fencerow.plan.work.tasks.base import closing_ahead
from fencerow.plan.work.tasks.decided import decided_tasks
from fencerow.plan.work.tasks.travel import with_travel
from fencerow.science.weather import dispatch, year_count
from fencerow.science.weather.outcome import Seasons
from fencerow.science.weather.series import DailySeries, require_record
from fencerow.words import BadInput, Message

SHOWN_JOBS = ("till", "spread fertilizer")
FEW_YEARS = 20


@dataclass(frozen=True)
class Finish:
    """In how many years of the record all would be done before the ground closes."""

    years: Figure
    of_years: Figure
    low: Figure
    high: Figure
    by_plot: Mapping[str, Figure]
    failed: Mapping[str, str]
    closes: Figure
    likely: Likely
    by_year: Mapping[str, Mapping[str, bool]] = field(default_factory=dict)
    """Whether each place was done in each year of the record."""


@dataclass(frozen=True)
class WorkPlan:
    """The work of the year."""

    jobs: Mapping[str, Work]
    frost: Mapping[str, FrostDates]
    windows: Mapping[str, PlantingWindow]
    fit_days: Mapping[str, Mapping[str, Figure]]
    finish: Finish | None
    hands: Mapping[str, Hand] = field(default_factory=dict)
    hours: Figure | None = None
    soils: Mapping[str, str] = field(default_factory=dict)


def work_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Jobs, windows, fit days and the count of years."""
    orders: Mapping[str, PlotOrder] = earlier["order"].body
    buying, sprayed = earlier["buy"].body, sprayings(given, orders)[0]
    yard = Yard(given.tract, given.tables, given.as_of, orders, buying, sprayed)
    daily, said = _record(given)
    record = Figure(daily, "", Entered("weather", "daily record", "imported"))
    frosts, windows = ({}, {}) if daily is None else _windows(given, daily, record)
    jobs = tasks_of(yard) | dict(decided_tasks(yard, looks_of(given, orders, windows)[0]))
    jobs = with_travel(yard, jobs)
    said = [*cautions({job.kind for job in jobs.values()}), *said]
    body = WorkPlan(jobs, frosts, windows, {}, None)
    if daily is None:
        return Section("work", body, tuple(said))
    soils = soils_after(given, earlier)
    said += _window_said(windows)
    said += _soil_said(given, jobs, soils)
    if soils and jobs:
        body = _counted(given, daily, record, body, soils, said)
    said.append(Said.of(Weight.NOTE, "work", "work-limits"))
    return Section("work", body, tuple(dict.fromkeys(said)))


def _record(given: Given) -> tuple[DailySeries | None, list[Said]]:
    """The record, where there is one that years can be counted from; else what to say of it."""
    if given.daily is None:
        return None, [Said.of(Weight.ASK, "work", "work-no-record")]
    try:
        require_record(given.daily)
    except BadInput as error:
        return None, [Said(Weight.DOUBT, "work", error.message)]
    return past_record(given.daily, given.tract), []


def _windows(
    given: Given, daily: DailySeries, record: Figure
) -> tuple[dict[str, FrostDates], dict[str, PlantingWindow]]:
    """The frost of the year, and the windows of what is sown in it."""
    frosts = frost_dates(daily, record, year_of(given.tract, given.as_of)[0].year)
    sown = {
        p.id: p
        for plot in given.tract.plots()
        for p in plantings_in(given.tract, plot.id, given.as_of)
        if p.body.stage == "establish"
    }
    return frosts, planting_windows(given.tract, given.tables, sown, frosts)


def _counted(
    given: Given, daily: DailySeries, record: Figure, body: WorkPlan, soils: Mapping[str, Soil],
    said: list[Said],
) -> WorkPlan:  # fmt: skip
    closes = _closes(given, said)
    first, last = given.as_of, closes.value
    jobs = counted_jobs(body.jobs, soils, first, last)
    if not jobs or last <= first:
        return body
    kinds = [j.kind for j in jobs.values()]
    fit = fitness(daily, given.tables, soils, first, last, [*kinds, *SHOWN_JOBS])
    if not fit.years:
        said.append(Said.of(Weight.DOUBT, "work", "work-no-years"))
        return body
    days = np.datetime64(given.as_of) + np.arange(fit.days).astype("timedelta64[D]")
    hours = hours_of(given, days, said)
    finish = _finish(given, record, closes, jobs, fit, hours)
    if finish.likely.sees.number():
        said.append(Said.of(Weight.NOTE, "work", "likely-perfect-forecast"))
    if not finish.likely.searched:
        said.append(Said.of(Weight.NOTE, "work", "likely-large"))
    elif finish.likely.changes and not finish.likely.critical:
        said.append(Said.of(Weight.NOTE, "work", "likely-helps-none"))
    if len(fit.years) < FEW_YEARS:
        said.append(Said.of(Weight.DOUBT, "work", "work-few-years", years=len(fit.years)))
    return WorkPlan(
        jobs=body.jobs,
        frost=body.frost,
        windows=body.windows,
        fit_days=_fit_days(given, record, soils, fit),
        finish=finish,
        hands=hours.hands,
        hours=hours.total,
        soils={p: f"{s.texture}, {s.drainage}" for p, s in soils.items()},
    )


def _closes(given: Given, said: list[Said]) -> Figure:
    """The day on which the ground closes; the year's last day where no closing is entered."""
    ahead = closing_ahead(given.tract, given.as_of)
    if ahead is not None:
        return ahead.figure("closes", "decided", unit="date")
    said.append(Said.of(Weight.ASK, "work", "work-no-closing"))
    return assume(year_of(given.tract, given.as_of)[1], "date", "work-closing-assumed")


def _finish(
    given: Given, record: Figure, closes: Figure, jobs: Mapping[str, Work], fit: Fitness,
    hours: Hours,
) -> Finish:  # fmt: skip
    verdicts = [fit.of(job.kind, job.place) for job in jobs.values()]
    days = [date.fromordinal(given.as_of.toordinal() + i) for i in range(fit.days)]
    inputs = {
        "record": record, "closing": closes, **hours.inputs,
        **{f"hours: {_label(j)}": j.hours for j in jobs.values()},
    }  # fmt: skip
    sees = given.tables["likely_settings"].row("forecast-sight").figure("ahead_days")
    inputs["forecast"] = sees
    call = {
        "jobs": as_dispatched(given.tables, jobs, given.as_of),
        "fit": np.array([v[0] for v in verdicts]),
        "known": np.array([v[1] for v in verdicts]),
        "people_h": hours.people_h,
        "machine_h": hours.machine_h,
        "barred": barred(given, jobs, days),
        "sees_days": int(sees.number()),
    }
    parts = work_parts(dispatch.seasons, inputs, **call)
    years = parts.figure(lambda s: s.finished_years, "years")
    of_years = parts.figure(lambda s: len(s.runs), "years")
    names = {j.place: j.name for j in jobs.values()}
    times = np.datetime64(given.as_of) + np.arange(fit.days).astype("timedelta64[D]")
    people = max(1, len(hours.hands) or len(given.tract.people))
    counted = Counted(
        given.tables, tuple(jobs), names, inputs, call, parts, fit.years, times, people
    )
    return Finish(
        years=years,
        of_years=of_years,
        low=work(year_count.wilson_low, finished_years=years, of_years=of_years),
        high=work(year_count.wilson_high, finished_years=years, of_years=of_years),
        by_plot={place: parts.figure(partial(_finished_on, place), "years") for place in names},
        failed=_failed(parts.result, fit.years, names),
        closes=closes,
        likely=likely_of(counted),
        by_year={
            str(year): {place: plot.finished for place, plot in run.plots.items()}
            for year, run in zip(fit.years, parts.result.runs, strict=True)
        },
    )


def _finished_on(place: str, seasons: Seasons) -> int:
    return sum(run.plots[place].finished for run in seasons.runs)


def _label(job: Work) -> str:
    return f"{job.kind}, {job.name}"


def _failed(seasons: Seasons, years: tuple[int, ...], names: Mapping[str, str]) -> dict[str, str]:
    """The years that did not finish, and why: which plots, for what reason."""
    found = {}
    for year, run in zip(years, seasons.runs, strict=True):
        if not run.finished:
            left = [(names[p], plot.reason) for p, plot in run.plots.items() if not plot.finished]
            said = [str(Message.of(f"work-lost-{reason}", place=name)) for name, reason in left]
            found[str(year)] = "; ".join(said)
    return found


def _fit_days(
    given: Given, record: Figure, soils: Mapping[str, Soil], fit: Fitness
) -> dict[str, dict[str, Figure]]:
    """Fit days for tillage of each plot in each month of the season: the middle year's count."""
    days = [date.fromordinal(given.as_of.toordinal() + i) for i in range(fit.days)]
    months = sorted({(d.year, d.month) for d in days})
    found: dict[str, dict[str, Figure]] = {}
    for place in soils:
        mask, _ = fit.of("till", place)
        found[place] = {}
        for month in months:
            at = np.array([(d.year, d.month) == month for d in days])
            inputs = {"record": record}
            parts = work_parts(year_count.middle_count, inputs, fit=mask[:, at])
            found[place][f"{month[0]}-{month[1]:02d}"] = parts.figure(lambda n: n, "days")
    return found


def cautions(kinds: Set[str]) -> list[Said]:
    """The usual caution where a task is done with chemicals, or off the ground."""
    found = []
    if "spray" in kinds:
        found.append(Said.of(Weight.CAUTION, "work", "work-caution-spray"))
    if "spread lime" in kinds:
        found.append(Said.of(Weight.CAUTION, "work", "work-caution-dust"))
    if kinds & {"hang treestand", "inspect treestand"}:
        found.append(Said.of(Weight.CAUTION, "work", "work-caution-climb"))
    if kinds & {"till", "mow", "drill seed"}:
        found.append(Said.of(Weight.CAUTION, "work", "work-caution-machine"))
    return found


def _window_said(windows: Mapping[str, PlantingWindow]) -> list[Said]:
    said = []
    for id_, window in windows.items():
        if not window.first.known:
            reason = window.first.reason
            said.append(Said.of(Weight.DOUBT, "work", "work-window-unknown",
                                place=window.place, blend=window.blend, why=reason))  # fmt: skip
        elif window.last.value < window.first.value:
            said.append(Said.of(Weight.DOUBT, "work", "work-window-apart",
                                place=window.place, blend=window.blend))  # fmt: skip
        elif not window.first.value <= window.sow_on.value <= window.last.value:
            said.append(
                Said.of(Weight.DOUBT, "work", "work-window-outside", id_, place=window.place,
                        blend=window.blend, sow_on=window.sow_on.value,
                        first=window.first.value, last=window.last.value)
            )  # fmt: skip
    return said


def _soil_said(given: Given, jobs: Mapping[str, Work], soils: Mapping[str, Soil]) -> list[Said]:
    said = []
    for place in dict.fromkeys(j.place for j in jobs.values() if j.counted):
        name = given.tract.places[place].body.name
        if place not in soils:
            said.append(Said.of(Weight.ASK, "work", "work-no-texture", place=name))
        elif soils[place].drainage_assumed:
            said.append(Said.of(Weight.DOUBT, "work", "work-drainage-assumed", place=name,
                                drainage=soils[place].drainage))  # fmt: skip
    return said

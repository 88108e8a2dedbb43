"""Today as a sheet: the ground of each plot, its next week, the jobs that wait, past verdicts."""

from __future__ import annotations

from datetime import date

from fencerow.figure import Figure
from fencerow.manner import number, symbol
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark
from fencerow.plan.views.dry import drying
from fencerow.plan.views.scorecard import score_tables
from fencerow.plan.work.limits import Verdicts
from fencerow.plan.work.today import DayWater, FirstDay, JobToday, PlotToday, Today
from fencerow.words import say
from fencerow.words.days import week_day, weekday


def today_sheet(plan: Plan) -> Sheet:
    """Where the ground is fit today, what can be done, and how the coming days may go."""
    body: Today = plan.sections["today"].body
    judged: Verdicts = plan.sections["verdicts"].body
    tables = (_now(body), _ground(body), _waits(body), _plots(body), _curve(body),
              _verdicts(judged), *score_tables(plan))  # fmt: skip
    said = by_weight([*plan.sections["today"].said, *plan.sections["verdicts"].said])
    under = say("view-today-under", on=_day(plan.given.as_of))
    return Sheet("today", say("view-today"), under, tables, said, drying(body.plots))


def _day(day: date) -> str:
    return f"{weekday(day)}, {compact_day(day)}"


def _ground(body: Today) -> Ruled:
    """Where the ground is fit now, and where it is not, when it may be."""
    rows = tuple(
        (p.name, fit, _not_before(p.first) if fit == say("view-is-not-fit") else "")
        for p in body.plots.values()
        for fit in (_fit(p),)
    )
    heads = columns("place", "fit-today", "first-fit+")
    return Ruled(heads, rows, say("view-today-ground"), leads=True)


def _now(body: Today) -> Ruled:
    """What is due and fit now; where there is nothing, that is said."""
    now = {i: j for i, j in body.jobs.items() if j.now}
    rows = tuple((j.kind, j.name, _hours(j)) for j in now.values())
    heads = columns("job", "place+", "hours#")
    if not rows:
        rows = ((say("view-today-none"), "", ""),)
    return Ruled(heads, rows, say("view-today-now"), leads=True, about=tuple(now))


def _plots(body: Today) -> Ruled:
    heads = columns("place", "middle", "late-date", "holds#", "may-hold#", "because+")
    rows = tuple(
        (
            p.name,
            brief(p.first.middle),
            brief(p.first.late),
            brief(p.water),
            brief(p.limit) + unchecked_mark(p.limit),
            str(p.why),
        )
        for p in body.plots.values()
    )
    return Ruled(heads, rows, say("view-today-plots"))


def _fit(plot: PlotToday) -> str:
    """The person's own word, else fit or not where every year says so, else in how many."""
    if plot.own is not None:
        return Told(say("view-is-fit") if plot.own.value else say("view-is-not-fit"), plot.own)
    fit, of = plot.fit.number(), plot.of_years.number()
    if of < plot.years and not fit:
        return Told(say("unknown"), plot.of_years)
    if fit in (0, plot.years):
        return Told(say("view-is-fit") if fit else say("view-is-not-fit"), plot.fit)
    return Told(say("view-of-years", fit=f"{fit:.0f}", of=f"{of:.0f}"), plot.fit)


def _not_before(first: FirstDay) -> str:
    if not first.early.known:
        return brief(first.early)
    when = say("view-from-noon", day=_day(first.early.value)) if first.from_noon else _day(
        first.early.value
    )  # fmt: skip
    return Told(when, first.early)


def _waits(body: Today) -> Ruled:
    """What is due within two weeks and has to wait, and for what."""
    waits = sorted((j for j in body.jobs.values() if not j.now), key=lambda j: j.go.value)
    rows = tuple((j.kind, j.name, _hours(j), str(j.waits)) for j in waits)
    return Ruled(columns("job", "place", "hours#", "now+"), rows, say("view-today-jobs"))


def _hours(job: JobToday) -> str:
    return brief(job.hours) + unchecked_mark(job.hours)


def _curve(body: Today) -> Ruled:
    days = list(next(iter(body.plots.values())).curve) if body.plots else []
    heads = (
        *columns("place", "water"),
        *(Column(week_day(date.fromisoformat(d)), True) for d in days),
    )
    rows = []
    for plot in body.plots.values():
        for name in ("likely", "low", "high"):
            cells = [_bare(_end(plot.curve[d], name)) for d in days]
            rows.append((plot.name, say(f"view-water-{name}"), *cells))
        rows.append((plot.name, say("view-water-limit"), *[_bare(plot.limit) for _ in days]))
    title = say("view-today-curve", unit=symbol("in"))
    return Ruled(heads, tuple(rows), title, drawn=True)


def _end(day: DayWater, name: str) -> Figure:
    found: Figure = getattr(day, name)
    return found


def _bare(figure: Figure) -> str:
    """A number without its unit, which the title names."""
    if not figure.known:
        return brief(figure)
    return Told(number(figure.number(), figure.unit), figure)


def _verdicts(judged: Verdicts) -> Ruled:
    rows = tuple(
        (
            s.name,
            f"{compact_day(s.on)}, {s.on.year}",
            say(f"view-job-{s.job}"),
            say("view-found-fit") if s.fit else say("view-found-wet"),
            brief(s.water),
            brief(s.before),
            brief(s.after),
            _agreed(s.agreed),
        )
        for s in judged.scored.values()
    )
    return Ruled(
        columns("place+", "day", "job", "found", "holds#", "limit-before#", "limit-after#",
                "agreed"), rows, say("view-today-verdicts"),
    )  # fmt: skip


def _agreed(figure: Figure | None) -> str:
    if figure is None:
        return say("view-not-yet")
    return Told(say("yes") if figure.value else say("no"), figure)

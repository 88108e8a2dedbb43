"""Today as a sheet: the ground of each plot, its next week, the jobs that wait, past verdicts."""

from __future__ import annotations

from datetime import date

from fencerow.figure import Figure
from fencerow.manner import number, symbol
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark
from fencerow.plan.views.scorecard import score_tables
from fencerow.plan.work.limits import Verdicts
from fencerow.plan.work.today import DayWater, FirstDay, PlotToday, Today
from fencerow.words import say


def today_sheet(plan: Plan) -> Sheet:
    """Where the ground is fit today, what can be done, and how the coming days may go."""
    body: Today = plan.sections["today"].body
    judged: Verdicts = plan.sections["verdicts"].body
    tables = (_plots(body), _jobs(body), _curve(body), _verdicts(judged), *score_tables(plan))
    said = by_weight([*plan.sections["today"].said, *plan.sections["verdicts"].said])
    under = say("view-today-under", on=_day(plan.given.as_of))
    return Sheet("today", say("view-today"), under, tables, said)


def _day(day: date) -> str:
    return f"{day:%A}, {compact_day(day)}"


def _plots(body: Today) -> Ruled:
    heads = columns("place", "fit-today", "first-fit+", "middle", "late-date", "holds#",
                    "may-hold#", "because+")  # fmt: skip
    rows = tuple(
        (
            p.name,
            _fit(p),
            _not_before(p.first),
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
    """The person's own word, else yes or no where every year says so, else in how many."""
    if plot.own is not None:
        return Told(say("yes") if plot.own.value else say("no"), plot.own)
    fit, of = plot.fit.number(), plot.of_years.number()
    if of < plot.years and not fit:
        return Told(say("unknown"), plot.of_years)
    if fit in (0, plot.years):
        return Told(say("yes") if fit else say("no"), plot.fit)
    return Told(say("view-of-years", fit=f"{fit:.0f}", of=f"{of:.0f}"), plot.fit)


def _not_before(first: FirstDay) -> str:
    if not first.early.known:
        return brief(first.early)
    when = say("view-from-noon", day=_day(first.early.value)) if first.from_noon else _day(
        first.early.value
    )  # fmt: skip
    return Told(when, first.early)


def _jobs(body: Today) -> Ruled:
    rows = tuple(
        (j.kind, j.name, brief(j.hours) + unchecked_mark(j.hours), str(j.waits))
        for j in sorted(body.jobs.values(), key=lambda j: (not j.now, j.go.value))
    )
    return Ruled(columns("job", "place", "hours#", "now+"), rows, say("view-today-jobs"))


def _curve(body: Today) -> Ruled:
    days = list(next(iter(body.plots.values())).curve) if body.plots else []
    heads = (
        *columns("place", "water"),
        *(Column(f"{date.fromisoformat(d):%a} {date.fromisoformat(d).day}", True) for d in days),
    )
    rows = []
    for plot in body.plots.values():
        for name in ("likely", "low", "high"):
            cells = [_bare(_end(plot.curve[d], name)) for d in days]
            rows.append((plot.name, say(f"view-water-{name}"), *cells))
        rows.append((plot.name, say("view-water-limit"), *[_bare(plot.limit) for _ in days]))
    return Ruled(heads, tuple(rows), say("view-today-curve", unit=symbol("in")))


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

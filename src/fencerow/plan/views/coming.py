"""What the coming days are good for, as a sheet: hours for spraying, label by label."""

from __future__ import annotations

from datetime import date

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, ToldAmount, amount, brief, unchecked_mark
from fencerow.plan.work.coming import Coming
from fencerow.plan.work.hours import LabelHours, SprayStretch, day_of
from fencerow.plan.work.today import Today
from fencerow.plan.work.weeks import inches
from fencerow.science.ground.sun import clock_text
from fencerow.words import say
from fencerow.words.days import week_day


def coming_sheet(plan: Plan) -> Sheet:
    """The hours of the coming days, and what is to be minded."""
    body: Coming = plan.sections["hours"].body
    said = by_weight(plan.sections["hours"].said)
    today: Today = plan.sections["today"].body
    tables = (*(_spray(hours) for hours in body.spray.values()), _good(today))
    return Sheet("hours", say("view-hours"), say("view-hours-under"), tables, said)


def _spray(hours: LabelHours) -> Ruled:
    waiting = hours.waiting or say("hours-nothing-waits")
    title = say("view-hours-spray", label=hours.name, waiting=waiting)
    rows = tuple(
        (week_day(day_of(s)), _clock(s.start), _clock(s.end), _how(s))
        for s in hours.stretches.values()
    )
    return Ruled(columns("day", "hours-from#", "hours-until#", "hours-how+"), rows, title)


def _good(today: Today) -> Ruled:
    """Every job that waits: in how many years each day is fit, and has the rain that is wished."""
    jobs = sorted(today.good.values(), key=lambda j: (j.kind, j.name))
    days = list(jobs[0].days) if jobs else []
    heads = (
        *columns("job", "place", "hours-what+"),
        *(Column(week_day(date.fromisoformat(d)), True) for d in days),
    )
    rows = []
    for job in jobs:
        fit = [_years(day.fit, job.years) for day in job.days.values()]
        rows.append((job.kind, job.name, say("hours-fit"), *fit))
        if job.wants is not None and job.within is not None:
            what = say("hours-rain-soon", rain=amount(inches(job.wants)), days=amount(job.within))
            rain = [_years(day.rain, job.years) for day in job.days.values()]
            rows.append((job.kind, job.name, what + unchecked_mark(job.wants), *rain))
    return Ruled(heads, tuple(rows), say("view-hours-good"))


def _years(figure: Figure | None, of: int) -> str:
    """Yes or no where every year says so, else in how many of them."""
    if figure is None:
        return ""
    if not figure.known:
        return brief(figure)
    count = figure.number()
    if count in (0, of):
        return Told(say("yes") if count else say("no"), figure)
    return Told(say("hours-of-years", fit=f"{count:.0f}", of=f"{of}"), figure)


def _clock(figure: Figure) -> str:
    return Told(clock_text(figure.value), figure)


def _how(stretch: SprayStretch) -> str:
    """Open, or what closes it against which limit, or what is not known."""
    if stretch.state == "open":
        return Told(say("hours-open"), stretch.start)
    if stretch.state == "unknown":
        return Told(say("hours-unknown", lacking=say(f"hours-lack-{stretch.why}")), stretch.start)
    if stretch.why == "inversion":
        own = stretch.by_label
        return Told(say("hours-sun-label" if own else "hours-inversion-risk"), stretch.start)
    by = say("hours-by-label" if stretch.by_label else "hours-by-guidance")
    told = say(
        f"hours-{stretch.why}",
        by=by,
        value="" if stretch.value is None else amount(stretch.value),
        limit="" if stretch.limit is None else _printed(stretch.limit),
    )
    mark = unchecked_mark(stretch.limit)
    return Told(told + mark, stretch.start if stretch.value is None else stretch.value)


def _printed(limit: Figure) -> ToldAmount:
    """A limit as the label or the table prints it."""
    return ToldAmount(limit.number(), limit.unit, printed=True, figure=limit)

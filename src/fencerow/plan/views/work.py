"""The work as a sheet: jobs, frost, windows, fit days, and the count of years."""

from __future__ import annotations

from datetime import date

from fencerow.manner import Amount
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.plan.views.likely import likely_tables
from fencerow.plan.views.strips import fit_strip, years_strip
from fencerow.plan.work.planner import Finish, WorkPlan
from fencerow.words import Message, say
from fencerow.words.days import month_text


def work_sheet(plan: Plan) -> Sheet:
    """When the ground is fit, what comes before what, in how many years all is done."""
    body: WorkPlan = plan.sections["work"].body
    tables = (
        _jobs(body),
        _hands(body),
        _finish(plan, body.finish),
        *likely_tables(body.finish),
        _failed(body.finish),
        _windows(body),
        _frost(body),
        _fit_days(plan, body),
    )
    under = "" if body.finish is None else _under(body.finish)
    said = by_weight(list(plan.sections["work"].said))
    names = {i: p.body.name for i, p in plan.given.tract.places.items()}
    weeks = fit_strip(plan.sections["weeks"].body, names, plan.given.as_of)
    drawings = (*years_strip(body.finish, names), *weeks)
    return Sheet("work", say("view-work"), under, tables, said, drawings)


def _under(finish: Finish) -> Message:
    return Message.of(
        "view-work-under",
        years=Told(f"{finish.years.number():.0f}", finish.years),
        of=Told(f"{finish.of_years.number():.0f}", finish.of_years),
        closes=brief(finish.closes),
        sees=Told(f"{finish.likely.sees.number():.0f}", finish.likely.sees),
        share=Told(_interval(finish.low.number(), finish.high.number()), finish.low),
    )


def _interval(low: float, high: float) -> str:
    """The interval of a share of years; no count of years says that something is certain."""
    if high >= 0.995:
        return say("view-or-more", low=f"{100 * low:.0f} %")
    return say("view-interval", low=f"{100 * low:.0f} %", high=f"{100 * high:.0f} %")


def _jobs(body: WorkPlan) -> Ruled:
    rows = tuple(
        (
            brief(job.go),
            job.kind,
            job.name,
            brief(job.hours) + unchecked_mark(job.hours),
            brief(job.until),
            job.machine if job.equipment else "",
        )
        for job in sorted(body.jobs.values(), key=lambda j: j.go.value)
    )
    return Ruled(
        columns("from", "job", "place+", "hours#", "by", "machine"), rows, say("view-jobs")
    )


def _hands(body: WorkPlan) -> Ruled:
    rows = tuple(
        (h.name, brief(h.from_on), brief(h.until_on), h.weekdays, brief(h.hours))
        for h in body.hands.values()
    )
    heads = columns("crew", "from", "until", "weekdays+", "hours-day#")
    total = "" if body.hours is None else brief(body.hours)
    return Ruled(heads, rows, say("view-hands", total=total))


def _finish(plan: Plan, finish: Finish | None) -> Ruled:
    heads = columns("place+", "years#")
    if finish is None:
        return Ruled(heads, ())
    rows = tuple(
        (
            _name(plan, place),
            Told(f"{count.number():.0f} of {finish.of_years.number():.0f}", count),
        )
        for place, count in finish.by_plot.items()
    )
    return Ruled(heads, rows, say("view-finish"))


def _failed(finish: Finish | None) -> Ruled:
    rows = tuple(finish.failed.items()) if finish else ()
    return Ruled(columns("year", "lost+"), rows, say("view-failed"))


def _windows(body: WorkPlan) -> Ruled:
    rows = tuple(
        (w.place, w.blend, brief(w.sow_on), brief(w.first) + unchecked_mark(w.first), brief(w.last))
        for w in body.windows.values()
    )
    return Ruled(columns("place", "blend+", "wanted", "first-day", "last-day"), rows,
                 say("view-windows"))  # fmt: skip


def _frost(body: WorkPlan) -> Ruled:
    rows = tuple(
        (_frost_name(*name.split("_")),
         brief(f.early), brief(f.middle), brief(f.late), brief(f.seasons))
        for name, f in body.frost.items()
    )  # fmt: skip
    return Ruled(columns("frost+", "early", "middle", "late-date", "seasons#"), rows,
                 say("view-frost"))  # fmt: skip


def _frost_name(season: str, threshold: str) -> str:
    return say(f"view-frost-{season}", threshold=Amount(float(threshold), "f", printed=True))


def _fit_days(plan: Plan, body: WorkPlan) -> Ruled:
    months = list(next(iter(body.fit_days.values()), {}))
    heads = columns("place+", *(f"month-{m[5:]}#" for m in months))
    rows = tuple(
        (_name(plan, place), *(Told(f"{f.number():.0f}", f) for f in counts.values()))
        for place, counts in body.fit_days.items()
    )
    first = month_text(date.fromisoformat(months[0] + "-01")) if months else ""
    return Ruled(heads, rows, say("view-fit", first=first))


def _name(plan: Plan, place: str) -> str:
    return plan.given.tract.places[place].body.name

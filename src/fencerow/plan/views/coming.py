"""What the coming days are good for, as a sheet: hours for spraying, label by label."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, ToldAmount, amount, unchecked_mark
from fencerow.plan.work.coming import Coming
from fencerow.plan.work.hours import LabelHours, SprayStretch, day_of
from fencerow.science.ground.sun import clock_text
from fencerow.words import say


def coming_sheet(plan: Plan) -> Sheet:
    """The hours of the coming days, and what is to be minded."""
    body: Coming = plan.sections["hours"].body
    said = by_weight(plan.sections["hours"].said)
    tables = tuple(_spray(hours) for hours in body.spray.values())
    return Sheet("hours", say("view-hours"), say("view-hours-under"), tables, said)


def _spray(hours: LabelHours) -> Ruled:
    waiting = hours.waiting or say("hours-nothing-waits")
    title = say("view-hours-spray", label=hours.name, waiting=waiting)
    rows = tuple(
        (f"{day_of(s):%a} {day_of(s).day}", _clock(s.start), _clock(s.end), _how(s))
        for s in hours.stretches.values()
    )
    return Ruled(columns("day", "hours-from#", "hours-until#", "hours-how+"), rows, title)


def _clock(figure: Figure) -> str:
    return Told(clock_text(figure.value), figure)


def _how(stretch: SprayStretch) -> str:
    """Open, or what closes it against which limit, or what is not known."""
    if stretch.state == "open":
        return Told(say("hours-open"), stretch.start)
    if stretch.state == "unknown":
        return Told(say("hours-unknown", lacking=say(f"hours-lack-{stretch.why}")), stretch.start)
    if stretch.why == "inversion":
        return Told(say("hours-inversion-risk"), stretch.start)
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

"""Who is out today as a sheet: on the ground, expected, back."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.closed_ground.whos_out import BACK, EXPECTED, OUT, InOut, Out
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, compact_day
from fencerow.science.ground.sun import clock_text
from fencerow.words import name_of, say
from fencerow.words.days import weekday


def inout_sheet(plan: Plan) -> Sheet:
    """Who is out on the day of the plan."""
    body: InOut = plan.sections["inout"].body
    day = plan.given.as_of
    under = say("inout-under", day=f"{weekday(day)}, {compact_day(day)}") if body.people else (
        say("inout-nobody"))  # fmt: skip
    tables = (
        _table(plan, body, OUT, "inout-out", leads=True),
        _table(plan, body, EXPECTED, "inout-expected", leads=True),
        _table(plan, body, BACK, "inout-back"),
    )
    said = by_weight(plan.sections["inout"].said)
    return Sheet("inout", say("inout-view"), under, tables, said)


def _table(plan: Plan, body: InOut, state: str, title: str, leads: bool = False) -> Ruled:
    found = {i: o for i, o in body.people.items() if o.state == state}
    ordered = [o for o in body.of_state(state) if o in found.values()]
    ids = {id(o): i for i, o in found.items()}
    rows = tuple(
        (o.who, name_of(f"choice {o.what}"), o.where, _clock(plan, o.left),
         _by(plan, o), _clock(plan, o.back))
        for o in ordered
    )  # fmt: skip
    heads = columns("who", "what", "where+", "left", "by", "back", of="inout-")
    return Ruled(heads, rows, say(title), leads=leads, about=tuple(ids[id(o)] for o in ordered))


def _by(plan: Plan, out: Out) -> str:
    if out.back_by is None:
        return say("inout-no-by") if out.state == OUT else ""
    return _clock(plan, out.back_by)


def _clock(plan: Plan, at: Figure | None) -> str:
    """A moment: the clock alone on the day of the plan, with its day on another."""
    if at is None:
        return ""
    told = clock_text(at.value)
    if at.value.date() != plan.given.as_of:
        told = say("inout-other-day", clock=told, day=compact_day(at.value.date()))
    return Told(told, at)

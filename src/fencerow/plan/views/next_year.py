"""Next year as it would be drafted, the years side by side, and the cameras, as sheets."""

from __future__ import annotations

from collections.abc import Iterable

from fencerow.figure import Figure
from fencerow.manner import symbol
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief
from fencerow.plan.tally.carried import GROUPS
from fencerow.plan.tally.next_body import Carried, Choice, NextYear
from fencerow.plan.tally.years import OneYear, Years
from fencerow.plan.views.worked import per, rough
from fencerow.words import name_of, say


def next_sheet(plan: Plan) -> Sheet:
    """Next year: each planting's choice, and what is carried forward."""
    section = plan.sections["next"]
    body: NextYear = section.body
    under = say("next-view-under", starts=brief(body.starts), ends=brief(body.ends))
    groups = [_group(body, group) for group in GROUPS]
    tables = (_choices(body.choices.values()), *groups)
    return Sheet("next", say("next-view"), under, tables, by_weight(section.said))


def _choices(found: Iterable[Choice]) -> Ruled:
    rows = tuple(
        (
            c.name,
            c.blend,
            name_of(c.what),
            "; ".join(str(m) for m in c.why),
            brief(c.sown),
            brief(c.when),
            _drafted(c),
        )
        for c in found
    )
    heads = columns("plot", "crop", "what", "because+", "sown#", "when#", "drafted", of="nextyear-")
    return Ruled(heads, rows, say("next-view-plantings"))


def _drafted(choice: Choice) -> str:
    if choice.there:
        return say("next-there")
    return say("next-drafted") if choice.drafted else ""


def _group(body: NextYear, group: str) -> Ruled:
    rows = tuple(_carried(c) for c in body.carried.values() if c.group == group)
    heads = columns("thing", "left#", f"by-{group}#", "then+", of="nextyear-")
    return Ruled(heads, rows, say(f"head-nextyear-group-{group}"))


def _carried(found: Carried) -> tuple[str, ...]:
    return (found.what, brief(found.figure), brief(found.by), str(found.why))


# ---- the years


def years_sheet(plan: Plan) -> Sheet:
    """The years of the record side by side: a column for each, the latest first."""
    section = plan.sections["years"]
    body: Years = section.body
    years = list(body.years.values())
    rows = tuple(_row(name, years) for name in ROWS)
    heads = (
        *columns("years-what+"),
        *(c for y in years for c in columns("years-so-far#" if y.so_far else "years-year#",
                                            year=y.year)),
    )  # fmt: skip
    kept = tuple(r for r in rows if any(r[1:]))
    table = Ruled(heads, kept)
    return Sheet("years", say("years-view"), say("years-view-under"), (table,), section.said)


ROWS = ("sown", "planned", "paid", "hours", "grown", "removed", "sits", "sat", "per_hour", "rain")


def _row(name: str, years: list[OneYear]) -> tuple[str, ...]:
    head = say(f"head-years-{name.replace('_', '-')}", unit=symbol("lb_ac"))
    return (head, *(_cell(name, getattr(y, name)) for y in years))


def _cell(name: str, figure: Figure | None) -> str:
    if figure is None:
        return ""
    if name in ("grown", "removed"):
        return rough(figure)
    return per(figure) if name == "per_hour" else brief(figure)

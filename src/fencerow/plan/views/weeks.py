"""The weeks of the year as one table, for those who would rather read than look."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import brief, compact_day
from fencerow.plan.work.weeks import Weeks
from fencerow.words import say


def weeks_table(plan: Plan) -> Ruled:
    """Rain and fit days of each week; columns of which nothing is known are left out."""
    year: Weeks = plan.sections["weeks"].body
    gauge: dict[str, Figure] = plan.sections["gauge"].body
    rows = []
    for name, week in year.week.items():
        rain, ends = week.rain, week.fit_ends()
        rows.append((
            compact_day(week.starts),
            *(brief(f) for f in ((rain.usual, rain.little, rain.much) if rain else ())),
            *(() if rain else ("", "", "")),
            brief(week.fell),
            brief(gauge.get(name)),
            *((brief(ends[0]), brief(ends[1])) if ends else ("", "")),
        ))  # fmt: skip
    names = ("week", "usual#", "little#", "much#", "fell#", "gauge#", "least#", "most#")
    heads = columns(*names, of="week-")
    return Ruled(heads, tuple(rows), say("view-weeks")).without_blanks()

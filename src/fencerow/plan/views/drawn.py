"""What several drawings have in common: the weeks of a year as an axis, spans of weeks in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from fencerow.plan.drawing import Axis
from fencerow.plan.show import compact_day
from fencerow.words import say
from fencerow.words.days import short_month


def weeks_axis(start: date, count: int) -> Axis:
    """Weeks from a day, lettered at the beginning of each month."""
    firsts = [start + timedelta(weeks=w) for w in range(count)]
    ticks, day = [], date(start.year, start.month, 1)
    while day < firsts[-1] + timedelta(days=7):
        # a month whose beginning is cut off is lettered where there is room for its name
        at = (day - start).days / 7 - 0.5  # a place is the middle of its week
        if at > -2.5 and (firsts[-1] - day).days > 10:
            ticks.append((max(at, -0.5), short_month(day)))
        day = date(day.year + day.month // 12, day.month % 12 + 1, 1)
    return Axis(tuple(compact_day(d) for d in firsts), tuple(ticks))


def spans(weeks: Iterable[int], heads: Sequence[str]) -> str:
    """Weeks as spans of the days on which they begin: 'Feb 6 to Mar 13, Sep 4'."""
    runs: list[list[int]] = []
    for week in weeks:
        if runs and week == runs[-1][-1] + 1:
            runs[-1].append(week)
        else:
            runs.append([week])
    return ", ".join(
        heads[r[0]] if len(r) == 1 else say("draw-span", first=heads[r[0]], last=heads[r[-1]])
        for r in runs
    )

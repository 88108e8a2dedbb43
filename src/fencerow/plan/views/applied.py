"""Applied: what was put on the ground, as a log, and what each thing comes to."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.plan.order.applied import Applied, AppliedBook
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compass
from fencerow.words import say

Row = tuple[str, ...]


def applied_sheets(plan: Plan) -> Iterator[Sheet]:
    """The log of applications, the latest first; none where nothing has been applied."""
    section = plan.sections["applied"]
    body: AppliedBook = section.body
    if not body.entries:
        return
    latest = list(body.entries.values())[::-1]
    log = Ruled(
        columns("on", "place", "applied-what+", "rate#", "acres#", "applied-used#",
                "applied-spray#"),
        tuple(_row(entry) for entry in latest),
        say("view-applied-log"),
    )  # fmt: skip
    how = Ruled(
        columns("on", "place", "applied-hours", "applied-wind", "applied-air", "applied-who+",
                "applied-with+", "applied-out#"),
        tuple(_how(entry) for entry in latest),
        say("view-applied-how"),
    )  # fmt: skip
    totals = Ruled(
        columns("applied-what+", "applied-used#"),
        tuple((body.names[thing], brief(figure)) for thing, figure in body.totals.items()),
        say("view-applied-totals"),
    )
    yield Sheet("applied", say("view-applied"), say("view-applied-under"), (log, how, totals),
                by_weight(section.said))  # fmt: skip


def _row(entry: Applied) -> Row:
    restricted = say("applied-restricted", what=entry.what) if entry.restricted else entry.what
    return (
        brief(entry.on),
        entry.place,
        restricted,
        brief(entry.rate),
        brief(entry.area),
        brief(entry.used),
        brief(entry.volume),
    )


def _how(entry: Applied) -> Row:
    wind = f"{brief(entry.wind)} {compass(entry.wind_from)}".strip()
    return (
        brief(entry.on),
        entry.place,
        entry.hours,
        Told(wind, entry.wind) if entry.wind is not None else wind,
        brief(entry.temp),
        entry.by,
        entry.machine,
        brief(entry.reentry),
    )

"""What one sit came to: how long it lasted and how many deer were seen; and such hours together."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.science.herd import survey, tally
from fencerow.tract.model import Kept
from fencerow.tract.sat import Sit

SEEN = ("does", "bucks", "fawns")


def hours_of(sat: Kept[Sit]) -> Figure | None:
    """How long a sit lasted; None where its ends are not entered."""
    if not (sat.body.begins and sat.body.ends):
        return None
    begins, ends = (
        Figure(_minutes(getattr(sat.body, n)), "min", Entered(sat.entry, n, "entered", sat.on))
        for n in ("begins", "ends")
    )
    return work(tally.between_clocks, begins_min=begins, ends_min=ends)


def deer_of(sat: Kept[Sit]) -> Figure:
    """Deer seen on a sit: as counted, else those of its classes together; else not known."""
    parts = {n: sat.figure(f"{n}_seen", "counted", "count") for n in SEEN}
    known = {n: f for n, f in parts.items() if f.known}
    if sat.body.deer_count is not None or not known:
        return sat.figure("deer_count", "counted", "count")
    total = work_parts(survey.together, known, counts=[f.number() for f in known.values()])
    return total.figure(float, "count")


def sum_hours(named: Mapping[str, Figure]) -> Figure:
    """Named hours together; one alone is itself."""
    if len(named) == 1:
        return next(iter(named.values()))
    hours = [f.number() for f in named.values()]
    return work_parts(tally.total_hours, named, each_h=hours).figure(lambda h: h, "h")


def _minutes(clock: str) -> float:
    hour, minute = map(int, clock.split(":"))
    return 60.0 * hour + minute

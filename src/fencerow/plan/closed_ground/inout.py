"""In and out: who is on the ground today, who is expected, where two get in each other's way.

The planner knows the day and not the hour: whether somebody is late is held against the clock where
the clock is, by `overdue` in the terminal and by its equal on the pages (`ui/src/lib/out.ts`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from fencerow.plan.closed_ground.conflicts import conflicts
from fencerow.plan.closed_ground.whos_out import OUT, InOut, Out, people_of
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight


def inout_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Who is out on the day of the plan. Reads places, sits, outings, people, assignments and
    closings."""
    body = InOut(people_of(given, earlier["work"].body))
    said = [*_not_back(given, body), *conflicts(given, earlier, body)]
    if body.people:
        said.append(Said.of(Weight.CAUTION, "inout", "inout-late-care"))
    if any(o.what == "trailing" and o.state == OUT for o in body.people.values()):
        said.append(Said.of(Weight.CAUTION, "inout", "closed-trailing-care"))
    return Section("inout", body, tuple(said))


def _not_back(given: Given, body: InOut) -> Iterator[Said]:
    """Those who went in on a day before and are not back; and who has not said by when."""
    for id_, out in body.people.items():
        if out.state != OUT or out.left is None:
            continue
        if out.left.value.date() < given.as_of:
            yield Said.of(Weight.CAUTION, id_, "inout-not-back", out.entry, who=out.who,
                          where=out.where, day=out.left.value.date())  # fmt: skip
        elif out.back_by is None:
            yield Said.of(Weight.ASK, id_, "inout-no-time", out.entry, who=out.who)


def overdue(body: InOut, now: datetime) -> list[Out]:
    """Those who are out and past the time by which they meant to be back, the latest first.

    Args:
        now: a moment, with its zone.
    """
    late = [o for o in body.of_state(OUT) if o.back_by is not None and o.back_by.value < now]
    return sorted(late, key=lambda o: o.back_by.value if o.back_by else now)

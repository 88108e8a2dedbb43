"""What is still wanted inside after the ground has closed, and what can be done instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from fencerow.figure import Figure
from fencerow.plan.closed_ground.closings import covers
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.show import amount
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.spans import Span
from fencerow.plan.work.weeks import Week, Weeks
from fencerow.tract.bodies import Closing
from fencerow.words import Message

QUIET = ("licking branches", "camera", "soil cores", "scouted")
"""Jobs that go on the way out of a sit, or at midday in rain: on foot and soon done."""
CLIMBS = ("inspect treestand", "hang treestand")
ON_FOOT = (*QUIET, *CLIMBS, "trim")
COSTS = {
    "drill seed": "wanted-cost-sow", "broadcast seed": "wanted-cost-sow",
    "overseed": "wanted-cost-sow", "frost-seed": "wanted-cost-sow", "pack": "wanted-cost-pack",
    "till": "wanted-cost-till", "spread lime": "wanted-cost-lime",
    "spread fertilizer": "wanted-cost-fertilizer", "spray": "wanted-cost-spray",
    "mow": "wanted-cost-mow", "trim": "wanted-cost-trim", "road": "wanted-cost-road",
    "hang treestand": "wanted-cost-hang", "inspect treestand": "wanted-cost-inspect",
    "licking branches": "wanted-cost-branches", "camera": "wanted-cost-camera",
    "soil cores": "wanted-cost-cores", "scouted": "wanted-cost-scouted",
}  # fmt: skip
"""What leaving a job out costs, in words."""


@dataclass(frozen=True)
class Choice:
    """One thing to do instead, with its reason, and the figure that it rests on."""

    what: Message
    figure: Figure | None = None


@dataclass(frozen=True)
class Wanted:
    """A task that is planned inside after closing."""

    place: str
    kind: str
    what: Message
    first: Figure
    last: Figure
    choices: Mapping[str, Choice]


def wanted_inside(
    given: Given, earlier: Mapping[str, Section], closing: Closing, found: Mapping[str, Span]
) -> dict[str, Wanted]:
    """The tasks whose planned day falls within a closing, on its places, the first first."""
    tasks = {
        id_: span
        for id_, span in found.items()
        if span.place in given.tract.places
        and covers(closing, span.place)
        and closing.closes <= span.first.value < closing.opens
    }
    ordered = sorted(tasks.items(), key=lambda t: (t[1].first.value, t[0]))
    return {
        id_: Wanted(
            place=given.tract.places[span.place].body.name,
            kind=span.kind,
            what=span.what,
            first=span.first,
            last=span.last,
            choices=dict(_choices(given, earlier, closing, id_, span)),
        )
        for id_, span in ordered
    }


def _choices(
    given: Given, earlier: Mapping[str, Section], closing: Closing, id_: str, span: Span
) -> Iterator[tuple[str, Choice]]:
    yield "before", _before(given, earlier, closing, id_, span)
    if span.kind in QUIET:
        yield "sit", Choice(Message.of("wanted-on-a-sit"))
    elif span.kind in CLIMBS:
        yield "sit", Choice(Message.of("wanted-before-a-sit"))
    cost = COSTS.get(span.kind, "wanted-cost-other")
    saved = given.tables["rest_settings"].row("camera" if span.kind == "camera" else "job")
    yield "leave", Choice(Message.of(cost), saved.figure("weight_share"))


def _before(
    given: Given, earlier: Mapping[str, Section], closing: Closing, id_: str, span: Span
) -> Choice:
    """The last days before the closing on which it can be done."""
    last = closing.closes - timedelta(days=1)
    if last < given.as_of:
        return Choice(Message.of("wanted-closed-already"))
    too_soon = _window_opens(earlier, id_, last)
    if too_soon is not None:
        return Choice(Message.of("wanted-too-soon", day=too_soon.value), too_soon)
    if span.kind in ON_FOOT or span.kind not in given.tables["fit_limits"].rows:
        return Choice(Message.of("wanted-before-foot", day=last))
    week = _last_fit_week(earlier["weeks"].body, span.place, given.as_of, last)
    if week is None:
        return Choice(Message.of("wanted-before-unknown", day=last))
    fit = week.fit[span.place]
    return Choice(Message.of("wanted-before-fit", week=week.starts, fit=amount(fit)), fit)


def _window_opens(earlier: Mapping[str, Section], id_: str, last: date) -> Figure | None:
    """The first day of a sowing window that opens only after the ground has closed."""
    work: WorkPlan = earlier["work"].body
    window = work.windows.get(id_.partition(".")[2]) if id_.startswith("sow") else None
    if window is None or not window.first.known or window.first.value <= last:
        return None
    return window.first


def _last_fit_week(year: Weeks, place: str, as_of: date, last: date) -> Week | None:
    """The last week that lies between today and a day, with a fit day in the middle year."""
    for week in reversed(list(year.week.values())):
        over = week.starts + timedelta(days=6) > last
        fit = week.fit.get(place)
        if (
            not over
            and week.starts >= as_of
            and fit is not None
            and fit.known
            and fit.number() >= 1
        ):
            return week
    return None

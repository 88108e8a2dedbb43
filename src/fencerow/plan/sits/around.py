"""What speaks of a sit for the whole day: season, closed ground, people, rest, inspection."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure, work
from fencerow.plan.ground import outline
from fencerow.plan.section import Section
from fencerow.plan.show import amount
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.people import at_work
from fencerow.plan.sits.rest import Rest
from fencerow.plan.sits.wind_hour import setting
from fencerow.plan.work.planner import WorkPlan
from fencerow.science.ground.lines import nearest_yd
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, WRONG
from fencerow.science.soil.timing import age_months
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase, Treestand
from fencerow.words import Message


@dataclass(frozen=True)
class Reason:
    """Something that holds for the whole day, how it makes the day stand, and the figure of it."""

    state: str
    why: Message
    figure: Figure | None = None


def reasons(
    frame: Frame, earlier: Mapping[str, Section], sit: Kept[PlaceBase]
) -> dict[str, Reason]:
    """All that speaks of a sit for the whole day, the weightiest first."""
    found = {
        "season": _season(frame),
        "taken": _taken(frame, sit),
        "crew": _crew(frame, earlier["work"].body, sit),
        "inspected": _inspected(frame, sit),
        "closed": _closed(frame, sit),
        "rest": _rested(earlier["rest"].body, sit),
        "drawn": _drawn(sit),
    }
    named = {name: reason for name, reason in found.items() if reason is not None}
    return dict(sorted(named.items(), key=lambda r: (WRONG, DOUBTFUL, RIGHT).index(r[1].state)))


def _season(frame: Frame) -> Reason | None:
    """A day on which no season is open; where none is entered at all, that is doubtful."""
    today = frame.given.as_of
    if any(s.body.opens <= today for s in frame.seasons):
        return None
    if not frame.seasons:
        return Reason(DOUBTFUL, Message.of("evening-no-season"))
    first = frame.seasons[0]
    opens = first.figure("opens", unit="date")
    return Reason(
        WRONG,
        Message.of("evening-not-open", season=first.body.name, day=first.body.opens),
        opens,
    )


def _taken(frame: Frame, sit: Kept[PlaceBase]) -> Reason | None:
    """Somebody who sits there today."""
    today = frame.given.as_of
    there = [
        s for s in frame.given.tract.sits.values() if s.body.place == sit.id and s.body.on == today
    ]
    if not there:
        return None
    people = frame.given.tract.people
    names = [people[s.body.person].body.name for s in there if s.body.person in people]
    who = Message.of("evening-somebody") if not names else ", ".join(sorted(set(names)))
    return Reason(WRONG, Message.of("evening-taken", who=who))


def _crew(frame: Frame, plan: WorkPlan, sit: Kept[PlaceBase]) -> Reason | None:
    """People whose work is given for today, on a place that lies near."""
    if sit.body.shape is None:
        return None
    near = setting(frame, "crew", "within_yd")
    for who, place in at_work(frame, plan):
        off = work(nearest_yd, sit=outline(sit), shape=outline(place))
        if off.number() <= near.number():
            told = {"who": who, "place": place.body.name, "off": amount(off)}
            return Reason(WRONG, Message.of("evening-crew", **told), off)
    return None


def _inspected(frame: Frame, sit: Kept[PlaceBase]) -> Reason | None:
    """A treestand that nobody has looked over within the time that is set."""
    if not isinstance(sit.body, Treestand):
        return None
    if sit.body.last_inspection is None:
        return Reason(WRONG, Message.of("evening-never-inspected"))
    seen = sit.figure("last_inspection", unit="date")
    age = work(age_months, sampled_date=seen, as_of_date=frame.today)
    if age.number() < frame.setting("inspection", "after_months").number():
        return None
    return Reason(WRONG, Message.of("evening-inspected", day=sit.body.last_inspection), age)


def _closed(frame: Frame, sit: Kept[PlaceBase]) -> Reason | None:
    """Closed ground: nobody goes in but whom the closing names."""
    today: date = frame.given.as_of
    for kept in frame.given.tract.closings.values():
        body = kept.body
        if not body.closes <= today < body.opens or (body.places and sit.id not in body.places):
            continue
        opens = kept.figure("opens", "decided", unit="date")
        if body.may_enter:
            return Reason(RIGHT, Message.of("evening-may-enter", who=body.may_enter), opens)
        return Reason(WRONG, Message.of("evening-closed", day=body.opens), opens)
    return None


def _rested(rest: Rest, sit: Kept[PlaceBase]) -> Reason | None:
    resting = rest.places[sit.id]
    if resting.rested:
        return None
    return Reason(
        DOUBTFUL, Message.of("evening-resting", day=amount(resting.rested_on)), resting.rested_on
    )


def _drawn(sit: Kept[PlaceBase]) -> Reason | None:
    return Reason(DOUBTFUL, Message.of("evening-not-drawn")) if sit.body.shape is None else None

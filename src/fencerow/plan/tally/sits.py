"""Sits: what was seen, and what the wind was said to do against what came of it.

What was said is judged as for today's sits: by the last forecast that was kept before the sit
began, else by the wind that the person noted for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.by_plume import plume_day
from fencerow.plan.sits.day_wind import DayWind, wind_of_day
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.hour_wind import Today, judge_wind, worst
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.spots import Sat
from fencerow.plan.sitting import deer_of, hours_of, sum_hours
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, UNKNOWN, WRONG
from fencerow.science.herd import harvest, tally
from fencerow.tract.model import Kept
from fencerow.tract.sat import Sit
from fencerow.units import convert

STATES = (RIGHT, DOUBTFUL, WRONG)
CAME = ("none", "smelled", "seen", "heard")
"""How a deer took notice, as a sit says it."""


@dataclass(frozen=True)
class SatOne:
    """One sit: where, when, who, how long, what was seen, what was said of the wind, what came."""

    place: str
    name: str
    on: Figure
    who: str
    hours: Figure | None
    deer: Figure
    noticed: str
    said: Figure | None
    by: str
    seen: str


@dataclass(frozen=True)
class PlaceSat:
    """All sits of one treestand or blind; `per_hour` is of those for which both are known."""

    name: str
    sits: Figure
    hours: Figure | None
    deer: Figure | None
    per_hour: Figure | None
    noticed: Figure


@dataclass(frozen=True)
class SatOut:
    """The sits that are over, those of a place together, and the winds' word against what came.

    `came` counts by what was said and by how a deer took notice; `kept` is how often no deer
    smelled a person whose wind was said to be right.
    """

    sits: Mapping[str, SatOne] = field(default_factory=dict)
    places: Mapping[str, PlaceSat] = field(default_factory=dict)
    came: Mapping[str, Mapping[str, Figure]] = field(default_factory=dict)
    kept: Figure | None = None


def sat_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What came of the sits. Reads places, sits, people, seasons and notes; the winds of each
    treestand and blind are those of the section `sits`."""
    frame, known, ground = Frame(given), earlier["sits"].body, earlier["siting"].kept
    over = [s for s in given.tract.sits.values() if s.body.on <= given.as_of and _was(s, given)]
    sits = {
        s.id: _one(frame, known, ground, s)
        for s in sorted(over, key=lambda s: (s.body.on, s.body.begins, s.id))
        if s.body.place in given.tract.places
    }
    if not sits:
        return Section("sat", SatOut(), (Said.of(Weight.ASK, "sat", "sat-none"),))
    body = SatOut(sits, dict(_places(sits)), _came(sits), _kept(sits))
    return Section("sat", body, tuple(_said(body)))


def _was(sat: Kept[Sit], given: Given) -> bool:
    """Whether a sit is over: its day is past, or it says what came of it."""
    body = sat.body
    return body.on < given.as_of or body.noticed is not None or deer_of(sat).known


def _one(frame: Frame, known: Mapping[str, SitPlace], ground: Sat | None, sat: Kept[Sit]) -> SatOne:
    tract, body = frame.given.tract, sat.body
    person = tract.people.get(body.person)
    said, by = _word(frame, known.get(body.place), ground, sat)
    return SatOne(
        place=body.place,
        name=tract.places[body.place].body.name,
        on=sat.figure("on", "entered", unit="date"),
        who=person.body.name if person else body.person,
        hours=hours_of(sat),
        deer=deer_of(sat),
        noticed=body.noticed or "",
        said=said,
        by=by,
        seen=body.seen,
    )


# ---- the wind's word


def _word(
    frame: Frame, place: SitPlace | None, ground: Sat | None, sat: Kept[Sit]
) -> tuple[Figure | None, str]:
    """What the wind was said to do, and by what; None where nothing said any."""
    if place is None:
        return None, ""
    # a wind of no hour has no sun, and so no air that is known to carry scent
    laid = ground if sat.body.begins and sat.body.ends else None
    for by, wind in (("forecast", _forecast(frame, sat)), ("noted", _noted(frame, sat))):
        if wind is None:
            continue
        day = Today(frame, wind, plume_day(frame, laid, wind))
        kept = frame.given.tract.places[sat.body.place]
        if place.winds is None and not day.by_plume(kept.id):
            continue
        hours = [h for h in judge_wind(day, kept, place) if h.state != UNKNOWN]
        if hours:
            found = worst([hour.state for hour in hours])
            return hours[0].verdict(found), by
    return None, ""


def _forecast(frame: Frame, sat: Kept[Sit]) -> DayWind | None:
    """The wind of the sit by the last forecast that was kept before it began."""
    kept, body = frame.given.forecasts, sat.body
    if kept is None or not (body.begins and body.ends):
        return None
    zone = ZoneInfo(str(frame.zone.value))
    begin, end = (_clock(body.on, t, zone) for t in (body.begins, body.ends))
    before = [f for f in kept.kept if f.issued_at <= begin.astimezone(UTC)]
    if not before:
        return None
    last = max(before, key=lambda f: f.issued_at)
    # the day's own notes of wind are no forecast, and stand on another day than the plan's
    given = replace(frame.given, forecast=last, as_of=date.min)
    return wind_of_day(Frame(given), begin, end)


def _clock(on: date, clock: str, zone: ZoneInfo) -> datetime:
    return datetime.combine(on, time.fromisoformat(clock), zone)


def _noted(frame: Frame, sat: Kept[Sit]) -> DayWind | None:
    """The wind that the person noted for the sit, as one hour."""
    body = sat.body
    if body.wind_mph is None or (body.wind_from_deg is None and body.wind_mph > 0):
        return None
    way, speed = sat.figure("wind_from_deg"), sat.figure("wind_mph")
    zone = ZoneInfo(str(frame.zone.value))
    begin, end = (_clock(body.on, t or "12:00", zone) for t in (body.begins, body.ends))
    degrees = np.nan if body.wind_from_deg is None else body.wind_from_deg
    return DayWind(
        (begin,), (end,), np.array([degrees]), np.array([convert(body.wind_mph, "mph", "m_s")]),
        np.array([np.nan]), (way,), (speed,), {"wind_from_deg": way, "wind_mph": speed},
    )  # fmt: skip


# ---- together


def _places(sits: Mapping[str, SatOne]) -> Iterator[tuple[str, PlaceSat]]:
    names = {s.place: s.name for s in sits.values()}
    for place, name in sorted(names.items(), key=lambda p: (p[1], p[0])):
        own = {i: s for i, s in sits.items() if s.place == place}
        yield place, of_sits(name, own)


def of_sits(name: str, own: Mapping[str, SatOne]) -> PlaceSat:
    """Some sits together: how many, how long, what was seen in an hour."""
    both = {i: s for i, s in own.items() if s.hours is not None and s.deer.known}
    hours = {_named(i, s): s.hours for i, s in own.items() if s.hours is not None}
    counted = {_named(i, s): s.deer for i, s in own.items() if s.deer.known}
    per_hour = None
    if both:
        timed = {_named(i, s): s.hours for i, s in both.items() if s.hours is not None}
        per_hour = work(
            harvest.seen_each_hour,
            deer_count=_count({_named(i, s): s.deer for i, s in both.items()}),
            sat_h=sum_hours(timed),
        )
    noticed = {_named(i, s): s.on for i, s in own.items() if s.noticed not in ("", "none")}
    return PlaceSat(
        name=name,
        sits=_how_many({_named(i, s): s.on for i, s in own.items()}),
        hours=sum_hours(hours) if hours else None,
        deer=_count(counted) if counted else None,
        per_hour=per_hour,
        noticed=_how_many(noticed),
    )


def _named(id_: str, sat: SatOne) -> str:
    return f"{sat.name}, {sat.on.value}, {id_}"


def _count(named: Mapping[str, Figure]) -> Figure:
    if len(named) == 1:
        return next(iter(named.values()))
    each = [f.number() for f in named.values()]
    return work_parts(tally.total_count, named, each_count=each).figure(lambda n: n, "count")


def _how_many(named: Mapping[str, Figure]) -> Figure:
    """How many there are, each named by its day."""
    parts = work_parts(tally.total_count, named, each_count=[1.0] * len(named))
    return parts.figure(lambda n: n, "count")


def _came(sits: Mapping[str, SatOne]) -> dict[str, dict[str, Figure]]:
    """By what was said of the wind, how often a deer took notice and how."""
    return {
        state: {
            how: _how_many({_named(i, s): s.on for i, s in own.items() if s.noticed == how})
            for how in CAME
        }
        for state in STATES
        if (own := {i: s for i, s in sits.items() if _both(s) and _state(s) == state})
    }


def _both(sat: SatOne) -> bool:
    return sat.said is not None and sat.noticed in CAME


def _state(sat: SatOne) -> str:
    return "" if sat.said is None else str(sat.said.value)


def _kept(sits: Mapping[str, SatOne]) -> Figure | None:
    """Of the sits whose wind was said to be right, those in which no deer smelled the person."""
    right = {_named(i, s): s for i, s in sits.items() if _both(s) and _state(s) == RIGHT}
    if not right:
        return None
    held = {n: s.on for n, s in right.items() if s.noticed != "smelled"}
    return work(
        tally.word_kept,
        kept_count=_how_many(held),
        sits_count=_how_many({n: s.on for n, s in right.items()}),
    )


def _said(body: SatOut) -> Iterator[Said]:
    if not body.came:
        yield Said.of(Weight.ASK, "sat", "sat-no-word")
    else:
        yield Said.of(Weight.DOUBT, "sat", "sat-smelled-alone")
        yield Said.of(Weight.NOTE, "sat", "sat-no-chance")
    if not any(s.deer.known for s in body.sits.values()):
        yield Said.of(Weight.ASK, "sat", "sat-no-deer")

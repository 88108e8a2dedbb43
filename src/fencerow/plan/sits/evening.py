"""Where to sit today: each treestand and blind through the legal hours, right, doubtful or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from fencerow.figure import Figure, assume
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.around import Reason, reasons
from fencerow.plan.sits.by_plume import plume_day
from fencerow.plan.sits.day_wind import DayWind, wind_of_day
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.hour_wind import HourToday, Today, judge_hours
from fencerow.plan.sits.light import SunDay
from fencerow.plan.sits.people import SomebodyThere, toward_people
from fencerow.plan.sits.planner import SitPlace
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, WRONG
from fencerow.science.ground.sun import clock_text
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase, Treestand
from fencerow.words import Message, say


@dataclass(frozen=True)
class HourWind:
    """An hour of the day: when, and the wind of it."""

    begins: Figure
    ends: Figure
    wind_from: Figure
    wind: Figure


@dataclass(frozen=True)
class Stretch:
    """Hours that are alike, one after another: from when until when, how they stand, why."""

    state: str
    why: tuple[Message, ...]
    first: str = ""
    last: str = ""
    """Keys of the first hour and the last; none where no hour's wind is known."""
    settles: tuple[Message, ...] = ()
    """What one more input would settle; of doubtful hours."""


@dataclass(frozen=True)
class PlaceToday:
    """One treestand or blind today."""

    name: str
    kind: str
    state: str
    reasons: Mapping[str, Reason]
    hours: Mapping[str, HourToday]
    stretches: Mapping[str, Stretch]
    toward: Mapping[str, SomebodyThere]


@dataclass(frozen=True)
class Evening:
    """The day's legal hours with their wind, and each treestand and blind."""

    light: SunDay | None = None
    hours: Mapping[str, HourWind] = field(default_factory=dict)
    places: Mapping[str, PlaceToday] = field(default_factory=dict)


def evening_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Where to sit today. Reads places, seasons, hours, closings, sits, notes, people and
    assignments, and the forecast. Hours are judged on the spots of the section `siting`; where it
    knows no ground, by the winds of the section `sits`."""
    frame = Frame(given)
    if not any(frame.sits()):
        return Section("evening", Evening())
    known: Mapping[str, SitPlace] = earlier["sits"].body
    light = next(iter(known.values())).sun.get("today")
    wind = _wind(frame, light)
    hours = {} if wind is None or light is None else dict(_hours(wind, light))
    plume = plume_day(frame, earlier["siting"].kept, wind, _wet(frame))
    today = None if wind is None else Today(frame, wind, plume)
    places = {
        kept.id: _place(frame, earlier, kept, known[kept.id], today, list(hours))
        for kept in frame.sits()
    }
    return Section(
        "evening", Evening(light, hours, places), tuple(_said(frame, light, today, places))
    )


def _wet(frame: Frame) -> bool:
    """Whether the leaves are wet, by a gauge that was read today or the day before."""
    hours = frame.given.tables["heard_settings"].row("stays-wet").figure("walk_h").number()
    since = frame.given.as_of - timedelta(hours=hours)
    read = (n for n in frame.given.tract.rain.values() if n.on is not None)
    return any(since <= n.on <= frame.given.as_of and n.body.amount for n in read if n.on)


def _wind(frame: Frame, light: SunDay | None) -> DayWind | None:
    if light is None or not (light.legal_start.known and light.legal_end.known):
        return None
    return wind_of_day(frame, light.legal_start.value, light.legal_end.value)


def _hours(wind: DayWind, light: SunDay) -> Iterator[tuple[str, HourWind]]:
    ends = {light.legal_start.value: light.legal_start, light.legal_end.value: light.legal_end}
    for begin, end, way, speed in zip(wind.begins, wind.ends, wind.ways, wind.speeds, strict=True):
        told = [ends.get(t) or assume(t, "clock", "evening-clock") for t in (begin, end)]
        yield begin.strftime("%H-%M"), HourWind(told[0], told[1], way, speed)


def _place(
    frame: Frame, earlier: Mapping[str, Section], kept: Kept[PlaceBase], known: SitPlace,
    today: Today | None, keys: list[str],
) -> PlaceToday:  # fmt: skip
    day, drawn = reasons(frame, earlier, kept), kept.body.shape is not None
    hours = judge_hours(today, kept, known, keys) if today is not None and drawn else {}
    stretches = dict(_stretches(hours, day)) if hours else {"day": _whole(day)}
    states = [s.state for s in stretches.values()]
    best = next((s for s in (RIGHT, DOUBTFUL) if s in states), WRONG)
    toward = toward_people(frame, earlier["work"].body, kept)
    return PlaceToday(kept.body.name, kind_of(kept.body), best, day, hours, stretches, toward)


def _whole(day: Mapping[str, Reason]) -> Stretch:
    """A day whose wind is not known: at best doubtful."""
    if alone := [r.why for r in day.values() if r.state == WRONG]:
        return Stretch(WRONG, tuple(alone))
    why = [r.why for r in day.values()]
    settles = (Message.of("evening-settle-wind"),)
    return Stretch(DOUBTFUL, (*why, Message.of("evening-no-wind-known")), settles=settles)


def _stretches(
    hours: Mapping[str, HourToday], day: Mapping[str, Reason]
) -> Iterator[tuple[str, Stretch]]:
    """Hours that stand alike for the same reasons, together; where the whole day is left alone,
    the hours say nothing more. What speaks and stops nothing is said once, beside the table."""
    if alone := [r.why for r in day.values() if r.state == WRONG]:
        first, *_, last = (*hours, list(hours)[-1])
        yield first, Stretch(WRONG, tuple(alone), first, last)
        return
    doubts = [r.why for r in day.values() if r.state == DOUBTFUL]
    for (state, why), found in groupby(hours.items(), key=lambda h: (h[1].state, h[1].why)):
        keys = [key for key, _ in found]
        if state == WRONG:
            yield keys[0], Stretch(WRONG, why, keys[0], keys[-1])
        elif state == RIGHT and not doubts:
            yield keys[0], Stretch(RIGHT, why, keys[0], keys[-1])
        else:
            against = why if state != RIGHT else ()
            settles = tuple(dict.fromkeys(m for key in keys for m in hours[key].settles))
            yield keys[0], Stretch(DOUBTFUL, (*against, *doubts), keys[0], keys[-1], settles)


def _said(
    frame: Frame, light: SunDay | None, today: Today | None, places: Mapping[str, PlaceToday]
) -> Iterator[Said]:
    """Caution first, then what is missing, then what is taken as given."""
    yield Said.of(Weight.CAUTION, "evening", "sits-beyond")
    if any(isinstance(k.body, Treestand) for k in frame.sits()):
        yield Said.of(Weight.CAUTION, "evening", "sits-harness")
    yield Said.of(Weight.CAUTION, "evening", "evening-tell")
    if frame.hours is None:
        yield Said.of(Weight.ASK, "evening", "sits-ask-hours")
    elif light is None:
        yield Said.of(Weight.ASK, "evening", "evening-ask-draw")
    elif today is None:
        yield Said.of(Weight.ASK, "evening", "evening-ask-wind")
    else:
        yield from _of_wind(frame, today.wind)
        yield from _of_ground(today)
    if any(p.toward for p in places.values()):
        yield Said.of(Weight.CAUTION, "evening", "evening-toward-law")
    allowed = [r.why for p in places.values() for r in p.reasons.values() if r.state == RIGHT]
    for why in dict.fromkeys(allowed):
        yield Said(Weight.NOTE, "evening", why)


def _of_ground(today: Today) -> Iterator[Said]:
    """How the wind is judged, and what is not known of the day."""
    drawn = [k for k in today.frame.sits() if k.body.shape is not None]
    if any(not today.by_plume(k.id) for k in drawn):
        yield Said.of(Weight.DOUBT, "evening", "evening-first-form")
    if today.plume is None:
        return
    right, least = today.plume.limits
    told = {"right": share(right), "least": share(least)}
    yield Said.of(Weight.DOUBT, "evening", "evening-by-chance", **told)
    if today.plume.by_sky:
        yield Said.of(Weight.DOUBT, "evening", "evening-no-sky")
    leaves = "evening-leaves-wet" if today.plume.wet else "evening-leaves-dry"
    yield Said.of(Weight.NOTE, "evening", leaves)


def share(figure: Figure) -> str:
    """A chance in words."""
    return say("evening-share", share=round(100 * figure.number()))


def _of_wind(frame: Frame, wind: DayWind) -> Iterator[Said]:
    forecast = frame.given.forecast
    if forecast is not None and "forecast" in wind.inputs:
        issued = forecast.issued_at.astimezone(ZoneInfo(str(frame.zone.value)))
        told = {"clock": clock_text(issued), "day": issued.date()}
        yield Said.of(Weight.NOTE, "evening", "evening-by-forecast", **told)
    else:
        yield Said.of(Weight.DOUBT, "evening", "evening-by-own")

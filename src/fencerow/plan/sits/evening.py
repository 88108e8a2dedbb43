"""Where to sit today: each treestand and blind through the legal hours, right, doubtful or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from zoneinfo import ZoneInfo

from fencerow.figure import Figure, assume
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.around import Reason, reasons
from fencerow.plan.sits.day_wind import DayWind, wind_of_day
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.hour_wind import HourToday, judge_hours
from fencerow.plan.sits.light import SunDay
from fencerow.plan.sits.planner import SitPlace
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, WRONG
from fencerow.science.ground.sun import clock_text
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase, Treestand
from fencerow.words import Message


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


@dataclass(frozen=True)
class PlaceToday:
    """One treestand or blind today."""

    name: str
    kind: str
    state: str
    reasons: Mapping[str, Reason]
    hours: Mapping[str, HourToday]
    stretches: Mapping[str, Stretch]


@dataclass(frozen=True)
class Evening:
    """The day's legal hours with their wind, and each treestand and blind."""

    light: SunDay | None = None
    hours: Mapping[str, HourWind] = field(default_factory=dict)
    places: Mapping[str, PlaceToday] = field(default_factory=dict)


def evening_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Where to sit today. Reads places, seasons, hours, closings, sits, notes, people and
    assignments, and the forecast; the winds of each sit are those of the section `sits`."""
    frame = Frame(given)
    if not any(frame.sits()):
        return Section("evening", Evening())
    known: Mapping[str, SitPlace] = earlier["sits"].body
    light = next(iter(known.values())).sun.get("today")
    wind = _wind(frame, light)
    hours = {} if wind is None or light is None else dict(_hours(wind, light))
    places = {
        kept.id: _place(frame, earlier, kept, known[kept.id], wind, list(hours))
        for kept in frame.sits()
    }
    return Section(
        "evening", Evening(light, hours, places), tuple(_said(frame, light, wind, places))
    )


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
    wind: DayWind | None, keys: list[str],
) -> PlaceToday:  # fmt: skip
    day = reasons(frame, earlier, kept)
    hours = judge_hours(frame, known, wind, keys) if wind is not None and known.winds else {}
    stretches = dict(_stretches(hours, day)) if hours else {"day": _whole(day)}
    states = [s.state for s in stretches.values()]
    best = next((s for s in (RIGHT, DOUBTFUL) if s in states), WRONG)
    return PlaceToday(kept.body.name, kind_of(kept.body), best, day, hours, stretches)


def _whole(day: Mapping[str, Reason]) -> Stretch:
    """A day whose wind is not known: at best doubtful."""
    if alone := [r.why for r in day.values() if r.state == WRONG]:
        return Stretch(WRONG, tuple(alone))
    why = [r.why for r in day.values()]
    return Stretch(DOUBTFUL, (*why, Message.of("evening-no-wind-known")))


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
            yield keys[0], Stretch(DOUBTFUL, (*against, *doubts), keys[0], keys[-1])


def _said(
    frame: Frame, light: SunDay | None, wind: DayWind | None, places: Mapping[str, PlaceToday]
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
    elif wind is None:
        yield Said.of(Weight.ASK, "evening", "evening-ask-wind")
    else:
        yield from _of_wind(frame, wind)
    yield Said.of(Weight.DOUBT, "evening", "evening-first-form")
    allowed = [r.why for p in places.values() for r in p.reasons.values() if r.state == RIGHT]
    for why in dict.fromkeys(allowed):
        yield Said(Weight.NOTE, "evening", why)


def _of_wind(frame: Frame, wind: DayWind) -> Iterator[Said]:
    forecast = frame.given.forecast
    if forecast is not None and "forecast" in wind.inputs:
        issued = forecast.issued_at.astimezone(ZoneInfo(str(frame.zone.value)))
        told = {"clock": clock_text(issued), "day": issued.date()}
        yield Said.of(Weight.NOTE, "evening", "evening-by-forecast", **told)
    else:
        yield Said.of(Weight.DOUBT, "evening", "evening-by-own")

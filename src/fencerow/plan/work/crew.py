"""Who is there on which day, for how long: the crew as entered, else hours that are usual."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Entered, Figure, assume, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground.sun import RISING, SETTING, crossing_h
from fencerow.science.weather import effort
from fencerow.science.weather.series import Floats, Times
from fencerow.tract.hands import Crew
from fencerow.tract.model import Kept
from fencerow.words import OutsideRange, listed, name_of, say


@dataclass(frozen=True)
class Hand:
    """One line of the crew: who, from when until when, on which days, how long."""

    name: str
    from_on: Figure | None
    until_on: Figure | None
    weekdays: str
    hours: Figure


@dataclass(frozen=True)
class Hours:
    """The hours of each day, by whom, and the figures that they rest on."""

    people_h: Floats
    machine_h: Floats
    inputs: Mapping[str, Figure]
    hands: Mapping[str, Hand]
    total: Figure | None = None


def hours_of(given: Given, days: Times, said: list[Said]) -> Hours:
    """The hours of the days from the crew that is entered, else the usual ones, which is said."""
    if given.tract.crew:
        return _entered(given, days, said)
    row = given.tables["work_hours"].row("usual")
    weekday, weekend = row.figure("weekday_h"), row.figure("weekend_h")
    people = max(1, len(given.tract.people))
    crew = Figure(float(people), "count", Entered("people", "count"))
    if not given.tract.people:
        crew = assume(1.0, "count", "work-one-person")
    said.append(Said.of(Weight.NOTE, "work", "work-usual-hours"))
    hours = effort.hours_of_days(days, weekday.number(), weekend.number(), people)
    inputs = {"weekday hours": weekday, "weekend hours": weekend, "people": crew}
    return Hours(hours, hours, inputs, {})


def _entered(given: Given, days: Times, said: list[Said]) -> Hours:
    crew = sorted(given.tract.crew.values(), key=lambda k: (str(k.body.from_on or ""), k.id))
    inputs = {
        say("work-crew-hours", who=f"{_name(given, kept)} {at}"): kept.figure("hours_h")
        for at, kept in enumerate(crew, 1)
    }
    light = _light(given, days, inputs)
    if light is None:
        said.append(Said.of(Weight.ASK, "work", "work-no-daylight"))
    left = [p.body.name for i, p in given.tract.people.items() if i not in _named(crew)]
    if left:
        said.append(Said.of(Weight.NOTE, "work", "work-crew-left", people=", ".join(left)))
    parts = work_parts(
        effort.crew_of_days, inputs, dates=days, crew=[_present(k) for k in crew], light_h=light
    )
    hands = {k.id: _hand(given, k) for k in crew}
    total = parts.figure(lambda found: float(found.people_h.sum()), "h")
    found = parts.result
    return Hours(found.people_h, found.longest_h, inputs, hands, total)


def _named(crew: list[Kept[Crew]]) -> set[str]:
    return {k.body.person for k in crew}


def _present(kept: Kept[Crew]) -> effort.Present:
    body = kept.body
    who = body.person or kept.id
    return effort.Present(who, body.from_on, body.until_on, body.weekdays, body.hours_h)


def _hand(given: Given, kept: Kept[Crew]) -> Hand:
    days = listed(name_of(f"choice {day}") for day in kept.body.weekdays)
    return Hand(
        name=_name(given, kept),
        from_on=kept.figure("from_on", unit="date") if kept.body.from_on else None,
        until_on=kept.figure("until_on", unit="date") if kept.body.until_on else None,
        weekdays=days or say("work-every-day"),
        hours=kept.figure("hours_h"),
    )


def _name(given: Given, kept: Kept[Crew]) -> str:
    person = given.tract.people.get(kept.body.person)
    return say("work-somebody") if person is None else person.body.name


def _light(given: Given, days: Times, inputs: dict[str, Figure]) -> Floats | None:
    """Hours from sunrise to sunset of each day; None where nothing is drawn, or the sun of that
    year is not worked."""
    frame = Frame(given)
    if frame.middle is None:
        return None
    lon, lat = frame.middle
    height = frame.setting("sunrise", "height_arcmin")
    at = (lon.number(), lat.number(), height.number() / 60)
    try:
        light: Floats = crossing_h(days, *at, SETTING) - crossing_h(days, *at, RISING)
    except OutsideRange:
        return None
    inputs |= {"longitude_deg": lon, "latitude_deg": lat, "sun at sunrise": height}
    return light

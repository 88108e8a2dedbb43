"""Where to sit today as a sheet: right, doubtful, leave alone; the hours; how each place rests."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, compass, unchecked_mark
from fencerow.plan.sits.evening import Evening, HourWind, PlaceToday, Stretch
from fencerow.plan.sits.rest import Rest
from fencerow.plan.views.scent_drawn import hours_sketches
from fencerow.science.ground.sit_hours import DOUBTFUL, RIGHT, UNKNOWN, WRONG
from fencerow.science.ground.sun import clock_text
from fencerow.words import Message, say
from fencerow.words.days import weekday

MARKS = {RIGHT: "●", DOUBTFUL: "○", UNKNOWN: "○", WRONG: "×"}
"""How an hour stands, for a narrow column: told apart in grey."""


def evening_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of today's sits; none where no treestand and no blind is entered."""
    body: Evening = plan.sections["evening"].body
    if not body.places:
        return []
    rest: Rest = plan.sections["rest"].body
    said = by_weight([*plan.sections["evening"].said, *plan.sections["rest"].said])
    heads = ((RIGHT, "evening-right"), (DOUBTFUL, "evening-doubtful"), (WRONG, "evening-leave"))
    tables = [_head(body, state, say(title)) for state, title in heads]
    prints = plan.sections["footprints"].body
    drawings = hours_sketches(body, prints, plan.given.tract)
    day = plan.given.as_of
    under = say("evening-under", day=f"{weekday(day)}, {compact_day(day)}", light=_light(body))
    tables = [t for t in (*tables, _toward(body), _grid(body), _resting(rest)) if t.rows]
    return [Sheet("evening", say("evening-view"), under, tuple(tables), said, drawings)]


def _light(body: Evening) -> str:
    light = body.light
    if light is None or not (light.legal_start.known and light.legal_end.known):
        return say("evening-no-light")
    return say("evening-light-hours", first=clock_text(light.legal_start.value),
               last=clock_text(light.legal_end.value))  # fmt: skip


def _head(body: Evening, state: str, title: str) -> Ruled:
    """What stands under one of the three heads."""
    found = [
        (id_, place, stretch)
        for id_, place in body.places.items()
        for stretch in place.stretches.values()
        if stretch.state == state
    ]
    rows: tuple[tuple[str, ...], ...] = tuple(
        (
            place.name, *_when(body, stretch), _chance(place, stretch), _listed(stretch.why),
            *([_listed(stretch.settles)] if state == DOUBTFUL else []),
        )
        for _, place, stretch in found
    )  # fmt: skip
    if state == RIGHT and not rows:
        rows = ((say("evening-none"), *[""] * 5),)
    names = ["place", "from#", "until#", "wind", "chance#", "why+"]
    heads = columns(*names, *(["settles+"] if state == DOUBTFUL else []), of="evening-")
    return Ruled(heads, rows, title, leads=True, about=tuple(id_ for id_, _, _ in found))


def _when(body: Evening, stretch: Stretch) -> tuple[str, str, str]:
    """From when until when, and the winds of these hours."""
    if not stretch.first:
        return "", "", ""
    keys = list(body.hours)
    hours = [body.hours[k] for k in keys[keys.index(stretch.first) : keys.index(stretch.last) + 1]]
    winds = [_wind(h.wind_from, h.wind) for h in (hours[0], hours[-1])]
    told = winds[0] if winds[0] == winds[1] else say("evening-winds", first=winds[0], last=winds[1])
    return _clock(hours[0].begins), _clock(hours[-1].ends), told


def _listed(messages: tuple[Message, ...]) -> str:
    return "; ".join(str(m) for m in messages)


def _chance(place: PlaceToday, stretch: Stretch) -> str:
    """The chance that the hours are right: the least of them; none where the whole day is out."""
    if not stretch.first or any(r.state == WRONG for r in place.reasons.values()):
        return ""
    keys = list(place.hours)
    told = keys[keys.index(stretch.first) : keys.index(stretch.last) + 1]
    chances = [c for key in told if (c := place.hours[key].chance) is not None]
    least = min(chances, key=Figure.number, default=None)
    return "" if least is None else brief(least) + unchecked_mark(least)


def _wind(way: Figure, speed: Figure) -> str:
    if speed.known and speed.number() == 0:
        return Told(say("evening-still"), speed)
    if not (way.known and speed.known):
        return say("unknown")
    return Told(f"{compass(way)} {brief(speed)}", speed)


def _clock(figure: Figure) -> str:
    return Told(clock_text(figure.value), figure)


def _toward(body: Evening) -> Ruled:
    """The directions from each place in which somebody is today."""
    rows = tuple(
        (
            place.name,
            brief(there.directions) + unchecked_mark(there.directions),
            there.who or say("evening-somebody"),
            there.place,
            brief(there.distance),
        )
        for place in body.places.values()
        for there in place.toward.values()
    )
    heads = columns("place", "toward+", "who", "on", "off#", of="evening-")
    return Ruled(heads, rows, say("evening-toward"))


def _grid(body: Evening) -> Ruled:
    """Each hour at each place by a mark, under the wind of the hour."""
    hours = list(body.hours.values())
    heads = (
        *columns("place", of="evening-"),
        *(Column(f"{h.begins.value:%H}") for h in hours),
    )
    winds = (say("evening-wind-row"), *(_way(h) for h in hours))
    rows = [winds, *_marks(body)] if hours else []
    return Ruled(heads, tuple(rows), say("evening-hours"))


def _way(hour: HourWind) -> str:
    """Where an hour's wind blows from; a calm is told."""
    still = hour.wind.known and hour.wind.number() == 0
    return Told(say("evening-still"), hour.wind) if still else compass(hour.wind_from)


def _marks(body: Evening) -> Iterator[tuple[str, ...]]:
    for place in body.places.values():
        if place.hours:
            yield (place.name, *(_mark(body, place, key) for key in body.hours))


def _mark(body: Evening, place: PlaceToday, key: str) -> str:
    """How an hour stands with what holds for the whole day."""
    states = [place.hours[key].state, *(r.state for r in place.reasons.values())]
    worst = next(s for s in (WRONG, DOUBTFUL, UNKNOWN, RIGHT) if s in states)
    return Told(MARKS[worst], place.hours[key].verdict)


def _resting(rest: Rest) -> Ruled:
    """What was done lately at each place or near it, what is left of it, and when it is rested."""
    rows = []
    for place in rest.places.values():
        rested = brief(place.rested_on) + unchecked_mark(place.rested_on)
        if place.rested:
            rested = Told(say("rest-is-rested"), place.days)
        for event in list(place.after.values())[::-1]:
            rows.append((
                place.name,
                say(f"rest-after-{event.what}", place=event.where),
                brief(event.on),
                brief(event.left) + unchecked_mark(event.left),
                brief(place.left) + unchecked_mark(place.left),
                rested,
            ))  # fmt: skip
    heads = columns("place", "after+", "day#", "left#", "all#", "rested#", of="rest-")
    return Ruled(heads, tuple(rows), say("rest-view"))

"""How each hour of a day stands for one sit: its wind, and the sun.

`judge_wind` is the one function that answers for a place and the wind of some hours with right,
doubtful or wrong and the first reason. Here it goes by the arcs of wind that carry to cover and
plots; another answer to the same question can stand in its place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from fencerow.figure import Figure, Parts, work_parts
from fencerow.plan.show import amount
from fencerow.plan.sits.day_wind import DayWind
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.planner import SitPlace
from fencerow.science.ground import sit_hours as judged
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.sit_hours import SitHour
from fencerow.science.ground.sun import Spells
from fencerow.units import convert
from fencerow.words import Message

RANK = (judged.RIGHT, judged.UNKNOWN, judged.DOUBTFUL, judged.WRONG)
"""How hours stand, the worst last."""


@dataclass(frozen=True)
class HourToday:
    """One hour at one sit: how it stands, and why."""

    state: str
    verdict: Figure
    why: tuple[Message, ...]


def worst(states: list[str]) -> str:
    """The worst of some states."""
    return max(states, key=RANK.index)


def judge_wind(frame: Frame, place: SitPlace, wind: DayWind) -> Parts[list[SitHour]]:
    """How the wind of each hour stands for one sit, with the first reason."""
    assert place.winds is not None, "only what is drawn is judged by the wind"
    avoid, places = place.winds.avoid, frame.given.tract.places
    edge, light = setting(frame, "edge", "by_deg"), setting(frame, "light", "wind_mph")
    return work_parts(
        judged.sit_hours,
        {
            **wind.inputs,
            **{places[i].body.name: figure for i, figure in avoid.items()},
            "edge_deg": edge,
            "light_m_s": light,
        },
        from_deg=wind.from_deg,
        wind_m_s=wind.wind_m_s,
        avoid=[Arcs.of(figure.value) for figure in avoid.values()],
        edge_deg=edge.number(),
        light_m_s=convert(light.number(), light.unit, "m_s"),
    )


def judge_hours(
    frame: Frame, place: SitPlace, wind: DayWind, keys: list[str]
) -> dict[str, HourToday]:
    """Each hour for one sit, by its wind, the turn of the wind within a sit, and the sun; of one
    that is to be left alone the wind alone is told."""
    parts, turns = judge_wind(frame, place, wind), _turns(frame, wind)
    found = {}
    for i, (key, hour) in enumerate(zip(keys, parts.result, strict=True)):
        doubts: list[Message] = []
        if hour.state != judged.WRONG:
            doubts += [*_turned(hour, turns.get(i))]
            doubts += [*_blinded(place, wind.begins[i], wind.ends[i])]
        state = worst([hour.state, *([judged.DOUBTFUL] if doubts else [])])
        first = [] if hour.state == judged.RIGHT and doubts else [_why(frame, place, hour)]
        found[key] = HourToday(state, parts.figure(_always(state), "text"), (*first, *doubts))
    return found


def _always(state: str) -> Callable[[object], str]:
    return lambda _: state


def _why(frame: Frame, place: SitPlace, hour: SitHour) -> Message:
    """The first reason of an hour's wind."""
    match hour.why:
        case judged.CARRIES | judged.EDGE:
            assert place.winds is not None
            to = list(place.winds.avoid)[hour.place]
            name = frame.given.tract.places[to].body.name
            edge = amount(setting(frame, "edge", "by_deg"))
            if hour.why == judged.CARRIES:
                return Message.of("evening-carries", place=name)
            return Message.of("evening-edge", place=name, edge=edge)
        case judged.LIGHT:
            light = amount(setting(frame, "light", "wind_mph"))
            return Message.of("evening-light", light=light)
        case judged.CALM:
            return Message.of("evening-calm")
        case judged.CLEAR:
            return Message.of("evening-clear")
    return Message.of("evening-unknown")


def _turns(frame: Frame, wind: DayWind) -> dict[int, Figure]:
    """How far the wind turns within the sit that each hour belongs to, where that is too far."""
    most = setting(frame, "turn", "by_deg").number()
    found: dict[int, Figure] = {}
    for sit in wind.sits(setting(frame, "sit", "hours_h").number()):
        parts = work_parts(judged.turn_deg, wind.inputs, from_deg=wind.from_deg[list(sit)])
        if parts.result > most:
            found |= dict.fromkeys(sit, parts.figure(lambda turn: turn, "deg"))
    return found


def _turned(hour: SitHour, turn: Figure | None) -> Iterator[Message]:
    if turn is not None and hour.why != judged.CALM:
        yield Message.of("evening-turns", turn=amount(turn))


def _blinded(place: SitPlace, begins: datetime, ends: datetime) -> Iterator[Message]:
    """Where the sun shines into the face of somebody who faces as entered."""
    glare = place.glare.get("today")
    spells = glare.value.spells if glare is not None and isinstance(glare.value, Spells) else ()
    if any(first < ends and last > begins for first, last in spells):
        yield Message.of("evening-sun", facing=amount(place.facing))


def setting(frame: Frame, name: str, column: str) -> Figure:
    """A row of `evening_settings`; a person may lay their own over it."""
    return frame.given.tables["evening_settings"].row(name).figure(column)

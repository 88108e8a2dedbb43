"""How each hour of a day stands for one sit: its wind, and what else speaks of an hour.

`judge_wind` answers for a place and the wind of some hours with right, doubtful or wrong, and the
first reason: by the plume where the ground is known, as the season's hours are judged (`by_plume`);
elsewhere straight downwind, by the arcs of wind that carry to cover and plots, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from fencerow.figure import Figure, work, work_parts
from fencerow.plan.ground import outline
from fencerow.plan.show import amount
from fencerow.plan.sits.by_plume import PlumeDay
from fencerow.plan.sits.day_wind import DayWind
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.lines import height_of
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.wind_hour import WindHour, setting
from fencerow.science.ground import sit_hours as judged
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.hearing import heard_yd
from fencerow.science.ground.lines import nearest_yd
from fencerow.science.ground.sit_hours import SitHour
from fencerow.science.ground.sun import Spells
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, PlaceBase
from fencerow.units import convert
from fencerow.words import Message

RANK = (judged.RIGHT, judged.UNKNOWN, judged.DOUBTFUL, judged.WRONG)
"""How hours stand, the worst last."""


@dataclass(frozen=True)
class HourToday:
    """One hour at one sit: how it stands, why, its chance to be right, what would settle it."""

    state: str
    verdict: Figure
    why: tuple[Message, ...]
    chance: Figure | None = None
    settles: tuple[Message, ...] = ()


@dataclass(frozen=True)
class Today:
    """What all sits of a day share."""

    frame: Frame
    wind: DayWind
    plume: PlumeDay | None

    def by_plume(self, sit: str) -> bool:
        """Whether the ground of a sit is known, so that its hours are judged by the plume."""
        return self.plume is not None and sit in self.plume.ids


def worst(states: list[str]) -> str:
    """The worst of some states."""
    return max(states, key=RANK.index)


def judge_wind(today: Today, sit: Kept[PlaceBase], place: SitPlace) -> list[WindHour]:
    """How the wind of each hour stands for one sit, with the first reason."""
    if today.plume is not None and today.by_plume(sit.id):
        own = {"sit": outline(sit), "height_ft": height_of(sit)}
        return today.plume.at_sit(sit.id, own)
    return _by_arcs(today, place)


def _by_arcs(today: Today, place: SitPlace) -> list[WindHour]:
    """Straight downwind, to the reach and no farther."""
    # where the ground is known the plume judges; what is left for here is a day without a wind
    avoid = {} if place.winds is None else place.winds.avoid
    frame, wind = today.frame, today.wind
    edge, light = setting(frame, "edge", "by_deg"), setting(frame, "light", "wind_mph")
    parts = work_parts(
        judged.sit_hours,
        {
            **wind.inputs,
            **{frame.given.tract.places[i].body.name: figure for i, figure in avoid.items()},
            "edge_deg": edge,
            "light_m_s": light,
        },
        from_deg=wind.from_deg,
        wind_m_s=wind.wind_m_s,
        avoid=[Arcs.of(figure.value) for figure in avoid.values()],
        edge_deg=edge.number(),
        light_m_s=convert(light.number(), light.unit, "m_s"),
    )
    return [WindHour(hour.state, _why(frame, place, hour), parts) for hour in parts.result]


def judge_hours(
    today: Today, sit: Kept[PlaceBase], place: SitPlace, keys: list[str]
) -> dict[str, HourToday]:
    """Each hour for one sit, by its wind, the turn of the wind within a sit, ears and the sun; of
    one that is to be left alone the wind alone is told."""
    wind, turns, found = today.wind, _turns(today.frame, today.wind), {}
    near = list(_in_earshot(today.frame, sit)) if today.by_plume(sit.id) else []
    hours = judge_wind(today, sit, place)
    for i, (key, hour) in enumerate(zip(keys, hours, strict=True)):
        doubts: list[Message] = []
        if hour.state != judged.WRONG:
            doubts += [*_turned(wind, i, turns.get(i))]
            doubts += [*_heard(today.frame, near, wind.speeds[i])]
            doubts += [*_blinded(place, wind.begins[i], wind.ends[i])]
        if hour.state == judged.RIGHT and today.by_plume(sit.id):
            doubts += [*_light(today.frame, wind.wind_m_s[i])]
        state = worst([hour.state, *([judged.DOUBTFUL] if doubts else [])])
        first = [] if hour.state == judged.RIGHT and doubts else [hour.why]
        settles = hour.settles if state == judged.DOUBTFUL else ()
        found[key] = HourToday(
            state, hour.verdict(state), (*first, *doubts), hour.chance,
            (*settles, *_settled(hour.state, doubts)),
        )  # fmt: skip
    return found


def _settled(state: str, doubts: list[Message]) -> Iterator[Message]:
    """What would settle a doubt that goes beyond the chance of the hour."""
    if state == judged.UNKNOWN:
        yield Message.of("evening-settle-wind")
    elif state == judged.RIGHT and any(d.id == "evening-light" for d in doubts):
        yield Message.of("evening-settle-drift")
    if any(d.id == "evening-turns" for d in doubts):
        yield Message.of("evening-settle-turn")


def _in_earshot(frame: Frame, sit: Kept[PlaceBase]) -> Iterator[tuple[str, Figure]]:
    """Cover near enough that a sitter may be heard there in a calm, and how far off it is."""
    most = frame.given.tables["heard_settings"].row("sitting").figure("within_yd").number()
    for cover in frame.drawn(Cover):
        off = work(nearest_yd, sit=outline(sit), shape=outline(cover))
        if off.number() <= most:
            yield cover.body.name, off


def _heard(frame: Frame, near: list[tuple[str, Figure]], speed: Figure) -> Iterator[Message]:
    """Cover from which a sitter is heard in the wind of an hour."""
    rows = frame.given.tables["heard_settings"]
    for name, off in near:
        heard = work(
            heard_yd, calm_yd=rows.row("sitting").figure("within_yd"), wind_mph=speed,
            halved_mph=rows.row("wind").figure("wind_mph"),
        )  # fmt: skip
        if heard.known and off.number() <= heard.number():
            yield Message.of("evening-heard", place=name, off=amount(off))


def _light(frame: Frame, wind_m_s: float) -> Iterator[Message]:
    """A wind that is light: it turns with the ground."""
    light = setting(frame, "light", "wind_mph")
    if wind_m_s == 0:
        yield Message.of("evening-calm")
    elif wind_m_s < convert(light.number(), light.unit, "m_s"):
        yield Message.of("evening-light", light=amount(light))


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


def _turned(wind: DayWind, hour: int, turn: Figure | None) -> Iterator[Message]:
    if turn is not None and wind.wind_m_s[hour] != 0:
        yield Message.of("evening-turns", turn=amount(turn))


def _blinded(place: SitPlace, begins: datetime, ends: datetime) -> Iterator[Message]:
    """Where the sun shines into the face of somebody who faces as entered."""
    glare = place.glare.get("today")
    spells = glare.value.spells if glare is not None and isinstance(glare.value, Spells) else ()
    if any(first < ends and last > begins for first, last in spells):
        yield Message.of("evening-sun", facing=amount(place.facing))

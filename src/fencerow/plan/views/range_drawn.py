"""The range card drawn: facing up, rings, lanes, what is in reach, what is ruled out, the sun.

Distances are drawn by their roots, so that near ones stay apart; rings say how far they are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from math import cos, radians, sin, sqrt

import numpy as np
from shapely.geometry import GeometryCollection

from fencerow.manner import shown_unit, symbol
from fencerow.plan.ruled import Ruled, columns
from fencerow.plan.show import Told, brief, compass
from fencerow.plan.sits.lines import RangeLine
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sketch import (
    AIM,
    ARM,
    LANE_OPEN,
    RING,
    RULED,
    SUN,
    Outline,
    Run,
    Sketch,
    Spot,
    View,
    Word,
)
from fencerow.plan.views.sketched import keys
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.spa import sun_position
from fencerow.science.ground.sun import clock_text
from fencerow.tract.model import Tract
from fencerow.units import convert
from fencerow.words import say

SIDE, RADIUS = 1000, 330
RIM = 1.1
"""Directions ruled out stand in a band outside the farthest ring, so wide."""
RINGS = (10, 20, 30, 40, 50, 75, 100, 150, 200, 300, 400)
APART = 50
"""Rings nearer together than this are not both drawn."""
LETTER, LINE = 25.0, 46.0
"""About how wide a letter is and how high a line, where the card is drawn smallest."""


@dataclass(frozen=True)
class Dial:
    """The face of a card: how far reaches to the rim, and which way is up."""

    farthest: float
    up_deg: float

    def at(self, bearing: float, radius: float) -> tuple[float, float]:
        """Where a bearing lies at a radius of the card."""
        turn = radians(bearing - self.up_deg)
        return SIDE / 2 + radius * sin(turn), SIDE / 2 - radius * cos(turn)

    def radius(self, yards: float) -> float:
        """How far out a distance is drawn."""
        return RADIUS * sqrt(min(yards / self.farthest, 1.0))


def range_sketch(place: SitPlace, tract: Tract, sit: str) -> tuple[Sketch, ...]:
    """The card of one sit; none where nothing is in reach and nothing is ruled out."""
    lines = [n for n in place.lines.values() if n.distance.known and n.bearing.known]
    if not lines:
        return ()
    far = max(n.distance.number() for n in lines) * 1.05
    dial = Dial(far, place.facing.number() if place.facing.known else 0.0)
    rings = list(_rings(dial))
    words = Words()
    free = _free(dial, lines)
    for yards, text in rings:
        words.ring(dial, yards, free, text)
    aims = [_aim(dial, n, words) for n in lines]
    ruled = list(_ruled(dial, place, words))
    suns = list(_suns(dial, place, tract, words))
    outlines = (
        *ruled, *(Outline(RING, (_circle(dial.radius(y)),), False) for y, _ in rings),
        *_lanes(dial, place), *suns, *aims,
    )  # fmt: skip
    base = View("", "", (), (Spot(place.kind, SIDE // 2, SIDE // 2),))
    told = say("sketch-card-up", way=f"{brief(place.facing)} {compass(place.facing)}")
    if not place.facing.known:
        told = say("sketch-card-north")
    view = View(say("sketch-card"), told, outlines, (), tuple(words.set), sit)
    held = {o.look: o.area for o in outlines}
    own = keys((k, "area" if held[k] else "line") for k in (AIM, ARM, LANE_OPEN, RULED, SUN)
               if k in held)  # fmt: skip
    return (
        Sketch(
            say("sketch-card"),
            SIDE,
            SIDE,
            -dial.up_deg % 360,
            None,
            base,
            (view,),
            own,
            _table(place),
        ),
    )


def _rings(dial: Dial) -> Iterator[tuple[float, str]]:
    unit, last = shown_unit("yd"), 0.0
    for n in RINGS:
        yards = convert(n, unit, "yd")
        if yards <= dial.farthest and dial.radius(yards) - last >= APART:
            last = dial.radius(yards)
            yield yards, f"{n} {symbol('yd')}"


def _free(dial: Dial, lines: list[RangeLine]) -> float:
    """The bearing that lies farthest from all lines, for the distances of the rings."""

    def room(bearing: float) -> float:
        return min(abs((bearing - n.bearing.number() + 180) % 360 - 180) for n in lines)

    return max((dial.up_deg + turn for turn in (180, 160, 200, 140, 220, 0, 20, 340)), key=room)


def _circle(radius: float) -> Run:
    turns = np.linspace(0, 2 * np.pi, 49)
    return tuple(
        n for t in turns for n in (round(SIDE / 2 + radius * sin(t)),
                                   round(SIDE / 2 - radius * cos(t)))
    )  # fmt: skip


def _aim(dial: Dial, line: RangeLine, words: Words) -> Outline:
    end = dial.at(line.bearing.number(), dial.radius(line.distance.number()))
    words.beyond(dial, line.bearing.number(), dial.radius(line.distance.number()),
                 f"{brief(line.distance)} {line.name}")  # fmt: skip
    start = SIDE // 2
    return Outline(ARM if len(line.within) > 1 else AIM, ((start, start, *map(round, end)),), False)


def _lanes(dial: Dial, place: SitPlace) -> Iterator[Outline]:
    """Each lane from its near end to its far one."""
    for key, end in place.lines.items():
        if not key.endswith("-end"):
            continue
        near = place.lines.get(key.removesuffix("-end"))
        ends = [
            dial.at(n.bearing.number(), dial.radius(n.distance.number()))
            for n in (near, end)
            if n is not None and n.bearing.known
        ]
        first = (SIDE / 2, SIDE / 2) if len(ends) < 2 else ends[0]
        yield Outline(LANE_OPEN, (tuple(round(v) for p in (first, ends[-1]) for v in p),), False)


def _ruled(dial: Dial, place: SitPlace, words: Words) -> Iterator[Outline]:
    """Directions ruled out as a band along the rim, each named by what rules it out."""
    found = [r for r in place.ruled_out.values() if isinstance(r.directions.value, Arcs)]
    bands = []
    for start, width in Arcs.of([s for r in found for s in r.directions.value.spans]).spans:
        turns = np.linspace(start, start + width, max(2, round(width / 5) + 1)).tolist()
        rim = [dial.at(t, RADIUS * RIM) for t in turns]
        inner = [dial.at(t, RADIUS) for t in reversed(turns)]
        bands.append(tuple(round(v) for p in (*rim, *inner) for v in p))
    if bands:
        yield Outline(RULED, tuple(bands), True)
    for one in found:
        for start, width in one.directions.value.spans:
            words.beyond(dial, start + width / 2, RADIUS * RIM, one.name)


def _suns(dial: Dial, place: SitPlace, tract: Tract, words: Words) -> Iterator[Outline]:
    """Where the sun comes up and goes down on the first of the days that the card tells."""
    days = [d for k, d in place.sun.items() if k != "today"] or list(place.sun.values())
    shape = GeometryCollection(
        [k.body.shape.geometry() for k in tract.places.values() if k.body.shape]
    )
    for day in days[:1]:
        for clock, word in ((day.sunrise, "sketch-sun-up"), (day.sunset, "sketch-sun-down")):
            if not isinstance(clock.value, datetime):
                continue
            stamp = np.datetime64(clock.value.astimezone(UTC).replace(tzinfo=None), "ms")
            sun = sun_position(np.array([stamp]), shape.centroid.x, shape.centroid.y)
            bearing = float(sun.azimuth_deg[0])
            ends = (dial.at(bearing, RADIUS * 0.62), dial.at(bearing, RADIUS * 1.2))
            yield Outline(SUN, (tuple(round(v) for p in ends for v in p),), False)
            words.beyond(dial, bearing, RADIUS * 1.2, say(word, clock=clock_text(clock.value)))


class Words:
    """Words on a card, each beyond what it names, pushed aside until it covers no other."""

    def __init__(self) -> None:
        self.set: list[Word] = []
        self._taken = [(SIDE / 2 - 30, SIDE / 2 - 30, SIDE / 2 + 30, SIDE / 2 + 30)]

    def ring(self, dial: Dial, yards: float, bearing: float, text: str) -> None:
        """The distance of a ring, where it crosses a bearing."""
        self._put(dial.at(bearing, dial.radius(yards)), text)

    def beyond(self, dial: Dial, bearing: float, radius: float, text: str) -> None:
        """Words beyond the end of a line: outward, else to and fro across it."""
        wide = LETTER * len(text) / 2
        east, south = (v - SIDE / 2 for v in dial.at(bearing, 1.0))
        x, y = dial.at(bearing, radius + 26)
        for step in range(40):
            out, side = 26.0 * (step % 5), (step // 5 + 1) // 2 * 40.0 * (-1) ** (step // 5)
            spot = (
                _inside(x + east * (out + wide * abs(east)) - south * side, wide),
                _inside(y + south * (out + LINE / 2) + east * side, LINE / 2),
            )
            if not any(_meet(_box(spot, text), other) for other in self._taken):
                break
        self._put(spot, text)

    def _put(self, spot: tuple[float, float], text: str) -> None:
        self._taken.append(_box(spot, text))
        self.set.append(Word(text, round(spot[0]), round(spot[1]), False))


def _box(spot: tuple[float, float], text: str) -> tuple[float, float, float, float]:
    wide = LETTER * len(text) / 2
    return spot[0] - wide, spot[1] - LINE / 2, spot[0] + wide, spot[1] + LINE / 2


def _meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _inside(at: float, half: float) -> float:
    return min(max(at, min(half, SIDE / 2)), SIDE - min(half, SIDE / 2))


def _table(place: SitPlace) -> Ruled:
    """What is in reach, each with its distance and direction."""
    rows = tuple(
        (n.name, brief(n.distance),
         Told(f"{brief(n.bearing)} {compass(n.bearing)}", n.bearing) if n.bearing.known else "",
         ", ".join(n.within))
        for n in place.lines.values()
    )  # fmt: skip
    return Ruled(columns("target+", "yards#", "bearing", "within", of="sit-"), rows)

"""When deer move: curves by the sun, how they overlap, moon and weather beside visits a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from math import pi
from operator import attrgetter
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure, formula_of, work_parts
from fencerow.plan.forage.series import Recipe
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Curve, Estimate, Overlap
from fencerow.plan.herd.numbers import origin_of
from fencerow.plan.herd.visits import apart, visits_of
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground import sun
from fencerow.science.herd import activity, harvest
from fencerow.tract.model import Kept
from fencerow.tract.pictured import Visit
from fencerow.words import Message, OutsideRange

HALVES = 48
_RISE_DEG = -0.8333
SIDES = (("bucks", "does"), ("earlier", "later"))


@dataclass(frozen=True)
class Times:
    """The times of visits by the sun [rad], of those of a kind."""

    given: Given

    @cached_property
    def visits(self) -> list[Kept[Visit]]:
        """Visits of deer, those that are one taken together."""
        return apart(v for v in visits_of(self.given) if _deer(v.body))

    @cached_property
    def hours(self) -> dict[str, float]:
        """The hour by the sun of each visit."""
        middle = Frame(self.given).middle
        if middle is None:
            return {}
        zone = ZoneInfo(self.given.tract.about.body.zone)
        lon, lat = (f.number() for f in middle)
        local = {v.id: v.body.began.astimezone(zone) for v in self.visits}
        days = sorted({at.date() for at in local.values()})
        sides = {
            side: dict(zip(days, sun.crossing_h(np.array(days, "datetime64[D]"), lon, lat,
                                                _RISE_DEG, side), strict=True))
            for side in (sun.RISING, sun.SETTING)
        }  # fmt: skip
        found = {}
        for id_, at in local.items():
            offset = at.utcoffset() or timedelta()
            off_h = offset.total_seconds() / 3600
            rise, set_ = (float(sides[s][at.date()]) + off_h for s in (sun.RISING, sun.SETTING))
            clock = at.hour + at.minute / 60 + at.second / 3600
            try:
                found[id_] = activity.sun_hour(clock, rise, set_)
            except OutsideRange:
                continue
        return found

    def of(self, kind: str) -> list[float]:
        """Times of all deer, of bucks or does alone, or of one half of the visits."""
        mine = [v for v in self.visits if v.id in self.hours]
        if kind in ("bucks", "does"):
            mine = [v for v in mine if getattr(v.body, kind)]
        elif kind == "earlier":
            mine = mine[: len(mine) // 2]
        elif kind == "later":
            mine = mine[len(mine) // 2 :]
        return [self.hours[v.id] / 12 * pi for v in mine]


def _deer(visit: Visit) -> bool:
    return any((visit.does, visit.bucks, visit.fawns, visit.unknown))


def curves(times: Times) -> dict[str, Curve]:
    """Of all deer, of bucks and of does; where there are few times, their number alone."""
    found = {}
    for kind in ("deer", "bucks", "does"):
        angles = times.of(kind)
        seen = _seen(times, kind, len(angles))
        name = Message.of(f"herd-curve-{kind}")
        if len(angles) < activity.LEAST:
            if angles:
                found[kind] = Curve(name, seen)
            continue
        at = (np.arange(HALVES) + 0.5) / HALVES * 2 * pi
        k = activity.concentration(angles)
        heights = activity.curve(at, angles, k) * (2 * pi / 24) * 100  # type: ignore[arg-type]
        recipe = Recipe(formula_of(activity.curve), {"height": {"seen": seen}})
        found[kind] = Curve(name, seen, tuple(float(h) for h in heights), recipe)
    return found


def _seen(times: Times, kind: str, count: int) -> Figure:
    origin = Entered("visits", f"times_of_{kind}", "counted", times.given.as_of)
    return Figure(float(count), "count", origin)


def overlaps(times: Times) -> dict[str, Overlap]:
    """Bucks beside does, the first half of the visits beside the second."""
    found = {}
    for first, second in SIDES:
        one, two = times.of(first), times.of(second)
        inputs = {first: _seen(times, first, len(one)), second: _seen(times, second, len(two))}
        if not one or not two:
            continue
        names = (Message.of(f"herd-curve-{first}"), Message.of(f"herd-curve-{second}"))
        try:
            parts = work_parts(activity.overlap, inputs, first_rad=one, second_rad=two,
                               seed=times.given.seed)  # fmt: skip
        except OutsideRange as error:
            nothing = Figure(None, "share", origin_of(activity.overlap, inputs), error.message)
            found[f"{first}-{second}"] = Overlap(*names, nothing, nothing, nothing)
            continue
        sides = [parts.figure(attrgetter(s), "share") for s in _SIDES]
        found[f"{first}-{second}"] = Overlap(*names, *sides)
    return found


_SIDES = ("likely", "low", "high")


def by_day(times: Times) -> Estimate | None:
    """How many of the visits begin between sunrise and sunset."""
    angles = times.of("deer")
    if not angles:
        return None
    light = sum(6 <= a * 12 / pi < 18 for a in angles)
    inputs = {
        "part": _seen(times, "deer_by_day", light),
        "whole": _seen(times, "deer", len(angles)),
    }
    parts = work_parts(harvest.part_of, inputs, part=light, whole=len(angles))
    likely, low, high = (parts.figure(attrgetter(s), "pct") for s in _SIDES)
    return Estimate(Message.of("herd-by-day"), Message.of("herd-of-visits"), likely, low, high,
                    Message.of("herd-by-day"))  # fmt: skip

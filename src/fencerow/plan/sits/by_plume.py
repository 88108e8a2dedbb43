"""The day's hours at the sits whose ground is known: by the plume, as season hours are judged.

An hour, a place and a wind have one answer: this asks `judging.judge` of the same spots, and tells
its chance with what fails first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from fencerow.figure import Figure, Parts, work_parts
from fencerow.plan.show import amount
from fencerow.plan.sits.air_hours import AirHours, in_leaf, month_and_day
from fencerow.plan.sits.day_wind import DayWind
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.rests_on import SEASON_ONLY, inputs_of
from fencerow.plan.sits.spots import Sat, Spots
from fencerow.plan.sits.wind_hour import WindHour
from fencerow.science.ground import judging
from fencerow.science.ground import sit_hours as judged
from fencerow.science.ground.grid import Floats, Index, Mask
from fencerow.science.ground.hour_classes import WAYS
from fencerow.science.ground.judging import OFFSETS, Why
from fencerow.science.ground.scent import Runs
from fencerow.words import Message

SKIES = (0.0, 1.0)
"""A clear sky and an overcast one: where cloud is not known, both are tried."""

FAILS = {
    Why.RIGHT: "evening-fails-none",
    Why.CALM: "evening-fails-calm",
    Why.TRAVEL: "evening-fails-travel",
    Why.SEEN: "evening-fails-seen",
}
EXPOSED = {
    "smelled": "evening-way-smelled", "seen": "evening-way-seen", "heard": "evening-way-heard",
}  # fmt: skip
"""What fails, and what a way in is exposed to longest, in words of the catalogue."""


@dataclass(frozen=True)
class PlumeDay:
    """A day's hours at all sits that are drawn, judged together."""

    frame: Frame
    ids: tuple[str, ...]
    season: Spots
    wind: DayWind
    wet: bool

    @cached_property
    def known(self) -> Mask:
        """The hours whose wind is known."""
        speed, way = self.wind.wind_m_s, self.wind.from_deg
        return np.asarray((speed == 0) | (np.isfinite(speed) & np.isfinite(way)))

    def hours(self, cloud: float | None = None) -> AirHours:
        """The hours with a known wind; where cloud is not known it is taken as given here."""
        assert self.frame.middle is not None, "what is drawn has a middle"
        lon, lat = (f.number() for f in self.frame.middle)
        rows = self.frame.given.tables["siting_settings"]
        if cloud is None:
            cloud = rows.row("cloud").figure("factor").number()
        middles, told = self.wind.middles[self.known], self.wind.cloud[self.known]
        speed = self.wind.wind_m_s[self.known]
        month, day = month_and_day(middles, lon)
        return AirHours(
            middles, lon, lat,
            np.where(speed > 0, np.nan_to_num(self.wind.from_deg[self.known]), 0.0),
            speed,
            np.where(np.isfinite(told), told, cloud),
            np.full(middles.size, np.inf),
            in_leaf(month, day, rows.row("leaves-on").text("month_day"),
                    rows.row("leaves-off").text("month_day")),
        )  # fmt: skip

    def at(self, cloud: float | None = None) -> Spots:
        """The sits in the hours of the day."""
        return self.season.on_day(self.hours(cloud), self.wet)

    @cached_property
    def spots(self) -> Spots:
        return self.at()

    @cached_property
    def by_sky(self) -> list[Floats]:
        """How likely each hour is right under a clear sky and an overcast one: sits by hours; none
        where cloud is told."""
        if np.isfinite(self.wind.cloud[self.known]).all():
            return []
        return [self.at(cloud).ledger.chance[Why.RIGHT] for cloud in SKIES]

    @property
    def limits(self) -> tuple[Figure, Figure]:
        """From which chance an hour is right, and below which it is left alone."""
        rows = self.frame.given.tables["siting_settings"]
        return rows.row("right").figure("factor"), rows.row("wanted").figure("factor")

    @cached_property
    def inputs(self) -> Mapping[str, Figure]:
        """What every answer of the day rests on."""
        scene, (right, least) = self.season.scene, self.limits
        of_ground = inputs_of(replace(scene, hours=None))
        kept = {n: f for n, f in of_ground.items() if n not in SEASON_ONLY}
        return {**self.wind.inputs, **kept, "right_share": right, "leave_share": least}

    def at_sit(self, sit: str, own: Mapping[str, Figure]) -> list[WindHour]:
        """How the hours stand at one sit."""
        spot, (right, least) = self.ids.index(sit), self.limits
        parts = work_parts(
            judged.chance_hours, {**own, **self.inputs},
            chance=self.spots.ledger.chance[:, spot], right_share=right.number(),
            leave_share=least.number(),
        )  # fmt: skip
        told = iter(self._told(spot, parts))
        unknown = WindHour(judged.UNKNOWN, Message.of("evening-unknown"), parts)
        return [next(told) if known else unknown for known in self.known]

    def _told(self, spot: int, parts: Parts[list[judged.ChanceHour]]) -> Iterator[WindHour]:
        for hour, found in enumerate(parts.result):
            chance = parts.figure(lambda _, share=found.chance: 100 * share, "pct")  # type: ignore[misc]
            yield WindHour(
                found.state, self._why(spot, hour, Why(found.why)), parts, chance,
                tuple(self._settles(spot, hour, found)),
            )  # fmt: skip

    def _why(self, spot: int, hour: int, why: Why) -> Message:
        """What fails first in an hour, in words."""
        if why in (Why.COVER, Why.FOOD):
            place = self._blamed(spot, hour, why)
            return Message.of("evening-scent-on", place=place)
        if why is Why.WAY_IN:
            return self._way_in(spot, hour)
        return Message.of(FAILS[why])

    def _way_in(self, spot: int, hour: int) -> Message:
        at = self.spots.hours
        assert at is not None, "the day has hours"
        air = int(at.way_air[hour]), int(at.way_sector[hour])
        way, by_sense = self.spots.way(spot, *air), self.spots.by_sense(spot, *air)
        if way is None:
            return Message.of("evening-no-way")
        minutes = Figure(way.exposed_min, "min", self.limits[0].origin)
        most = max(by_sense, key=lambda sense: by_sense[sense])
        return Message.of(EXPOSED[most], minutes=amount(minutes))

    def _blamed(self, spot: int, hour: int, why: Why) -> str:
        """The place that scent reaches most, over the directions that the wind may have."""
        runs, at = self.spots.runs, self.spots.classes[1]
        air, way = int(at.air[spot, hour]), int(at.way[spot, hour])
        group, labels = self.season.scene.groups[0 if why is Why.COVER else 1], self.labels
        total = np.zeros(len(self.names))
        for off, share in zip(OFFSETS, judging.wander(self._error), strict=True):
            cells = _covered(runs, air * WAYS + (way + off) % WAYS, self.spots.each[spot], group)
            total += share * np.bincount(labels[cells], group[cells], len(self.names))
        most = int(total[1:].argmax()) + 1 if total[1:].any() else 0
        return self.names[most]

    @property
    def _error(self) -> float:
        return self.season.scene.ground.setting("wind-error", "by_deg")

    @cached_property
    def names(self) -> list[str]:
        """Names of the places of cover and food, by the number that their squares carry."""
        places = self.frame.given.tract.places
        found = self.season.scene.ground.deer_places
        return ["", *(places[i].body.name for i in found)]

    @cached_property
    def labels(self) -> Index:
        """Which place each square of deer ground belongs to; 0 is none."""
        places = self.season.scene.ground.deer_places
        shape = self.season.scene.groups[0].shape
        found = np.zeros(shape, int)
        for number, weight in enumerate(places.values(), 1):
            found[weight > 0] = number
        return found

    def _settles(self, spot: int, hour: int, found: judged.ChanceHour) -> Iterator[Message]:
        """What one more input would settle an hour that is doubtful."""
        if found.state != judged.DOUBTFUL:
            return
        right, least = (f.number() - 1e-9 for f in self.limits)
        told = [float(sky[spot, hour]) for sky in self.by_sky]
        if any(share >= right or share < least for share in told):
            yield Message.of("evening-settle-sky")
        if Why(found.why) in (Why.COVER, Why.FOOD, Why.TRAVEL, Why.CALM):
            yield Message.of("evening-settle-drift")


def _covered(runs: Runs, k: int, cell: tuple[int, int], ground: Floats) -> Any:
    """The squares of the ground that scent from a cell reaches in a class of wind."""
    rows, columns = ground.shape
    found = np.zeros(ground.shape, bool)
    for n in range(int(runs.start[k]), int(runs.start[k + 1])):
        row = cell[0] + int(runs.down[n])
        if 0 <= row < rows:
            first, end = (cell[1] + int(part[n]) for part in (runs.first, runs.end))
            found[row, max(0, first) : max(0, min(columns, end))] = True
    return np.nonzero(found)


def plume_day(
    frame: Frame, sat: Sat | None, wind: DayWind | None, wet: bool = False
) -> PlumeDay | None:
    """The day by the plume; None where no ground or no wind is known."""
    if sat is None or sat.spots is None or wind is None:
        return None
    day = PlumeDay(frame, sat.ids, sat.spots, wind, wet)
    return day if day.known.any() else None

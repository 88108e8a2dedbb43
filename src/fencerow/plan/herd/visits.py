"""The visits of a survey as numbers: by camera, by round, by deer known by name."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import nan
from zoneinfo import ZoneInfo

from fencerow.figure import Entered, Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.science.herd import survey as ratios
from fencerow.tract.model import Kept
from fencerow.tract.pictured import Visit
from fencerow.tract.taken import Survey

CLASSES = ("bucks", "does", "fawns")


def visits_of(given: Given) -> list[Kept[Visit]]:
    """The visits by the day of the plan, the first first."""
    zone = ZoneInfo(given.tract.about.body.zone)
    found = [
        v
        for v in given.tract.visits.values()
        if v.body.began.astimezone(zone).date() <= given.as_of
    ]
    return sorted(found, key=lambda v: (v.body.began, v.id))


def heads(visit: Visit) -> int:
    """Deer of a visit that were told and that were not."""
    return sum(n or 0 for n in (visit.does, visit.bucks, visit.fawns, visit.unknown))


@dataclass(frozen=True)
class Rounds:
    """The visits that a survey is of."""

    given: Given
    survey: Kept[Survey]
    all_visits: tuple[Kept[Visit], ...]

    @cached_property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.given.tract.about.body.zone)

    @cached_property
    def last_on(self) -> date:
        """Its last day, or that of the plan while it goes on."""
        return min(self.survey.body.last_on, self.given.as_of)

    @cached_property
    def days(self) -> int:
        return max(0, (self.last_on - self.survey.body.first_on).days + 1)

    def day(self, visit: Visit) -> date:
        """The day on which a visit began, by the tract's clock."""
        return visit.began.astimezone(self.zone).date()

    @cached_property
    def visits(self) -> list[Kept[Visit]]:
        """Those of its cameras within its days."""
        body = self.survey.body
        return [
            v
            for v in self.all_visits
            if body.first_on <= self.day(v.body) <= self.last_on
            and (not body.cameras or v.body.camera in body.cameras)
        ]

    @cached_property
    def tagged(self) -> list[Kept[Visit]]:
        """Those that somebody has looked at."""
        return [v for v in self.visits if v.body.tagged]

    @cached_property
    def cameras(self) -> list[str]:
        """Its cameras; where none are named, all that had a visit within its days."""
        named = self.survey.body.cameras
        return sorted(named or {v.body.camera for v in self.visits})

    def at(self, camera: str) -> list[Kept[Visit]]:
        return [v for v in self.tagged if v.body.camera == camera]

    def counted(self, camera: str, name: str) -> Figure:
        """Deer of a class at the visits of one camera, all together."""
        total = sum(getattr(v.body, name) or 0 for v in self.at(camera))
        origin = Entered(f"visits-{self.survey.id}-{camera}", name, "counted", self.last_on)
        return Figure(float(total), "count", origin)

    @cached_property
    def by_camera(self) -> Mapping[str, list[Figure]]:
        """For each class, the count of each camera."""
        return {name: [self.counted(c, name) for c in self.cameras] for name in CLASSES}

    def total(self, name: str) -> Figure:
        """Deer of a class at all visits."""
        figures = self.by_camera[name]
        inputs = {f"{self.name(c)}": f for c, f in zip(self.cameras, figures, strict=True)}
        parts = work_parts(ratios.together, inputs, counts=[f.number() for f in figures])
        return parts.figure(float, "count")

    def name(self, camera: str) -> str:
        """What a camera is called."""
        kept = self.given.tract.places.get(camera)
        return kept.body.name if kept else camera

    @cached_property
    def rounds(self) -> int:
        """Whole rounds of the survey."""
        return self.days // self.survey.body.round_days

    def round(self, visit: Visit) -> int:
        return (self.day(visit) - self.survey.body.first_on).days // self.survey.body.round_days

    @cached_property
    def known(self) -> dict[str, set[int]]:
        """Deer known by name, and the rounds in which each was."""
        found: dict[str, set[int]] = defaultdict(set)
        for visit in self.tagged:
            at = self.round(visit.body)
            if at < self.rounds:
                for name in visit.body.animals:
                    found[name.casefold()].add(at)
        return dict(found)

    @cached_property
    def bucks(self) -> set[str]:
        """Names of deer on visits with a buck."""
        return {name.casefold() for v in self.tagged if v.body.bucks for name in v.body.animals}

    def most_at_once(self) -> list[list[float]]:
        """For each camera and round the most deer at one visit, so that none is counted twice.

        A round in which a visit is not tagged yet is not known.
        """
        rows = {c: [0.0] * self.rounds for c in self.cameras}
        for visit in self.visits:
            row, at = rows.get(visit.body.camera), self.round(visit.body)
            if row is None or at >= self.rounds:
                continue
            count = float(heads(visit.body)) if visit.body.tagged else nan
            row[at] = nan if nan in (row[at], count) or count != count else max(row[at], count)
        return list(rows.values())

    def of_all(self, name: str, value: float, unit: str = "count") -> Figure:
        """A number that the visits together say."""
        return Figure(
            value, unit, Entered(f"visits-{self.survey.id}", name, "counted", self.last_on)
        )


def apart(visits: Iterable[Kept[Visit]], least_min: float = 30.0) -> list[Kept[Visit]]:
    """Visits of one camera that began so long after the one before, so that they are not one."""
    last: dict[str, Visit] = {}
    found = []
    for visit in visits:
        before = last.get(visit.body.camera)
        if before is None or visit.body.began - before.began >= timedelta(minutes=least_min):
            last[visit.body.camera] = visit.body
            found.append(visit)
    return found

"""Tract: what a log comes to. Frozen; each thing remembers the entry that says it."""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from functools import cached_property
from typing import Any, Generic, TypeVar, cast

from shapely.geometry.base import BaseGeometry

from fencerow.figure import Entered, Figure
from fencerow.tract.applied import Application, Catch, Label
from fencerow.tract.bodies import (
    About,
    Arrival,
    Blend,
    Closing,
    Dataset,
    Deer,
    Done,
    Equipment,
    FieldVerdict,
    Hours,
    Material,
    Note,
    Permission,
    Person,
    Planting,
    Reach,
    Season,
    SeedLot,
    SoilTest,
)  # fmt: skip
from fencerow.tract.burning import BurnPrescription
from fencerow.tract.clipped import Clip
from fencerow.tract.counted import Count
from fencerow.tract.hands import Assignment, Crew
from fencerow.tract.outings import Outing
from fencerow.tract.paid import Paid
from fencerow.tract.pictured import Card, Visit
from fencerow.tract.places import PlaceBase, Plot, RightOfWay, Water
from fencerow.tract.sat import Sit
from fencerow.tract.scouted import Decision, Scouting
from fencerow.tract.signs import Drift, Sign
from fencerow.tract.taken import Duty, Harvest, Survey
from fencerow.tract.tried import Alternative, Spending
from fencerow.units import unit_of
from fencerow.words import Message

B = TypeVar("B", covariant=True)


@dataclass(frozen=True)
class Kept(Generic[B]):
    """A thing of the tract: its id, the entry that last said it, and what was said."""

    id: str
    entry: str
    body: B
    on: date | None = None
    visibility: str = "all"

    @cached_property
    def told(self) -> dict[str, Any]:
        """What has been told of it, by the teller's word; as it never changes, once is enough."""
        return {}

    def figure(self, name: str, how: str = "entered", unit: str | None = None) -> Figure:
        """A field as a figure of the record; None in the field is 'not known'."""
        value = getattr(self.body, name)
        found = unit_of(name) if unit is None else unit
        if unit is None and not isinstance(value, int | float) and not found:
            found = "text"
        reason = Message.of("not-entered", name=name) if value is None else None
        return Figure(value, found, Entered(self.entry, name, how, self.on), reason)


@dataclass(frozen=True)
class Conflict:
    """Two or more entries that each claim to be the latest word on a subject, or one unreadable."""

    subject: str
    entries: tuple[str, ...]
    message: Message


Things = Mapping[str, Kept[B]]


VISITS = ("visit", "seen", "weeds", "count", "photo")
"""What notes are about for which somebody was there."""
DEEP_IN = 4.0
"""A soil sample to less than this is one of the surface; the methods are made for 6 to 8 in."""


class Part(dict[str, Kept[Any]]):
    """The things of one kind; not changed once it is a tract's, so its digest is worked once."""

    @cached_property
    def digest(self) -> str:
        return hashlib.sha256(repr(self).encode()).hexdigest()


@dataclass(frozen=True)
class Tract:
    """The state of a tract; the mappings are by id, in id order."""

    about: Kept[About]
    places: Things[PlaceBase] = field(default_factory=dict)
    soil_tests: Things[SoilTest] = field(default_factory=dict)
    blends: Things[Blend] = field(default_factory=dict)
    plantings: Things[Planting] = field(default_factory=dict)
    seed_lots: Things[SeedLot] = field(default_factory=dict)
    arrivals: Things[Arrival] = field(default_factory=dict)
    materials: Things[Material] = field(default_factory=dict)
    equipment: Things[Equipment] = field(default_factory=dict)
    catches: Things[Catch] = field(default_factory=dict)
    labels: Things[Label] = field(default_factory=dict)
    applications: Things[Application] = field(default_factory=dict)
    people: Things[Person] = field(default_factory=dict)
    crew: Things[Crew] = field(default_factory=dict)
    assignments: Things[Assignment] = field(default_factory=dict)
    scoutings: Things[Scouting] = field(default_factory=dict)
    decisions: Things[Decision] = field(default_factory=dict)
    clips: Things[Clip] = field(default_factory=dict)
    cards: Things[Card] = field(default_factory=dict)
    visits: Things[Visit] = field(default_factory=dict)
    surveys: Things[Survey] = field(default_factory=dict)
    harvests: Things[Harvest] = field(default_factory=dict)
    duties: Things[Duty] = field(default_factory=dict)
    counts: Things[Count] = field(default_factory=dict)
    deer: Things[Deer] = field(default_factory=dict)
    alternatives: Things[Alternative] = field(default_factory=dict)
    spendings: Things[Spending] = field(default_factory=dict)
    paid: Things[Paid] = field(default_factory=dict)
    seasons: Things[Season] = field(default_factory=dict)
    closings: Things[Closing] = field(default_factory=dict)
    hours: Things[Hours] = field(default_factory=dict)
    reaches: Things[Reach] = field(default_factory=dict)
    sits: Things[Sit] = field(default_factory=dict)
    outings: Things[Outing] = field(default_factory=dict)
    signs: Things[Sign] = field(default_factory=dict)
    drifts: Things[Drift] = field(default_factory=dict)
    datasets: Things[Dataset] = field(default_factory=dict)
    notes: Things[Note] = field(default_factory=dict)
    verdicts: Things[FieldVerdict] = field(default_factory=dict)
    permissions: Things[Permission] = field(default_factory=dict)
    prescriptions: Things[BurnPrescription] = field(default_factory=dict)
    done: Things[Done] = field(default_factory=dict)
    conflicts: tuple[Conflict, ...] = ()

    def place(self, id_or_slug: str) -> Kept[PlaceBase] | None:
        """A place by its id or by the slug of its name."""
        return self.places.get(id_or_slug) or self.places.get(self.slugs().get(id_or_slug, ""))

    def outlines(self) -> list[BaseGeometry]:
        """Everything that is drawn, lon/lat."""
        return [k.body.shape.geometry() for k in self.places.values() if k.body.shape]

    def slugs(self) -> dict[str, str]:
        """Slug of a place's name -> its id; a second place of that name gets '-2', and so on."""
        return dict(self._slugs)

    @cached_property
    def _slugs(self) -> dict[str, str]:
        found: dict[str, str] = {}
        for kept in self.places.values():
            slug = base = slug_of(kept.body.name)
            number = 1
            while slug in found:
                number += 1
                slug = f"{base}-{number}"
            found[slug] = kept.id
        return found

    def plots(self) -> list[Kept[Plot]]:
        """The food plots, by name."""
        found = [cast(Kept[Plot], k) for k in self.places.values() if isinstance(k.body, Plot)]
        return sorted(found, key=lambda k: (k.body.name, k.id))

    def soil_test_of(self, place: str, as_of: date) -> Kept[SoilTest] | None:
        """The latest soil test of a place that was sampled by a day."""
        return next(iter(self.soil_tests_of(place, as_of)), None)

    def soil_tests_of(self, place: str, as_of: date) -> list[Kept[SoilTest]]:
        """The soil tests of a place on the latest day by a day; of that day the last first.

        A sample of the surface alone watches its acidity, and stands for the ground only where
        there is no other.
        """
        tests = [t for t in self._tests.get(place, ()) if t.body.sampled_on <= as_of]
        tests = [t for t in tests if (t.body.depth_in or DEEP_IN) >= DEEP_IN] or tests
        latest = max((t.body.sampled_on for t in tests), default=None)
        found = [t for t in tests if t.body.sampled_on == latest]
        return sorted(found, key=lambda t: t.id, reverse=True)

    def plantings_of(self, place: str) -> list[Kept[Planting]]:
        """The plantings of a place, in order of sowing."""
        return list(self._plantings.get(place, ()))

    def digest(self, name: str) -> str:
        """A digest of one field: another as soon as anything in it is."""
        part = getattr(self, name)
        if isinstance(part, Mapping):
            return part.digest if isinstance(part, Part) else Part(part).digest
        return hashlib.sha256(repr(part).encode()).hexdigest()

    @cached_property
    def _tests(self) -> dict[str, list[Kept[SoilTest]]]:
        found = defaultdict[str, list[Kept[SoilTest]]](list)
        for test in self.soil_tests.values():
            found[test.body.place].append(test)
        return found

    @cached_property
    def _plantings(self) -> dict[str, list[Kept[Planting]]]:
        found = defaultdict[str, list[Kept[Planting]]](list)
        for planting in sorted(self.plantings.values(), key=lambda p: (p.body.sow_on, p.id)):
            found[planting.body.place].append(planting)
        return found

    @cached_property
    def rain(self) -> Things[Note]:
        """The notes of rain alone: what a gauge held."""
        return Part({i: n for i, n in self.notes.items() if n.body.about == "rain"})

    @cached_property
    def rain_judged(self) -> Things[Note]:
        """The notes of rain up to the last verdict: none that comes later changes a limit."""
        last = max((v.body.on for v in self.verdicts.values()), default=date.min)
        return Part({i: n for i, n in self.rain.items() if n.on is not None and n.on <= last})

    @cached_property
    def caged(self) -> Things[Note]:
        """The notes of cages alone: what was weighed inside or outside."""
        counts = {i: n for i, n in self.notes.items() if n.body.about == "count"}
        return Part({i: n for i, n in counts.items() if n.body.unit.strip().startswith("lb/ac ")})

    @cached_property
    def counted(self) -> Things[Note]:
        """The notes of counts alone, as they were entered before each throw was kept."""
        return Part({i: n for i, n in self.notes.items() if n.body.about == "count"})

    @cached_property
    def pictured(self) -> Things[Note]:
        """The notes with a photo alone."""
        return Part({i: n for i, n in self.notes.items() if n.body.photo and n.body.place})

    @cached_property
    def seedlings(self) -> Things[Count]:
        """The counts of seedlings in frames alone: the ones that say how much will grow."""
        of_frames = (c for c in self.counts.items() if c[1].body.method == "seedlings in frames")
        return Part(dict(of_frames))

    @cached_property
    def winds(self) -> Things[Note]:
        """The notes of wind alone: what the person says that it does on a day."""
        return Part({i: n for i, n in self.notes.items() if n.body.about == "wind"})

    @cached_property
    def sky(self) -> Things[Note]:
        """The notes of wind and of rain: what the person says of a day's weather."""
        return Part({i: n for i, n in self.notes.items() if n.body.about in ("wind", "rain")})

    @cached_property
    def visited(self) -> Things[Note]:
        """The notes of a place for which somebody was there."""
        found = self.notes.items()
        return Part({i: n for i, n in found if n.body.place and n.body.about in VISITS})

    @cached_property
    def rain_past(self) -> Things[Note]:
        """The notes of rain of the years before that of the latest one: none of a year that goes on
        changes what past years were."""
        last = max((n.on for n in self.rain.values() if n.on is not None), default=date.min)
        found = self.rain.items()
        return Part({i: n for i, n in found if n.on is not None and n.on.year < last.year})

    @cached_property
    def waters(self) -> list[Kept[Water]]:
        """The waters that are drawn."""
        found = [k for k in self.places.values() if isinstance(k.body, Water) and k.body.shape]
        return cast(list[Kept[Water]], found)

    @cached_property
    def rights_of_way(self) -> list[Kept[RightOfWay]]:
        """The rights-of-way that are drawn."""
        found = [k for k in self.places.values() if isinstance(k.body, RightOfWay) and k.body.shape]
        return cast(list[Kept[RightOfWay]], found)


FIELD_OF_KIND: dict[str, str] = {
    "about": "about",
    "place": "places",
    "soil-test": "soil_tests",
    "blend": "blends",
    "planting": "plantings",
    "seed-lot": "seed_lots",
    "arrival": "arrivals",
    "material": "materials",
    "equipment": "equipment",
    "catch": "catches",
    "label": "labels",
    "application": "applications",
    "person": "people",
    "crew": "crew",
    "assignment": "assignments",
    "scouting": "scoutings",
    "decision": "decisions",
    "clip": "clips",
    "card": "cards",
    "visit": "visits",
    "survey": "surveys",
    "harvest": "harvests",
    "duty": "duties",
    "count": "counts",
    "deer": "deer",
    "alternative": "alternatives",
    "spending": "spendings",
    "paid": "paid",
    "season": "seasons",
    "closing": "closings",
    "hours": "hours",
    "reach": "reaches",
    "sit": "sits",
    "outing": "outings",
    "sign": "signs",
    "drift": "drifts",
    "dataset": "datasets",
    "note": "notes",
    "verdict": "verdicts",
    "permission": "permissions",
    "burn-prescription": "prescriptions",
    "done": "done",
}
assert set(FIELD_OF_KIND.values()) == {f.name for f in fields(Tract)} - {"conflicts"}


def slug_of(name: str) -> str:
    """A name as it stands in a path: 'North Bench' -> 'north-bench'."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "place"


def empty_body() -> Any:
    """What stands for the tract itself before anything has been said about it."""
    return About(name="Unnamed tract")

"""What depends on what: each planner declares the parts that it reads, and can see no others.

A step's key is a digest of those parts, the tables, the day and the method's version. The same key
means the same answer, so an edit recomputes only what it touches; and because the parts that a
step did not declare are emptied before it runs, a forgotten declaration shows at once.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, MutableMapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import Any

from fencerow.data import Tables
from fencerow.data.system import System
from fencerow.data.systems import systems
from fencerow.plan.section import Section
from fencerow.science.ground.grid import LocalGrid
from fencerow.science.ground.grown import Grown
from fencerow.science.weather.forecast import Forecast, Forecasts
from fencerow.science.weather.series import DailySeries, HourlySeries
from fencerow.tract.model import Tract


@dataclass(frozen=True)
class Given:
    """All that a plan is made from."""

    tract: Tract
    tables: Tables
    as_of: date
    systems: Mapping[str, System] = field(default_factory=systems)
    grid: LocalGrid | None = None
    grown: Grown | None = None
    daily: DailySeries | None = None
    hourly: HourlySeries | None = None
    forecast: Forecast | None = None
    forecasts: Forecasts | None = None
    seed: int = 0


PARTS_OF = {
    "rain_judged": "notes", "rain_past": "notes", "rain": "notes", "caged": "notes",
    "winds": "notes", "sky": "notes", "visited": "notes", "counted": "notes", "pictured": "notes",
    "seedlings": "counts",
}  # fmt: skip
"""What is read of a part of the tract alone, and the part that it is of."""
SERIES = ("grid", "grown", "daily", "hourly", "forecast", "forecasts")


Planner = Callable[[Given, Mapping[str, Section]], Section]
Cache = MutableMapping[str, Section]


class Recent(dict[str, Section]):
    """A cache that lets go of what was asked for longest ago."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self._most = most

    def get(self, key: str, default: Any = None) -> Any:
        """What is kept by a key, which makes it the last to go."""
        if key in self:
            self[key] = self.pop(key)
        return super().get(key, default)

    def __setitem__(self, key: str, section: Section) -> None:
        super().__setitem__(key, section)
        while len(self) > self._most:
            del self[next(iter(self))]


@dataclass(frozen=True)
class Step:
    """One planner, the parts of the tract that it reads, what else it reads, what comes before."""

    id: str
    reads: tuple[str, ...]
    planner: Planner
    after: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    version: int = 1
    often: bool = False
    """Whether any note may change it: what is told of the other sections is kept apart from it."""


def run(steps: tuple[Step, ...], given: Given, cache: Cache) -> tuple[dict[str, Section], str]:
    """Every section, in the order of the steps, from the cache where nothing has changed.

    With them comes a key to what is told of those that change seldom: it is another as soon as one
    of them may be.
    """
    sections: dict[str, Section] = {}
    keys: dict[str, str] = {}
    for step in steps:
        key = keys[step.id] = _key(step, given, [keys[a] for a in step.after])
        found = cache.get(key)
        if found is None:
            seen = only(step, given)
            cache[key] = found = step.planner(seen, {a: sections[a] for a in step.after})
        sections[step.id] = found
    seldom = {step.id: keys[step.id] for step in steps if not step.often}
    return sections, hashlib.sha256(repr(seldom).encode()).hexdigest()


def only(step: Step, given: Given) -> Given:
    """What the step declared that it reads, and nothing else."""
    hidden: dict[str, Any] = {
        f.name: () if f.name == "conflicts" else {}
        for f in fields(Tract)
        if f.name not in (*step.reads, "about")
    }
    for part, whole in PARTS_OF.items():
        if part in step.reads and whole not in step.reads:
            hidden[whole] = hidden[whole] | getattr(given.tract, part)
    unused: dict[str, Any] = {name: None for name in SERIES if name not in step.uses}
    return replace(given, tract=replace(given.tract, **hidden), **unused)


def _key(step: Step, given: Given, before: list[str]) -> str:
    read = [getattr(given, name) for name in SERIES if name in step.uses]
    parts = [
        step.id, step.version, before, given.as_of, given.seed, given.tables.digest,
        {name: system.digest for name, system in given.systems.items()},
        [None if s is None else s.digest for s in read],
        [given.tract.digest(name) for name in ("about", *step.reads)],
    ]  # fmt: skip
    return hashlib.sha256(repr(parts).encode()).hexdigest()

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
    daily: DailySeries | None = None
    hourly: HourlySeries | None = None
    seed: int = 0


SERIES = ("grid", "daily", "hourly")


Planner = Callable[[Given, Mapping[str, Section]], Section]
Cache = MutableMapping[str, Section]


@dataclass(frozen=True)
class Step:
    """One planner, the parts of the tract that it reads, what else it reads, what comes before."""

    id: str
    reads: tuple[str, ...]
    planner: Planner
    after: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    version: int = 1


def run(steps: tuple[Step, ...], given: Given, cache: Cache | None = None) -> dict[str, Section]:
    """Every section, in the order of the steps, from the cache where nothing has changed."""
    sections: dict[str, Section] = {}
    keys: dict[str, str] = {}
    for step in steps:
        key = keys[step.id] = _key(step, given, [keys[a] for a in step.after])
        found = None if cache is None else cache.get(key)
        if found is None:
            seen = _only(step, given)
            found = step.planner(seen, {a: sections[a] for a in step.after})
            if cache is not None:
                cache[key] = found
        sections[step.id] = found
    return sections


def _only(step: Step, given: Given) -> Given:
    """What the step declared that it reads, and nothing else."""
    hidden: dict[str, Any] = {
        f.name: () if f.name == "conflicts" else {}
        for f in fields(Tract)
        if f.name not in (*step.reads, "about")
    }
    unused: dict[str, Any] = {name: None for name in SERIES if name not in step.uses}
    return replace(given, tract=replace(given.tract, **hidden), **unused)


def _key(step: Step, given: Given, before: list[str]) -> str:
    seen = _only(step, given)
    series = [seen.grid, seen.daily, seen.hourly]
    parts = [
        step.id, step.version, before, seen.as_of, seen.seed, seen.tables.digest, seen.systems,
        [None if s is None else s.digest for s in series], seen.tract,
    ]  # fmt: skip
    return hashlib.sha256(repr(parts).encode()).hexdigest()

"""Plan: all sections for a tract on a day, as figures and as JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cached_property
from typing import Any, TypeVar

from fencerow import __version__
from fencerow.data import sources
from fencerow.manner import Manner, shown_in
from fencerow.plan.closed_ground.closings import closed
from fencerow.plan.closed_ground.disturbance import disturbance_section
from fencerow.plan.closed_ground.events import READS as DONE_PARTS
from fencerow.plan.closed_ground.inout import inout_section
from fencerow.plan.closed_ground.inside import inside_section
from fencerow.plan.compare.planner import compare
from fencerow.plan.counts.planner import counts_section
from fencerow.plan.forage import forage
from fencerow.plan.graph import SERIES, Cache, Given, Step, only, run
from fencerow.plan.ground import ground
from fencerow.plan.herd import duties_section, herd_section, taken_section
from fencerow.plan.learning.planner import learned
from fencerow.plan.nodes import SCHEMA_VERSION, Nodes, leaves, message_json
from fencerow.plan.nutrition import nutrition
from fencerow.plan.order import applied, blends, buy, order, sampling, settings
from fencerow.plan.section import Said, Section
from fencerow.plan.sits import sits
from fencerow.plan.sits.cameras import cameras_section
from fencerow.plan.sits.evening import evening_section
from fencerow.plan.sits.footprints import footprints_section
from fencerow.plan.sits.rest import rest_section
from fencerow.plan.sits.scrapes import scrapes_section
from fencerow.plan.sits.siting import siting_section
from fencerow.plan.tally import (
    money_section,
    next_section,
    sat_section,
    tally_section,
    worked_section,
    years_section,
)
from fencerow.plan.tally_cameras import cards_section
from fencerow.plan.work import (
    burn_section,
    coming_section,
    gauge_section,
    scorecard_section,
    scout,
    today_section,
    verdicts_section,
    weeks_section,
    work_section,
)
from fencerow.plan.work.chart import chart_section
from fencerow.plan.work.helpers import helpers_section
from fencerow.plan.year import year
from fencerow.tract.model import slug_of
from fencerow.words import BadInput, Language, spoken_in

_PLOT_PARTS = ("places", "soil_tests", "permissions", "plantings", "blends", "equipment")
_ORDER_PARTS = ("permissions", "equipment", "materials", "seed_lots", "arrivals")
_FORAGE_PARTS = ("places", "soil_tests", "plantings", "blends", "deer", "seasons")
STEPS: tuple[Step, ...] = (
    Step("ground", ("places", "soil_tests", "permissions"), ground, uses=("grid",)),
    Step("order", (*_PLOT_PARTS, "materials", "seed_lots", "arrivals"), order, after=("ground",)),
    Step(
        "blends",
        ("places", "plantings", "blends", "seed_lots", "arrivals", "labels", "applications"),
        blends,
        after=("order",),
        uses=("daily",),
    ),
    Step("buy", (*_PLOT_PARTS, "materials", "seed_lots", "arrivals"), buy, after=("order",)),
    Step(
        "settings",
        (*_PLOT_PARTS, "materials", "labels", "catches"),
        settings,
        after=("order", "buy"),
    ),
    Step(
        "applied",
        ("places", "permissions", "materials", "equipment", "people", "labels", "applications"),
        applied,
    ),
    Step(
        "sampling",
        ("places", "soil_tests", "plantings", "blends"),
        sampling,
        after=("ground",),
    ),
    Step(
        "learned",
        (*_FORAGE_PARTS, "clips", "caged", "scoutings", "seedlings"),
        learned,
        after=("ground",),
        uses=("daily",),
    ),
    Step("forage", _FORAGE_PARTS, forage, after=("ground", "learned"), uses=("daily",)),
    Step("nutrition", (), nutrition, after=("forage",)),
    Step(
        "compare",
        (*_FORAGE_PARTS, *_ORDER_PARTS, "alternatives", "spendings"),
        compare,
        after=("ground", "order", "learned", "forage"),
        uses=("daily",),
    ),
    Step(
        "verdicts",
        ("places", "soil_tests", "verdicts", "rain_judged"),
        verdicts_section,
        uses=("daily",),
    ),
    Step(
        "work",
        (
            *_PLOT_PARTS,
            "labels",
            "people",
            "crew",
            "closings",
            "applications",
            "scoutings",
            "counts",
            "decisions",
            "rain_past",
        ),
        work_section,
        after=("order", "buy", "verdicts"),
        uses=("daily",),
    ),
    Step(
        "today",
        ("places", "soil_tests", "verdicts", "rain", "done", "materials"),
        today_section,
        after=("verdicts", "work"),
        uses=("daily", "forecast"),
        often=True,
    ),
    Step(
        "score",
        ("places", "soil_tests", "plantings", "verdicts", "rain", "done"),
        scorecard_section,
        uses=("daily", "forecasts"),
        often=True,
    ),
    Step(
        "hours",
        (*_PLOT_PARTS, "labels", "done"),
        coming_section,
        after=("order", "work", "today"),
        uses=("forecast",),
        often=True,
    ),
    Step(
        "burn",
        ("places", "permissions", "prescriptions", "rain"),
        burn_section,
        uses=("daily", "forecast"),
        often=True,
    ),
    Step(
        "weeks",
        ("places", "soil_tests", "rain_past"),
        weeks_section,
        after=("verdicts",),
        uses=("daily",),
    ),
    Step("gauge", ("notes",), gauge_section, often=True),
    Step(
        "sits",
        ("places", "seasons", "hours", "reaches"),
        sits,
        uses=("grid", "hourly"),
    ),
    Step(
        "siting",
        ("places", "seasons", "hours", "reaches", "closings", "signs", "drifts"),
        siting_section,
        uses=("grid", "grown", "hourly"),
    ),
    Step(
        "scrapes",
        ("places", "closings", "permissions"),
        scrapes_section,
        after=("sits", "siting"),
    ),
    Step("cameras", ("places", "seasons", "permissions"), cameras_section, after=("siting",)),
    Step("rest", DONE_PARTS, rest_section, after=("work",), often=True),
    Step("disturbance", DONE_PARTS, disturbance_section, after=("work",), often=True),
    Step(
        "evening",
        ("places", "seasons", "hours", "closings", "sits", "sky", "people", "assignments"),
        evening_section,
        after=("work", "sits", "siting", "rest"),
        uses=("forecast",),
        often=True,
    ),
    Step("closed", ("places", "closings", "people", "seasons"), closed),
    Step(
        "inout",
        ("places", "sits", "outings", "people", "assignments", "closings"),
        inout_section,
        after=("work", "sits"),
        often=True,
    ),
    Step(
        "herd",
        ("places", "cards", "visits", "surveys", "deer"),
        herd_section,
        uses=("daily", "hourly"),
    ),
    Step("taken", ("places", "harvests", "sits"), taken_section, after=("herd",)),
    Step("duties", ("places", "harvests", "duties"), duties_section),
    Step(
        "footprints",
        ("places", "seasons", "hours", "closings", "sky"),
        footprints_section,
        after=("sits", "siting"),
        uses=("forecast",),
        often=True,
    ),
    Step(
        "scout",
        (*_PLOT_PARTS, "labels", "applications", "scoutings", "counts", "decisions"),
        scout,
        after=("order", "work"),
    ),
    Step(
        "counts",
        (
            "places",
            "plantings",
            "blends",
            "closings",
            "scoutings",
            "counts",
            "counted",
            "clips",
            "pictured",
        ),
        counts_section,
        after=("order", "learned", "scout"),
    ),
    Step(
        "year",
        ("done",),
        year,
        after=("order", "buy", "sampling", "closed", "work", "scout", "counts", "duties"),
    ),
    Step(
        "inside",
        ("places", "closings", "done"),
        inside_section,
        after=("order", "work", "weeks", "sits", "siting", "closed", "year"),
    ),
    Step(
        "chart",
        ("places", "plantings", "done"),
        chart_section,
        after=("order", "work", "year"),
    ),
    Step(
        "helpers",
        ("places", "materials", "labels", "people", "assignments", "done"),
        helpers_section,
        after=("order", "settings", "work", "year"),
    ),
    Step("cards", ("places", "cards", "visits"), cards_section, often=True),
    Step(
        "tally",
        (*_PLOT_PARTS, "materials", "labels", "closings", "applications", "notes", "done", "clips"),
        tally_section,
        after=("order", "buy", "work", "year"),
        often=True,
    ),
    Step(
        "money",
        (
            *_PLOT_PARTS,
            "materials",
            "labels",
            "people",
            "closings",
            "applications",
            "paid",
            "done",
        ),
        money_section,
        after=("ground", "order", "buy", "forage", "work"),
        often=True,
    ),
    Step(
        "worked",
        ("places", "plantings", "blends", "paid", "notes"),
        worked_section,
        after=("learned", "scout", "tally", "money"),
        often=True,
    ),
    Step(
        "sat",
        ("places", "sits", "people", "notes"),
        sat_section,
        after=("sits", "siting"),
        uses=("forecasts",),
        often=True,
    ),
    Step(
        "next",
        (
            *_PLOT_PARTS,
            *_ORDER_PARTS,
            "labels",
            "applications",
            "seasons",
            "closings",
            "hours",
            "deer",
        ),
        next_section,
        after=("buy", "sampling", "learned", "scrapes", "money", "worked"),
        often=True,
    ),
    Step(
        "years",
        ("plantings", "sits", "clips", "paid", "done"),
        years_section,
        after=("ground", "learned", "money", "sat"),
        uses=("daily",),
        often=True,
    ),
)

OFTEN = frozenset(step.id for step in STEPS if step.often)
SELDOM = Step(
    "seldom",
    tuple(dict.fromkeys(part for s in STEPS if not s.often for part in s.reads)),
    ground,
    uses=SERIES,
)
"""Every part of the tract that a step reads whose section changes seldom."""
T = TypeVar("T")


@dataclass(frozen=True)
class Plan:
    """What the planners say of a tract on a day."""

    given: Given
    sections: Mapping[str, Section]
    told: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)
    """What has been told of the sections that change seldom; plans with the same ones share it."""

    def tell(self, name: str, make: Callable[[Plan], T]) -> T:
        """What `make` tells of the sections that change seldom, once; it sees these alone, and no
        more of the tract than their planners could."""
        if name not in self.told:
            seldom = {i: s for i, s in self.sections.items() if i not in OFTEN}
            given = only(SELDOM, self.given)
            self.told[name] = make(replace(self, given=given, sections=seldom))
        found: T = self.told[name]
        return found

    @cached_property
    def nodes(self) -> Nodes:
        """The figures of the plan, by path."""
        seldom = self.tell("nodes", lambda plan: Nodes(plan.sections))
        often = {i: s for i, s in self.sections.items() if i in OFTEN}
        return seldom.beside(often) if often else seldom

    @cached_property
    def aliases(self) -> dict[str, str]:
        """Slugs that a person types for the ids in a path; of two alike, the first by id."""
        tract, found = self.given.tract, dict(self.given.tract.slugs())
        kinds = (tract.materials, tract.seed_lots, tract.equipment, tract.labels)
        named = [(k.body.name, k.id) for things in kinds for k in things.values()]
        for kept in tract.plantings.values():
            blend = tract.blends.get(kept.body.blend)
            if blend is not None:
                named.append((f"{blend.body.name} {kept.body.sow_on.year}", kept.id))
        for name, id_ in named:
            found.setdefault(slug_of(name), id_)
        return found

    def path(self, typed: str) -> str:
        """The permanent path for a path as a person types it, slugs for ids.

        Raises:
            BadInput: no figure stands there; the message names near ones.
        """
        # a permanent path may hold a word that is also a slug: a plant's key, and a lot of its seed
        written = typed.strip()
        slugs_read = ".".join(self.aliases.get(p, p) for p in written.split("."))
        for path in (written, slugs_read):
            if path in self.nodes:
                return path
        raise BadInput("why-no-path", path=typed, near=", ".join(self._near(typed)) or "none")

    def _near(self, typed: str) -> list[str]:
        """The paths of shown figures that are spelled most like one, with slugs for ids."""
        slugs = {v: k for k, v in self.aliases.items()}
        shown = [path for s in self.sections.values() for path, _ in leaves(s.body, s.id)]
        spelled = [".".join(slugs.get(part, part) for part in path.split(".")) for path in shown]
        return get_close_matches(typed, spelled, n=6, cutoff=0.4)

    def said(self) -> list[Said]:
        """Everything the planners have to say, each sentence once."""
        return list(dict.fromkeys(s for section in self.sections.values() for s in section.said))

    def as_json(self) -> dict[str, Any]:
        """The plan as JSON values: flat nodes, inputs as references, full precision.

        It is in the trade's units and in English, whatever the person reads in.
        """
        with shown_in(Manner.US), spoken_in(Language.ENGLISH):
            return self._as_json()

    def _as_json(self) -> dict[str, Any]:
        nodes = self.nodes.as_json()
        cited = dict.fromkeys(s for node in nodes.values() for s in node["sources"])
        return {
            "schema_version": SCHEMA_VERSION,
            "fencerow": __version__,
            "tract": {"name": self.given.tract.about.body.name, "story": self._story},
            "as_of": self.given.as_of.isoformat(),
            "tables": {"digest": self.given.tables.digest, "own": list(self.given.tables.own)},
            "aliases": self.aliases,
            "sections": {i: self.nodes.tree(s.body, i) for i, s in self.sections.items()},
            "said": [said_json(i, s) for i, sec in self.sections.items() for s in sec.said],
            "nodes": nodes,
            "sources": {i: _source_json(i) for i in cited},
        }

    @property
    def _story(self) -> str:
        return str(self.given.tract.about.body.story)


def make_plan(given: Given, cache: Cache | None = None) -> Plan:
    """Plan a tract for a day; with a cache, only what has changed is worked again.

    It is one plan for readers of any language: what it names is in English until it is said.
    """
    cache = {} if cache is None else cache
    with spoken_in(Language.ENGLISH):
        sections, key = run(STEPS, given, cache)
    return Plan(given, sections, cache.setdefault(key, Section("told", {})).body)


def said_json(section: str, said: Said) -> dict[str, Any]:
    """One sentence of a planner's as JSON values."""
    return {
        "section": section,
        "weight": said.weight.value,
        "about": said.about,
        "entries": list(said.entries),
        **message_json(said.message),
    }


def _source_json(source: str) -> dict[str, str]:
    found = sources()[source]
    return {"cited": found.cited, "where": found.where, "note": found.note}

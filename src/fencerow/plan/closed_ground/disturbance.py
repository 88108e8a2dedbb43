"""Disturbance: what is left of all that was done, on each part of the ground, week by week.

The model is that of rest (`science/herd/rest.py`), with its rows `rest_settings`: each thing done
has a weight, counts on the share of a part that lies near it, and fades by one half-life.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import Figure, Parts, assume, formula_of, work, work_parts
from fencerow.plan.closed_ground.events import Event, events_of
from fencerow.plan.forage.series import Recipe
from fencerow.plan.graph import Given
from fencerow.plan.ground import AREAS, in_order, kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import year_of
from fencerow.science.ground.measure import as_geometry
from fencerow.science.ground.near import share_near, surely_apart
from fencerow.science.herd import rest as resting
from fencerow.science.seed.rotation import days_between
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, NativeGrass, PlaceBase, Plot, Timber

PARTS = (Cover, NativeGrass, Timber, Plot)
WEEKS, WEEK_DAYS = 52, 7
HALF_LIVES = 8
"""What is older than so many half-lives is told no more; it has faded to nothing that counts."""


@dataclass(frozen=True)
class Done:
    """Something that was done: what, where, when, the share of the part near it, what is left."""

    what: str
    where: str
    on: Figure
    near: Figure
    left: Figure


@dataclass(frozen=True)
class WeekSeries:
    """The mean disturbance of each week of the tract's year and of the year before, where the
    record holds one. Weeks to come only fade."""

    this: tuple[float, ...]
    before: tuple[float, ...]
    recipe: Recipe

    def figure(self, week: int, case: str = "this") -> Figure:
        """One week as a figure with its working; weeks count from 0.

        Raises:
            IndexError: there is no such week, or the record holds no year before.
        """
        value = getattr(self, case)[week]
        parts = Parts(self, self.recipe.formula, self.recipe.inputs[case])
        return parts.figure(lambda _: value, "share")


@dataclass(frozen=True)
class PartDisturbed:
    """One part of the ground: now, in a week if nobody goes in, and on this day a year ago where
    the record goes so far back."""

    name: str
    kind: str
    now: Figure
    week: Figure
    before: Figure | None
    after: Mapping[str, Done]
    weeks: WeekSeries

    def most(self) -> float:
        """The most disturbed week of the two years."""
        return max((*self.weeks.this, *self.weeks.before))


@dataclass(frozen=True)
class Disturbed:
    """The parts of the ground, the first day of the weeks, the half-life that is taken, and in how
    many hours deer were back by each study."""

    starts: date
    half_life: Figure
    parts: Mapping[str, PartDisturbed] = field(default_factory=dict)
    record: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True)
class _Reached:
    """An event that reaches a part, and how much it weighs there."""

    event: Event
    near: Figure
    weight: Figure


def disturbance_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """How disturbed each part of the ground is. Reads all in which something was done."""
    start = year_of(given.tract, given.as_of)[0]
    events = events_of(given, earlier["work"].body.jobs)
    grounds = _grounds(events)
    parts = {
        kept.id: _part(given, start, kept, _reached(given, kept, grounds))
        for kept in in_order(given.tract)
        if isinstance(kept.body, PARTS) and kept.body.shape and kept.body.shape.type in AREAS
    }
    said = []
    if parts and events:
        said = [Said.of(Weight.DOUBT, "disturbance", "disturb-judged"),
                Said.of(Weight.NOTE, "disturbance", "disturb-ways")]  # fmt: skip
        undrawn = sorted({e.where for e in events if e.shape is None})
        if undrawn:
            said.append(Said.of(Weight.ASK, "disturbance", "disturb-undrawn",
                                places=", ".join(undrawn)))  # fmt: skip
    elif parts:
        said = [Said.of(Weight.NOTE, "disturbance", "disturb-nothing")]
    half_life = given.tables["rest_settings"].row("half-life").figure("after_days")
    record = {row.key: row.figure("until_h") for row in given.tables["return_on_record"]}
    return Section("disturbance", Disturbed(start, half_life, parts, record), tuple(said))


@dataclass
class _Ground:
    """Ground that was gone to: its outline, the box around it, and what was done there."""

    shape: Figure
    box: tuple[float, ...]
    events: list[Event] = field(default_factory=list)


def _grounds(events: list[Event]) -> list[_Ground]:
    found: dict[str, _Ground] = {}
    for event in events:
        if event.shape is not None:
            if event.ground not in found:
                box = as_geometry(event.shape.value).bounds
                found[event.ground] = _Ground(event.shape, box)
            found[event.ground].events.append(event)
    return list(found.values())


def _reached(given: Given, part: Kept[PlaceBase], grounds: list[_Ground]) -> list[_Reached]:
    """The events that reach a part, by day. Ground that is gone to often is measured once, and only
    where it may be near."""
    settings = given.tables["rest_settings"]
    within, outlined = settings.row("near").figure("within_yd"), outline(part)
    box, most = as_geometry(outlined.value).bounds, within.number()
    found: list[_Reached] = []
    for ground in (g for g in grounds if not surely_apart(box, g.box, most)):
        near = work(share_near, part=outlined, shape=ground.shape, within_yd=within)
        weights: dict[str, Figure] = {}
        for event in ground.events if near.number() > 0 else ():
            if event.row not in weights:
                row = settings.row(event.row).figure("weight_share")
                weights[event.row] = work(resting.spread_share, weight_share=row, near_share=near)
            found.append(_Reached(event, near, weights[event.row]))
    return sorted(found, key=lambda r: (r.event.day, r.event.id))


def _part(given: Given, start: date, kept: Kept[PlaceBase], found: list[_Reached]) -> PartDisturbed:
    today = assume(given.as_of, "date", "as-of-day")
    half_life = given.tables["rest_settings"].row("half-life").figure("after_days")
    now, after = _on(today, half_life, found)
    week = work(
        resting.left_share, weight_share=now, ago_days=assume(WEEK_DAYS, "days", "disturb-week"),
        half_life_days=half_life,
    )  # fmt: skip
    last_year = start - timedelta(weeks=WEEKS)
    before = None
    if any(r.event.day < start for r in found):
        then = given.as_of - timedelta(weeks=WEEKS)
        past = [r for r in found if r.event.day <= then]
        before = _on(assume(then, "date", "disturb-year-ago"), half_life, past)[0]
    this = _weeks(start, half_life, found)
    earlier = _weeks(last_year, half_life, [r for r in found if r.event.day < start])
    weeks = WeekSeries(
        tuple(this.result.tolist()),
        tuple(earlier.result.tolist()) if before is not None else (),
        Recipe(formula_of(resting.disturbed_by_week), {"this": this.inputs,
                                                       "before": earlier.inputs}),
    )  # fmt: skip
    return PartDisturbed(kept.body.name, kind_of(kept.body), now, week, before, after, weeks)


def _on(
    day: Figure, half_life: Figure, found: list[_Reached]
) -> tuple[Figure, dict[str, Done]]:  # fmt: skip
    """What is left on a day, of all that still counts, and each by itself."""
    after: dict[str, Done] = {}
    oldest = day.value - timedelta(days=HALF_LIVES * half_life.number())
    for one in (r for r in found if r.event.day >= oldest):
        ago = work(days_between, from_date=one.event.on, to_date=day)
        left = work(
            resting.left_share, weight_share=one.weight, ago_days=ago, half_life_days=half_life
        )
        after[one.event.id] = Done(one.event.row, one.event.where, one.event.on, one.near, left)
    names = {f"{d.what}, {d.on.value}, {i}": d.left for i, d in after.items()}
    total = work_parts(
        resting.disturbed_share, names, left=[d.left.number() for d in after.values()]
    )
    return total.figure(lambda share: share, "share"), after


def _weeks(start: date, half_life: Figure, found: list[_Reached]) -> Parts[NDArray[np.float64]]:
    """The weeks from a day, of what reaches into them."""
    end = start + timedelta(weeks=WEEKS)
    oldest = start - timedelta(days=round(HALF_LIVES * half_life.number()))
    counts = [r for r in found if oldest <= r.event.day < end]
    inputs = {f"{r.event.row}, {r.event.day}, {r.event.id}": r.weight for r in counts}
    return work_parts(
        resting.disturbed_by_week,
        {**inputs, "half_life_days": half_life},
        weights_share=[r.weight.number() for r in counts],
        on_dates=[r.event.day for r in counts],
        first_date=start,
        weeks=WEEKS,
        half_life_days=half_life.number(),
    )

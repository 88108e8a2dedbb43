"""Learned: growth and use of each plot, corrected by what was clipped, caged and counted there.

The section stands before the forage section, which multiplies by its factors from their day on.
What the model itself says, uncorrected, is run once for each year that was visited.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date

from fencerow.figure import Figure, assume, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Learned, PlotLearned, Reading, Score, Visit
from fencerow.plan.learning.counted import count_readings
from fencerow.plan.learning.model import Models
from fencerow.plan.learning.said import learned_said
from fencerow.plan.learning.scores import scores_of
from fencerow.plan.learning.state import State
from fencerow.plan.learning.visits import visits_of
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.science.forage import assimilation, caged
from fencerow.science.herd import cages
from fencerow.science.soil import timing
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot

BARE_LB_AC = 25.0
"""Below this much the model cannot be told from nothing (the range of `reading`)."""


def learned(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What was learned of every plot by the day of the plan."""
    models = Models(given, earlier["ground"])
    plots: dict[str, PlotLearned] = {}
    visits: dict[str, Visit] = {}
    scores: dict[str, Score] = {}
    last: dict[str, Figure] = {}
    for plot in given.tract.plots():
        made = _Plot(given, plot, models)
        if made.last is not None:
            last[plot.id] = made.last
        visits |= made.visits
        scores |= made.scores
        if made.found is not None:
            plots[plot.id] = made.found
    body = Learned(plots, visits, scores, _held(scores), _unseen(given, last))
    return Section("learned", body, tuple(learned_said(given, body)))


def _held(scores: Mapping[str, Score]) -> Figure | None:
    if not scores:
        return None
    outcomes = {f"{s.name} {s.on.value} {s.side}": s.outcome for s in scores.values()}
    parts = work_parts(caged.hits, outcomes, outcomes=[str(o.value) for o in outcomes.values()])
    return parts.figure(float, "count")


def _unseen(given: Given, last: Mapping[str, Figure]) -> dict[str, Figure]:
    """Plots with a crop on which nothing was counted for as long as a count lasts, by the days.

    One that was never counted is reckoned from the day of its seeding.
    """
    today = assume(given.as_of, "date", "as-of-day")
    found: dict[str, Figure] = {}
    for plot in given.tract.plots():
        sown = [p for p in given.tract.plantings_of(plot.id) if p.body.sow_on <= given.as_of]
        if not sown or (sown[-1].body.until or given.as_of) < given.as_of:
            continue
        seeding = sown[-1].figure("sow_on", "decided", unit="date")
        looked = max(last.get(plot.id, seeding), seeding, key=lambda f: f.value)
        days = work(timing.days_after, due_date=looked, done_date=today)
        if days.value >= _forgotten(given).number():
            found[plot.id] = days
    return found


def _forgotten(given: Given) -> Figure:
    return given.tables["learning_days"].row("forgotten").figure("after_days")


class _Plot:
    """One plot, visit by visit."""

    def __init__(self, given: Given, plot: Kept[Plot], models: Models) -> None:
        self.given, self.plot, self.models = given, plot, models
        self.visits: dict[str, Visit] = {}
        self.scores: dict[str, Score] = {}
        self.last: Figure | None = None
        self._begin()
        self.found = self._walk()

    def _begin(self) -> None:
        """Nothing is known: so a plot begins, and each year anew."""
        self.growth = State.of(self.given.tables, "growth before any clip")
        self.use = State.of(self.given.tables, "use before any clip")
        self.readings: dict[str, Reading] = {}

    def _walk(self) -> PlotLearned | None:
        visits = dict(visits_of(self.given, self.plot))
        counted = {r.id: r for r in count_readings(self.given, self.plot)}
        days = {**{i: v.on for i, v in visits.items()}, **{i: r.on for i, r in counted.items()}}
        for id_, on in sorted(days.items(), key=lambda d: (d[1].value, d[0])):
            if self.last is not None and self._year(on) != self._year(self.last):
                self._begin()
            self.last = on
            if id_ in visits:
                self._visit(id_, visits[id_])
            else:
                count = counted[id_]
                self._take(id_, self.growth, on, count.log, count.variance, "growth")
        if self.last is None or self._year(self.last) != year_of(
            self.given.tract, self.given.as_of
        ):
            return None
        return self._learned(self.last)

    def _year(self, on: Figure) -> tuple[date, date]:
        return year_of(self.given.tract, on.value)

    # ---- one visit

    def _visit(self, id_: str, visit: Visit) -> None:
        model = self.models.of(visit.day)
        begun = self._bare(visit)
        made = self._measured(begun)
        self.visits[id_] = made
        self.scores |= scores_of(
            id_, made, model, self.growth, self.use, visit.on, _forgotten(self.given)
        )
        for name, state, log, spread in self._read(made):
            self._take(f"{id_}-{name}", state, visit.on, log, spread, name)

    def _bare(self, visit: Visit) -> Visit:
        """Cages that were set on ground where nothing stood began from nothing."""
        if visit.since is None or visit.start is not None:
            return visit
        found = self.models.of(visit.since.value)
        stood = found.standing(self.plot.id, visit.since)
        if not stood.known or stood.number() >= BARE_LB_AC:
            return visit
        return replace(visit, start=assume(0.0, "lb_ac", "learn-bare"))

    def _measured(self, visit: Visit) -> Visit:
        inside, outside = visit.inside, visit.outside
        growth = removal = use = None
        if inside is not None and visit.start is not None:
            growth = work(caged.grown_in_cage, inside_lb_ac=inside, start_lb_ac=visit.start)
        if inside is not None and outside is not None:
            removal = work(cages.taken_once, inside_lb_ac=inside, outside_lb_ac=outside)
            use = work(cages.use_once, inside_lb_ac=inside, outside_lb_ac=outside)
        made = replace(visit, growth=growth, removal=removal, use=use)
        return replace(made, deer=self._deer(made))

    def _deer(self, visit: Visit) -> Figure | None:
        """As if so many deer had fed here all the time since the cages were set."""
        found = self.models.of(visit.day)
        deer = next(iter(self.given.tract.deer.values()), None)
        plot = found.plot(self.plot.id)
        if visit.removal is None or visit.since is None or deer is None or plot is None:
            return None
        asked, count = (
            found.per_deer(visit.since, visit.on),
            deer.figure("likely", "judged", "count"),
        )
        if not asked or not count.number():
            return None
        inputs = {"deer": count, "asked": found.asked.figure(0)}
        each = work_parts(caged.over_period, inputs, daily_lb_ac=[asked / count.number()])
        span = work(timing.days_after, due_date=visit.since, done_date=visit.on)
        return work(
            caged.deer_equivalents,
            removal_lb_ac=visit.removal,
            area_ac=plot.acres,
            span_days=span,
            deer_lb_day=each.figure(lambda lb: lb, "lb_day"),
        )

    # ---- readings

    def _read(self, visit: Visit) -> Iterator[tuple[str, State, Figure, Figure]]:
        found = self.models.of(visit.day)
        if visit.since is None:
            return
        foretold = found.grown(self.plot.id, visit.since, visit.on)
        if visit.growth is not None and visit.inside is not None and visit.start is not None:
            log = work(assimilation.reading, seen_lb_ac=visit.growth, foretold_lb_ac=foretold)
            yield "growth", self.growth, log, self._variance(visit, visit.inside, visit.start)
        if visit.use is not None and visit.inside is not None and visit.outside is not None:
            model_use = work(
                caged.use_of_period,
                eaten_lb_ac=found.eaten(self.plot.id, visit.since, visit.on),
                start_lb_ac=found.standing(self.plot.id, visit.since),
                growth_lb_ac=foretold,
            )
            log = work(assimilation.use_reading, found_share=visit.use, foretold_share=model_use)
            yield "use", self.use, log, self._variance(visit, visit.inside, visit.outside)

    def _variance(self, visit: Visit, larger: Figure, smaller: Figure) -> Figure:
        rows = self.given.tables["learning_settings"]
        other = {"clips": "cage", "heights": "height", "notes": "a note of a mean"}[visit.how]
        spread = work(
            assimilation.spread_of_difference,
            frame_share=rows.row("frame to frame").figure("spread_share"),
            larger_lb_ac=larger,
            smaller_lb_ac=smaller,
        )
        return work(
            assimilation.reading_variance,
            frame_share=spread,
            frames_count=visit.frames,
            beyond_share=rows.row(other).figure("spread_share"),
        )

    def _take(
        self, id_: str, state: State, on: Figure, log: Figure, variance: Figure, of: str
    ) -> None:
        self.readings[id_] = Reading(on, of, log, variance)
        if log.known and variance.known:
            state.take(on, log, variance, _forgotten(self.given))

    def _learned(self, last: Figure) -> PlotLearned:
        today = assume(self.given.as_of, "date", "as-of-day")
        days = work(timing.days_after, due_date=last, done_date=today)
        forgotten = _forgotten(self.given)
        return PlotLearned(
            name=self.plot.body.name,
            plantings=tuple(
                p.id
                for p in self.given.tract.plantings_of(self.plot.id)
                if p.body.sow_on <= last.value
            ),
            since=last,
            days=days,
            stale=days.number() >= forgotten.number(),
            growth=self.growth.factor(today, forgotten),
            use=self.use.factor(today, forgotten),
            readings=self.readings,
        )

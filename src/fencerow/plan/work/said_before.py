"""What we would have said of ground some days before it was found fit, or too wet.

It is worked again as it would have been: from the water of that evening each other year is taken
on, without a forecast, by the published limits; the person's verdicts are what it is held against.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from functools import partial

import numpy as np

from fencerow.figure import Figure, Worked, formula_of, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.work.fitness import Soil, fit_of, soils_of
from fencerow.plan.work.sky import Sky, ahead, behind, winter_on
from fencerow.plan.work.verdicts import record_of
from fencerow.plan.work.winter_ahead import dried_below, ground_ahead
from fencerow.science.weather import ahead as coming
from fencerow.science.weather import scores
from fencerow.science.weather.series import DailySeries, Floats
from fencerow.science.weather.soil_water import LayerWater
from fencerow.words import OutsideRange

OWN_LEADS = (1, 3, 7)
MOST_OUTCOMES = 40
LOOK_BACK_DAYS = 365
GROUND_JOBS = ("till", "seed")


@dataclass(frozen=True)
class OwnScore:
    """What we would have said so many days before of ground that was then found fit or too wet."""

    outcomes: Figure
    brier: Figure
    said: Figure
    broken: Figure


def score_of(
    inputs: Mapping[str, Figure], fn: Callable[..., float], unit: str, **arguments: object
) -> Figure:
    """A score as a figure; not known, with the reason, where too few pairs are."""
    try:
        return work_parts(fn, inputs, **arguments).figure(float, unit)
    except OutsideRange as error:
        return Figure(None, unit, Worked(formula_of(fn), tuple(inputs.items())), error.message)


def in_pct(figure: Figure) -> Figure:
    """A share as so many of a hundred."""
    value = 100 * figure.number() if figure.known else None
    return Figure(value, "pct", figure.origin, figure.reason)


@dataclass(frozen=True)
class _Outcome:
    """Ground that was found fit, or too wet, on a day."""

    place: str
    on: date
    fit: bool
    figure: Figure


def _outcomes(given: Given, soils: Mapping[str, Soil]) -> list[_Outcome]:
    """The verdicts, and the days on which a plot was tilled or sown, which says that it was fit."""
    found = {
        (v.body.place, v.body.on): _Outcome(
            v.body.place, v.body.on, v.body.fit, v.figure("fit", "entered", "")
        )
        for v in given.tract.verdicts.values()
        if v.body.job in GROUND_JOBS
    }
    for mark in given.tract.done.values():
        kind, _, planting = mark.body.task.partition(".")
        sown = given.tract.plantings.get(planting)
        if kind in ("till", "sow") and mark.body.part == "done" and mark.on and sown is not None:
            key = (sown.body.place, mark.on)
            figure = mark.figure("task", "entered", "text")
            found.setdefault(key, _Outcome(*key, True, figure))
    told = [o for o in found.values() if o.place in soils and o.on < given.as_of]
    return sorted(told, key=lambda o: (o.on, o.place))[-MOST_OUTCOMES:]


def own_scores(given: Given) -> dict[str, OwnScore]:
    """Our statements by the days that they were made before; none where nothing was found yet."""
    soils = soils_of(given)
    outcomes = _outcomes(given, soils)
    if given.daily is None or given.daily.typical or not outcomes:
        return {}
    found = {f"found {n}": o.figure for n, o in enumerate(outcomes, 1)}
    inputs = {**record_of(given), **found}
    fit = [float(o.fit) for o in outcomes]
    if len(outcomes) < scores.LEAST:
        # too few to be scored: nothing need be worked again
        return {str(lead): _scored(inputs, fit, fit, fit) for lead in OWN_LEADS}
    first = outcomes[0].on - timedelta(days=LOOK_BACK_DAYS)
    sky = behind(given, first)
    layers = [s.layer for s in soils.values()]
    reaching = winter_on(sky, given.daily).reaching_mm
    past = coming.water_to_date(layers, reaching, sky.eto_mm_day)
    run = _Run(given, given.daily, soils, first, sky, past)
    return {str(lead): run.score(inputs, outcomes, lead) for lead in OWN_LEADS}


def _scored(
    inputs: Mapping[str, Figure], said: list[float], soon: list[float], fit: list[float]
) -> OwnScore:
    """The shares of years said of the day, and of it or sooner, against what was found."""
    score = partial(score_of, inputs)
    right = [share if found else 1 - share for share, found in zip(said, fit, strict=True)]
    return OwnScore(
        outcomes=score(scores.pairs_known, "count", said=said, came=fit),
        brier=score(scores.brier, "", chances=said, happened=fit),
        said=in_pct(score(scores.mean_chance, "share", chances=right)),
        broken=score(scores.broken, "count", chances_by=soon, happened=fit),
    )


@dataclass(frozen=True)
class _Run:
    """The water of every plot up to now, from which past mornings are taken on again."""

    given: Given
    daily: DailySeries
    soils: Mapping[str, Soil]
    first: date
    sky: Sky
    past: LayerWater

    def score(self, inputs: Mapping[str, Figure], outcomes: list[_Outcome], lead: int) -> OwnScore:
        """What was said so many days before."""
        cache: dict[date, tuple[Floats, Floats]] = {}
        said, soon, fit = [], [], [float(o.fit) for o in outcomes]
        for outcome in outcomes:
            morning = outcome.on - timedelta(days=lead)
            if morning not in cache:
                cache[morning] = self._said(morning, lead)
            at = list(self.soils).index(outcome.place)
            said.append(float(cache[morning][0][at]))
            soon.append(float(cache[morning][1][at]))
        return _scored(inputs, said, soon, fit)

    def _said(self, morning: date, lead: int) -> tuple[Floats, Floats]:
        """The share of years fit on the day, and by the day at the latest, of each plot."""
        at = (morning - self.first).days - 1
        then = replace(self.given, as_of=morning, forecast=None)
        _, sky = ahead(then, self.daily, lead + 1)
        soils, over = list(self.soils.values()), at + 1
        whole = Sky(*(getattr(self.sky, f.name)[:over] for f in fields(Sky))).then(sky)
        winter = winter_on(whole, self.daily)
        ends = [c.evening_mm[:, 0, at] for c in (self.past.wettest, self.past.driest)]
        water = coming.water_ahead(
            [s.layer for s in soils], ends[0], ends[1], winter.reaching_mm[:, over:], sky.eto_mm_day
        )
        open_ = ground_ahead(whole, winter, over)
        below = dried_below(then, self.soils, whole, winter, over)
        verdict = fit_of(self.given.tables, "till", soils, water, sky.rain_mm, open_, below)
        known = verdict.known[:, :, lead].mean(axis=1) >= 0.9
        share = np.where(known, verdict.fit[:, :, lead].mean(axis=1), np.nan)
        maybe = (verdict.fit | ~verdict.known).any(axis=2).mean(axis=1)
        return share, np.where(known, maybe, np.nan)

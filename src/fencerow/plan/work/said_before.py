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
from fencerow.plan.work.sky import PastYears, Sky, behind, winter_on
from fencerow.plan.work.verdicts import record_of
from fencerow.plan.work.winter_ahead import below_to_date, dried_below, ground_ahead
from fencerow.science.weather import ahead as coming
from fencerow.science.weather import scores
from fencerow.science.weather.series import Floats
from fencerow.science.weather.soil_water import LayerWater
from fencerow.science.weather.subsoil import Courses
from fencerow.science.weather.workability import Verdict
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
    found_on = {o.place: soils[o.place] for o in outcomes}
    sky = behind(given, first)
    reaching = winter_on(sky, given.daily).reaching_mm
    past = coming.water_to_date([s.layer for s in found_on.values()], reaching, sky.eto_mm_day)
    below = below_to_date(found_on.values(), reaching, sky.eto_mm_day, given.as_of)
    years = PastYears.of(given.daily, given.tract)
    run = _Run(given, years, found_on, first, sky, past, below)
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
class _Morning:
    """A past morning, its coming days as each other year had them, and where those lie."""

    then: Given
    sky: Sky
    days: slice


@dataclass(frozen=True)
class _Run:
    """The water of the plots up to now, from which past mornings are taken on again."""

    given: Given
    years: PastYears
    soils: Mapping[str, Soil]
    first: date
    sky: Sky
    past: LayerWater
    below: Courses

    def score(self, inputs: Mapping[str, Figure], outcomes: list[_Outcome], lead: int) -> OwnScore:
        """What was said so many days before."""
        mornings = [self._morning(on, lead) for on in dict.fromkeys(o.on for o in outcomes)]
        whole = self._whole(mornings)
        winter = winter_on(whole, self.given.daily)
        opened = ground_ahead(whole, winter, 0)
        told: dict[tuple[date, str], tuple[float, float]] = {}
        row = 0
        for morning in mornings:
            cells = np.s_[row : (row := row + len(morning.sky.rain_mm)), morning.days]
            on = morning.then.as_of + timedelta(days=lead)
            places = [o.place for o in outcomes if o.on == on]
            shares = self._said(
                morning, places, winter.reaching_mm[cells], Verdict(*(a[cells] for a in opened))
            )
            told |= {(on, p): s for p, s in zip(places, shares, strict=True)}
        said, soon = np.array([told[o.on, o.place] for o in outcomes]).T.tolist()
        return _scored(inputs, said, soon, [float(o.fit) for o in outcomes])

    def _morning(self, on: date, lead: int) -> _Morning:
        then = replace(self.given, as_of=on - timedelta(days=lead), forecast=None)
        at = (then.as_of - self.first).days
        return _Morning(then, self.years.ahead(then, lead + 1)[1], slice(at, at + lead + 1))

    def _whole(self, mornings: list[_Morning]) -> Sky:
        """The days behind each morning, and each year's coming ones [morning and year, day].

        What stands after those changes nothing of them.
        """

        def laid(name: str) -> Floats:
            ahead = [getattr(m.sky, name) for m in mornings]
            rows = np.tile(getattr(self.sky, name), (sum(map(len, ahead)), 1))
            row = 0
            for morning, days in zip(mornings, ahead, strict=True):
                rows[row : (row := row + len(days)), morning.days] = days
            return rows

        return Sky(*(laid(f.name) for f in fields(Sky)))

    def _said(
        self, morning: _Morning, places: list[str], reaching_mm: Floats, open_: Verdict
    ) -> list[tuple[float, float]]:
        """The share of years fit on the day, and by the day at the latest, of some plots."""
        soils, sky = {place: self.soils[place] for place in places}, morning.sky
        plots, evening = [list(self.soils).index(p) for p in places], morning.days.start - 1
        wettest, driest = (
            c.evening_mm[plots, 0, evening] for c in (self.past.wettest, self.past.driest)
        )
        layers = [s.layer for s in soils.values()]
        water = coming.water_ahead(layers, wettest, driest, reaching_mm, sky.eto_mm_day)
        wet, dry = (c.at(evening, plots) for c in self.below)
        below = dried_below(morning.then, soils, (wet, dry), reaching_mm, sky.eto_mm_day)
        tables = self.given.tables
        verdict = fit_of(tables, "till", list(soils.values()), water, sky.rain_mm, open_, below)
        known = verdict.known[:, :, -1].mean(axis=1) >= 0.9
        share = np.where(known, verdict.fit[:, :, -1].mean(axis=1), np.nan)
        maybe = (verdict.fit | ~verdict.known).any(axis=2).mean(axis=1)
        return list(zip(share.tolist(), np.where(known, maybe, np.nan).tolist(), strict=True))

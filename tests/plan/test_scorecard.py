"""The scorecard: past forecasts and our own statements, against what came."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from makers import given as given_of
from makers import plot, thing
from test_today import even, told

from fencerow.plan.graph import run
from fencerow.plan.plan import STEPS
from fencerow.plan.work.fitness import fit_of, month_of, soils_of
from fencerow.plan.work.said_before import own_scores
from fencerow.plan.work.sky import ahead, behind, winter_on
from fencerow.plan.work.winter_ahead import ground_ahead
from fencerow.science.weather import scores
from fencerow.science.weather.forecast import Forecast, Forecasts
from fencerow.science.weather.scores import LEAST
from fencerow.science.weather.series import Station
from fencerow.science.weather.soil_water import layer_water
from fencerow.science.weather.subsoil import dried_since_winter

FIRST = date(2026, 7, 1)
SOILS = {"p": "loam", "q": "silty clay loam"}
WANTED = ("verdicts", "score")


def forecast(day, rain_mm, chance=0.0, high=30.0):
    """Eight days of 24 equal hours, issued in the morning; a day begins at 05:00 UTC in Chicago."""
    hours = 24 * 8
    start = np.datetime64(day, "m") + np.timedelta64(6 * 60, "m")
    every = np.ones(hours)
    return Forecast(
        station=Station("f"), times=start + np.arange(hours) * np.timedelta64(60, "m"),
        rain_mm=every * rain_mm / 24, rain_chance=every * chance, temp_c=every * high,
        issued_at=datetime(day.year, day.month, day.day, 12, tzinfo=UTC),
    )  # fmt: skip


def scored(*entries, days=12, as_of=date(2026, 8, 14), daily=None, **said):
    kept = tuple(forecast(FIRST + timedelta(days=d), **{"rain_mm": 0.0, **said})
                 for d in range(days))  # fmt: skip
    given = given_of(*entries, as_of=as_of, zone="America/Chicago")
    given = replace(given, daily=daily, forecasts=Forecasts(kept) if kept else None)
    steps = tuple(replace(s, after=tuple(a for a in s.after if a in WANTED))
                  for s in STEPS if s.id in WANTED)  # fmt: skip
    return run(steps, given, {})[0]["score"].body


def test_a_forecast_that_always_comes_is_right_and_never_off():
    body = scored(rain_mm=6.0, chance=1.0, high=30.0, daily=even(30, 18, rain=6.0))
    lead = body.forecasts["3"]
    assert lead.days.value == 12
    assert (lead.bias.value, lead.miss.value) == pytest.approx((0, 0), abs=1e-9)
    assert (lead.right.value, lead.brier.value, lead.warm.value) == (100, 0, 100)


def test_rain_that_was_said_and_never_came_is_too_much_by_as_much():
    body = scored(rain_mm=25.4, chance=0.7, high=36.0, daily=even(30, 18))
    lead = body.forecasts["1"]
    assert (lead.bias.value, lead.miss.value) == pytest.approx((1, 1))
    assert lead.right.value == 0
    assert lead.brier.value == pytest.approx(0.49)
    assert lead.warm.value == 0


def test_the_gauge_goes_before_the_record():
    note = [thing("note", f"g{d}", about="rain", amount=1.0, unit="in", text="") for d in range(12)]
    note = [replace(n, happened_on=FIRST + timedelta(days=d + 2)) for d, n in enumerate(note)]
    body = scored(*note, rain_mm=25.4, daily=even(30, 18))
    assert body.forecasts["2"].bias.value == pytest.approx(0, abs=1e-9)
    assert body.forecasts["1"].bias.value == pytest.approx(1 / 12)


def test_of_days_to_come_and_of_too_few_nothing_is_said():
    few = scored(days=LEAST - 1, daily=even(30, 18)).forecasts["1"]
    assert few.days.value == LEAST - 1
    assert few.bias.value is None
    assert few.bias.reason.id == "score-few"
    early = scored(as_of=FIRST + timedelta(days=6), daily=even(30, 18)).forecasts
    assert early["7"].days.value == 0
    assert scored(days=0, daily=even(30, 18)).forecasts == {}


def verdicts(fit, count=LEAST):
    return [told(f"v{d}", f"2026-07-{10 + d}", fit) for d in range(count)]


def test_dry_ground_that_was_found_fit_was_given_all_years_and_wet_ground_none():
    loam = plot(texture="loam", drainage="drains well")
    dry = scored(loam, *verdicts(True), days=0, daily=even(32, 16)).own["3"]
    assert (dry.outcomes.value, dry.said.value) == (LEAST, 100)
    assert (dry.brier.value, dry.broken.value) == (0, 0)
    drowned = scored(loam, *verdicts(True), days=0, daily=even(12, 11, rain=25.0)).own["1"]
    assert (drowned.said.value, drowned.brier.value, drowned.broken.value) == (0, 1, LEAST)
    wet = scored(loam, *verdicts(False), days=0, daily=even(12, 11, rain=25.0)).own["7"]
    assert (wet.said.value, wet.brier.value, wet.broken.value) == (100, 0, 0)


def test_a_mark_of_tillage_done_says_that_it_was_fit():
    loam = plot(texture="loam", drainage="drains well")
    blend = thing("blend", "b", name="B", components=[{"species": "oats", "share_pct": 100}])
    sown = thing("planting", "s", place="p", blend="b", sow_on="2026-08-30")
    mark = replace(thing("done", "d", task="till.s"), happened_on=date(2026, 7, 25))
    others = verdicts(True, LEAST - 1)
    body = scored(loam, blend, sown, mark, *others, days=0, daily=even(32, 16))
    assert body.own["1"].outcomes.value == LEAST
    assert body.own["1"].said.value == 100


def seasons_like(seed):
    """A record with frost and snow in winter, rain by chance and a gap in it."""
    record, dice = even(0, 0, years=(2015, 2027)), np.random.default_rng(seed)
    turn = np.cos(2 * np.pi * (np.arange(len(record)) - 200) / 365.25)
    mean = 10 + 16 * turn + dice.normal(0, 4, len(record))
    rain = np.where(dice.random(len(record)) < 0.25, dice.exponential(8, len(record)), 0.0)
    rain[-300:-297] = np.nan
    return replace(record, tmax_c=mean + 5, tmin_c=mean - 5, rain_mm=rain)


def said_plainly(given, soil, on, lead):
    """The share of years fit on a day, run from the first day through, year by year's own row."""
    then, first = replace(given, as_of=on - timedelta(days=lead)), date(2025, 3, 2)
    past, (_, coming) = behind(then, first), ahead(then, given.daily, lead + 1)
    whole = past.then(coming)
    winter = winter_on(whole, given.daily)
    days = np.datetime64(first) + np.arange(whole.rain_mm.shape[1])
    water = layer_water([soil.layer], winter.reaching_mm, whole.eto_mm_day)
    below = dried_since_winter(
        [soil.layer], winter.reaching_mm, whole.eto_mm_day, month_of(days)
    )  # fmt: skip
    open_ = ground_ahead(whole, winter, 0)
    fit = fit_of(given.tables, "till", [soil], water, whole.rain_mm, open_, below)
    known = fit.known[0, :, -1].mean() >= 0.9
    return fit.fit[0, :, -1].mean() if known else np.nan


def test_each_statement_is_that_of_a_run_from_the_first_day_through():
    places = {p: plot(p, texture=t, drainage="drains well") for p, t in SOILS.items()}
    told_on = [(f"2026-{m:02d}-{d:02d}", p) for m in (3, 5, 9, 11) for d in (2, 13) for p in SOILS]
    found = [told(f"v{n}", on, False, place) for n, (on, place) in enumerate(told_on)]
    given = replace(
        given_of(*places.values(), *found, as_of=date(2026, 12, 1)), daily=seasons_like(5)
    )
    soils, on = soils_of(given), [(date.fromisoformat(day), place) for day, place in told_on]
    score = scores.brier(
        [said_plainly(given, soils[place], day, 3) for day, place in on], [0.0] * len(on)
    )
    assert 0 < score < 1
    assert own_scores(given)["3"].brier.value == pytest.approx(score, abs=1e-12)

"""The rule that sees a few days on, and the bound that nobody passes, against every order."""

import functools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_weather_dispatch import all_fit, check_run, some_days, year_of_work

from fencerow.science.weather.ahead import across_years, water_ahead, water_to_date
from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.hindsight import could_finish
from fencerow.science.weather.hired import with_hired_day
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.layer import layer_of
from fencerow.science.weather.tuning import moved_days

# --- every order of a small year


def any_order(jobs, fit, people):
    """Whether some choice of whole hours, day by day, finishes all; jobs of whole hours.

    Every way to spend the hours of every day is tried. Jobs done too early for what follows are
    done over, as in the rule; that never helps, so here they are simply never done too early.
    """
    days = fit.shape[1]

    @functools.cache
    def ends(day, left, done):
        if not any(left):
            return True
        if day == days:
            return False
        return spend(day, left, done, int(people[day]))

    @functools.cache
    def spend(day, left, done, hours):
        if ends(day + 1, left, done):
            return True
        if not hours:
            return False
        return any(
            spend(day, *worked(day, left, done, at), hours - 1)
            for at in range(len(jobs))
            if left[at]
            and fit[at, day]
            and day >= jobs[at].go_day
            and (jobs[at].until_day is None or day <= jobs[at].until_day)
            and ready(at, day, left, done)
        )

    def ready(at, day, left, done):
        begun = left[at] < jobs[at].work_h
        for wait in jobs[at].waits:
            if done[wait.after] is None or day - done[wait.after] < wait.least_days:
                return False
            late = wait.most_days is not None and day - done[wait.after] > wait.most_days
            if late and not begun:
                return False
        return True

    def worked(day, left, done, at):
        left = tuple(h - (i == at) for i, h in enumerate(left))
        return left, tuple(day if i == at and not left[at] else d for i, d in enumerate(done))

    return ends(0, tuple(int(j.work_h) for j in jobs), (None,) * len(jobs))


@st.composite
def small_years(draw):
    """Up to four jobs of one or two hours, some in a chain, over up to six days."""
    jobs = []
    for at in range(draw(st.integers(1, 4))):
        waits = ()
        if at and draw(st.booleans()):
            least = draw(st.integers(0, 2))
            most = draw(st.sampled_from([None, least, least + 1]))
            waits = (Wait(draw(st.integers(0, at - 1)), least, most),)
        jobs.append(Job(f"p{at % 2}", "work", float(draw(st.integers(1, 2))), waits,
                        go_day=draw(st.integers(0, 1)),
                        until_day=draw(st.sampled_from([None, None, 3]))))  # fmt: skip
    days = draw(st.integers(2, 6))
    fit = np.array(draw(st.lists(st.lists(st.booleans(), min_size=days, max_size=days),
                                 min_size=len(jobs), max_size=len(jobs))))  # fmt: skip
    people = np.array(draw(st.lists(st.integers(0, 3), min_size=days, max_size=days)), float)
    return jobs, fit, people


@settings(max_examples=150)
@given(small_years(), st.integers(0, 6))
def test_the_rule_never_does_what_no_order_could_and_the_bound_lets_every_order_pass(year, sees):
    jobs, fit, people = year
    grid = fit[:, None, :]
    run = seasons(jobs, grid, grid | True, people, sees_days=sees).runs[0]
    possible = any_order(jobs, fit, people)
    (bound,) = could_finish(jobs, grid, grid | True, people)
    assert run.finished <= possible <= bound


def test_the_bound_is_below_what_is_out_of_reach():
    """Four hours of work, three fit hours; and a follower whose only fit day comes too soon."""
    jobs = [Job("a", "till", 2.0), Job("b", "till", 2.0)]
    fit = np.array([[[1, 1, 0]], [[1, 1, 0]]], dtype=bool)
    assert could_finish(jobs, fit, fit | True, np.array([2.0, 1.0, 9.0])) == (False,)
    assert could_finish(jobs, fit, fit | True, np.array([2.0, 2.0, 0.0])) == (True,)
    chain = [Job("a", "spray", 1.0), Job("a", "till", 1.0, (Wait(0, 2),))]
    soon = np.array([[[1, 1, 1]], [[1, 1, 0]]], dtype=bool)
    assert could_finish(chain, soon, soon | True, np.full(3, 9.0)) == (False,)


def test_one_machine_bounds_too():
    jobs = [Job("a", "till", 5.0, machine="disk"), Job("b", "till", 5.0, machine="disk")]
    every = all_fit(jobs, 1, 2)
    assert could_finish(jobs, every, every, np.full(2, 12.0), np.full(2, 4.0)) == (False,)
    assert could_finish(jobs, every, every, np.full(2, 12.0), np.full(2, 5.0)) == (True,)


@settings(max_examples=25)
@given(st.integers(0, 999), st.floats(0.15, 0.7), st.floats(1, 8), st.integers(0, 5))
def test_the_bound_is_never_below_the_count(seed, share, people_h, sees):
    jobs, days = year_of_work(3, hours=2.0), 45
    fit = some_days(seed, jobs, 6, days, share)
    people = np.full(days, people_h)
    runs = seasons(jobs, fit, fit | True, people, sees_days=sees).runs
    bound = could_finish(jobs, fit, fit | True, people)
    assert all(run.finished <= could for run, could in zip(runs, bound, strict=True))


def free_years():
    """Small years of jobs that may be cut up and wait on nothing: here the bound is exact."""
    for seed in range(150):
        dice = np.random.default_rng(seed)
        jobs = [
            Job(f"p{at}", "work", float(dice.integers(1, 4)), go_day=int(dice.integers(3)),
                until_day=None if dice.random() < 0.5 else int(dice.integers(2, 6)))
            for at in range(int(dice.integers(2, 6)))
        ]  # fmt: skip
        days = int(dice.integers(3, 8))
        fit = dice.random((len(jobs), days)) < 0.6
        yield jobs, fit, dice.integers(0, 4, days).astype(float)


def test_without_waits_the_bound_is_what_the_best_of_all_orders_does():
    answers = set()
    for jobs, fit, people in free_years():
        (bound,) = could_finish(jobs, fit[:, None], fit[:, None] | True, people)
        assert bound == any_order(jobs, fit, people)
        answers.add(bound)
    assert answers == {True, False}


def test_a_job_is_not_done_after_its_last_day():
    jobs = [Job("a", "mow", 2.0, until_day=3)]
    fit = np.array([[[0, 0, 0, 1, 1], [0, 0, 0, 0, 1]]], dtype=bool)
    runs = seasons(jobs, fit, fit | True, np.full(5, 2.0)).runs
    assert [run.finished for run in runs] == [True, False]
    assert runs[1].plots["a"].lost_days == {"not-fit": 4}
    assert could_finish(jobs, fit, fit | True, np.full(5, 2.0)) == (True, False)


# --- what is seen, and no more


@settings(max_examples=25)
@given(st.integers(0, 999), st.integers(1, 55), st.integers(0, 6))
def test_nothing_beyond_the_forecast_is_foreseen(seed, cut, sees):
    """What is done up to a day does not change when the days beyond its forecast do."""
    jobs, days = year_of_work(3, hours=2.0), 60
    fit, other = some_days(seed, jobs, 1, days, 0.4), some_days(seed + 1, jobs, 1, days, 0.4)
    other[:, :, : cut + sees] = fit[:, :, : cut + sees]
    people = np.full(days, 3.0)
    here, there = (seasons(jobs, f, f | True, people, sees_days=sees).runs[0] for f in (fit, other))
    assert [s for s in here.spells if s.day < cut] == [s for s in there.spells if s.day < cut]


@settings(max_examples=20)
@given(st.integers(0, 999), st.floats(0.2, 0.9), st.integers(0, 5))
def test_waits_and_hours_are_kept_with_a_forecast_too(seed, share, sees):
    jobs, days = year_of_work(3, hours=2.0), 50
    fit, people = some_days(seed, jobs, 1, days, share), np.full(50, 4.0)
    run = seasons(jobs, fit, fit | True, people, people, sees).runs[0]
    check_run(jobs, run, fit[:, 0], people, people)


def test_ground_is_not_tilled_where_it_is_seen_that_seeding_would_come_too_late():
    jobs = [Job("a", "till", 2.0), Job("a", "seed", 2.0, (Wait(0, 1, 3),))]
    fit = np.array([[[1, 0, 0, 0, 0, 1, 1, 0]], [[1, 0, 0, 0, 0, 1, 1, 0]]], dtype=bool)
    blind, seeing = (
        seasons(jobs, fit, fit | True, np.full(8, 9.0), sees_days=n).runs[0] for n in (0, 3)
    )
    assert [(s.day, s.job) for s in blind.spells] == [(0, 0), (5, 0), (6, 1)]
    assert [(s.day, s.job) for s in seeing.spells] == [(5, 0), (6, 1)]


# --- a hired day


def test_a_hired_day_comes_on_the_saturday_after_the_hours_ran_out():
    jobs = [Job(p, "till", 8.0) for p in "abc"]
    every = all_fit(jobs, 1, 14)
    saturdays = np.arange(14) % 7 == 5
    runs = with_hired_day(jobs, every, every, np.full(14, 1.0), saturdays, 8.0)
    spent = {d: sum(s.work_h for s in runs.runs[0].spells if s.day == d) for d in range(14)}
    assert spent[5] == pytest.approx(9.0)
    assert spent[12] == pytest.approx(1.0)


@given(st.integers(0, 99))
def test_where_hours_never_run_out_nobody_is_hired(seed):
    jobs = year_of_work(1, hours=1.0)
    fit = some_days(seed, jobs, 2, 40, 0.5)
    people, week = np.full(40, 100.0), np.arange(40) % 7 == 5
    hired = with_hired_day(jobs, fit, fit | True, people, week, 8.0)
    assert hired == seasons(jobs, fit, fit | True, people)


# --- first days, tuned on some years


def test_a_first_day_that_misses_the_fit_days_is_moved_to_them():
    """Fit in the first week alone; work may begin on the tenth day; a week sooner will do."""
    jobs = [Job("a", "till", 2.0, go_day=9)]
    fit = np.zeros((1, 4, 20), dtype=bool)
    fit[:, :, 2:6] = True
    odd = np.array([True, False, True, False])
    call = {"jobs": jobs, "fit": fit, "known": fit | True, "people_h": np.full(20, 2.0)}
    assert moved_days(["till"], odd, call) == {"till": -14}
    fit[:, :, 15] = True
    assert moved_days(["till"], odd, call) == {"till": 0}


def test_the_years_that_are_held_back_have_no_say():
    jobs = [Job("a", "till", 2.0, go_day=9)]
    fit = np.zeros((1, 4, 20), dtype=bool)
    fit[:, ::2, 2:6], fit[:, 1::2, 12] = True, True
    odd = np.array([True, False, True, False])
    call = {"jobs": jobs, "fit": fit, "known": fit | True, "people_h": np.full(20, 2.0)}
    moved = moved_days(["till"], odd, call)
    assert moved == {"till": -14}
    fit[:, 1::2] = False
    assert moved_days(["till"], odd, call) == moved


# --- the water of today


@given(st.integers(0, 99), st.integers(1, 60))
def test_a_year_taken_on_from_today_is_the_year_run_straight_through(seed, today):
    dice = np.random.default_rng(seed)
    layers = [layer_of(40, 20, 2.5, 48), layer_of(20, 15, 2.5, 450)]
    rain = np.where(dice.random(80) < 0.3, dice.exponential(9, 80), 0.0)
    eto = dice.uniform(0, 8, 80)
    whole = water_to_date(layers, rain, eto)
    past = water_to_date(layers, rain[:today], eto[:today])
    ends = (past.wettest.evening_mm[:, 0, -1], past.driest.evening_mm[:, 0, -1])
    after = water_ahead(layers, *ends, rain[None, today:], eto[None, today:])
    for one, other in ((whole.wettest, after.wettest), (whole.driest, after.driest)):
        assert one.midday_mm[:, :, today:] == pytest.approx(other.midday_mm)


@given(
    amounts=st.lists(st.floats(-50, 2000), min_size=1, max_size=40),
    share=st.one_of(st.sampled_from([0.0, 0.1, 0.5, 0.9, 1.0]), st.floats(0, 1)),
)
def test_the_amount_across_years_is_the_quantile_to_the_last_digit(amounts, share):
    assert across_years(np.array(amounts), share) == float(np.quantile(amounts, share))

"""The rule of the day: waits kept, hours kept, nothing foreseen; and counts of years."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from fencerow.data import Tables
from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.outcome import NO_HOURS, NOT_FIT, NOT_KNOWN, WAITS
from fencerow.science.weather.series import DailySeries, Station
from fencerow.science.weather.year_count import count_finished, wilson_high, wilson_low
from fencerow.words import BadInput, OutsideRange

KINDS = ("spray", "mow", "spread lime", "till", "broadcast seed", "pack")
MACHINES = {"spray": "sprayer", "mow": "tractor", "spread lime": "spreader", "till": "tractor"}


def waits_of(kind):
    """The usual waits of a kind on the kinds before it, from the table."""
    for row in Tables.shipped()["job_waits"]:
        if row.text("job") == kind and row.text("rule") == "usual" and row.text("after") in KINDS:
            most = row.number("most_days")
            yield (
                row.text("after"),
                Wait(
                    KINDS.index(row.text("after")),
                    int(row.number("least_days")),
                    None if most is None else int(most),
                    row.text("if_late"),
                ),
            )


def year_of_work(plots, hours=1.0, go=0):
    """Every kind on every plot, each waiting as the table says."""
    jobs = []
    for plot in range(plots):
        first = len(jobs)
        for kind in KINDS:
            waits = tuple(
                Wait(first + wait.after, wait.least_days, wait.most_days, wait.if_late)
                for _, wait in waits_of(kind)
            )
            jobs.append(Job(f"plot {plot}", kind, hours, waits, MACHINES.get(kind, ""), go))
    return jobs


def all_fit(jobs, years, days):
    return np.ones((len(jobs), years, days), dtype=bool)


def some_days(seed, jobs, years, days, share):
    dice = np.random.default_rng(seed)
    fit = dice.random((1, years, days)) < share
    return np.broadcast_to(fit, (len(jobs), years, days)).copy()


def check_run(jobs, run, fit, people, machine_h):
    """No job before its wait, none when it is not fit, never more hours than there are."""
    for day in range(len(people)):
        today = [s for s in run.spells if s.day == day]
        assert sum(s.work_h for s in today) <= people[day] + 1e-9
        for machine in set(MACHINES.values()):
            with_it = sum(s.work_h for s in today if jobs[s.job].machine == machine)
            assert with_it <= machine_h[day] + 1e-9
        assert all(fit[s.job, day] and day >= jobs[s.job].go_day for s in today)
    done = {}
    for spell in run.spells:
        for wait in jobs[spell.job].waits:
            if wait.after not in run.skipped:
                assert spell.day - done[wait.after] >= wait.least_days
        done[spell.job] = spell.day
    for job, day in enumerate(run.done_day):
        if day is not None:
            assert done[job] == day


@settings(max_examples=30)
@given(
    st.integers(0, 999), st.floats(0.1, 1), st.floats(0.5, 12), st.floats(0.5, 8), st.integers(0, 5)
)
def test_waits_and_hours_are_kept_whatever_the_weather(seed, share, people_h, machine_h, go):
    jobs, days = year_of_work(3, hours=2.0, go=go), 60
    fit = some_days(seed, jobs, 2, days, share)
    people, machines = np.full(days, people_h), np.full(days, machine_h)
    for year, run in enumerate(seasons(jobs, fit, fit | True, people, machines).runs):
        check_run(jobs, run, fit[:, year], people, machines)
        assert run.finished == all(plot.finished for plot in run.plots.values())


@settings(max_examples=20)
@given(st.integers(0, 999), st.integers(1, 59))
def test_nothing_is_foreseen(seed, cut):
    """What is done up to a day does not change when the days after it do."""
    jobs, days = year_of_work(3, hours=2.0), 60
    fit, other = some_days(seed, jobs, 1, days, 0.4), some_days(seed + 1, jobs, 1, days, 0.4)
    other[:, :, :cut] = fit[:, :, :cut]
    people = np.full(days, 3.0)
    here, there = (seasons(jobs, f, f | True, people).runs[0] for f in (fit, other))
    assert [s for s in here.spells if s.day < cut] == [s for s in there.spells if s.day < cut]


@given(st.permutations(range(5)))
def test_the_order_of_the_years_does_not_matter(order):
    jobs, days = year_of_work(2, hours=2.0), 50
    fit = some_days(8, jobs, 5, days, 0.35)
    people = np.full(days, 3.0)
    straight = seasons(jobs, fit, fit | True, people).runs
    mixed = seasons(jobs, fit[:, order], (fit | True)[:, order], people).runs
    assert list(mixed) == [straight[i] for i in order]


@given(st.integers(1, 12), st.floats(0.1, 5))
def test_fit_days_and_ample_hours_always_finish(plots, hours):
    jobs, days = year_of_work(plots, hours), 30
    every = all_fit(jobs, 1, days)
    ample = np.full(days, len(jobs) * hours + 1)
    run = seasons(jobs, every, every, ample).runs[0]
    assert run.finished
    # spray, ten days, then till, seed and pack on one day
    assert set(run.done_day) <= {0, 7, 10}
    assert run.skipped == ()


def test_twelve_plots_thirty_years():
    jobs = year_of_work(12, 1.5)
    fit = some_days(1, jobs, 30, 75, 0.5)
    result = seasons(jobs, fit, fit | True, np.tile([3.0, 3, 3, 0, 0, 10, 10], 11)[:75])
    assert 0 <= result.finished_years <= 30


# --- what becomes of a job that is too late


def one(waits, fit, hours=None, kind="seed"):
    """A first job of 2 h and a second that waits on it, on given days."""
    jobs = [Job("a", "till", 2.0), Job("a", kind, 2.0, waits)]
    days = len(fit)
    people = np.full(days, 10.0) if hours is None else np.asarray(hours, dtype=float)
    array = np.array([[fit], [fit]], dtype=bool)
    return seasons(jobs, array, array | True, people).runs[0]


def test_a_seedbed_that_waited_too_long_is_tilled_again():
    fit = [1, 0, 0, 0, 0, 0, 1]
    run = one((Wait(0, 1, 3),), [1, 0, 0, 0, 0, 0, 1, 1])
    assert [(s.day, s.job) for s in run.spells] == [(0, 0), (6, 0), (7, 1)]
    assert run.finished
    assert not one((Wait(0, 1, 3),), fit).finished


def test_rolling_that_is_too_late_is_left_out():
    run = one((Wait(0, 0, 1, "skip"),), [1, 0, 0, 0, 1], [2, 10, 10, 10, 10], "pack")
    assert run.finished
    assert run.skipped == (1,)
    assert run.done_day == (0, None)
    assert run.plots["a"].done_day == 0


def test_work_that_was_begun_in_time_is_not_too_late():
    run = one((Wait(0, 0, 1),), [1, 1, 1, 1, 1], [2, 1, 0, 0, 1])
    assert run.finished
    assert [(s.day, s.job) for s in run.spells] == [(0, 0), (1, 1), (4, 1)]


def test_tilling_over_again_does_not_ask_for_spraying_over_again():
    jobs = [
        Job("a", "spray", 1.0),
        Job("a", "till", 1.0, (Wait(0, 10, 21),)),
        Job("a", "seed", 1.0, (Wait(1, 1, 3),)),
    ]
    fit = np.zeros((3, 1, 40), dtype=bool)
    fit[:, 0, [0, 12, 30, 31]] = True
    run = seasons(jobs, fit, fit | True, np.full(40, 8.0)).runs[0]
    assert [(s.day, s.job) for s in run.spells] == [(0, 0), (12, 1), (30, 1), (31, 2)]


def test_a_second_spraying_where_tillage_came_too_late():
    jobs = [Job("a", "spray", 1.0), Job("a", "till", 1.0, (Wait(0, 10, 21),))]
    fit = np.zeros((2, 1, 40), dtype=bool)
    fit[:, 0, [0, 25, 36]] = True
    run = seasons(jobs, fit, fit | True, np.full(40, 8.0)).runs[0]
    assert [(s.day, s.job) for s in run.spells] == [(0, 0), (25, 0), (36, 1)]


# --- why a plot was not finished


def test_why_a_plot_was_not_finished():
    dry, wet = [1] * 6, [0] * 6
    assert one((Wait(0, 0),), wet).plots["a"].reason == NOT_FIT
    assert one((Wait(0, 0),), dry, [0.5] * 6).plots["a"].reason == NO_HOURS
    assert one((Wait(0, 10),), dry).plots["a"].reason == WAITS
    jobs = [Job("a", "till", 2.0)]
    dark = np.ones((1, 1, 6), dtype=bool)
    blind = seasons(jobs, dark, ~dark, np.full(6, 9.0)).runs[0]
    assert blind.plots["a"].reason == NOT_KNOWN
    assert blind.plots["a"].lost_days == {NOT_KNOWN: 6}
    assert one((Wait(0, 0),), dry).plots["a"].reason == ""


def test_the_most_advanced_job_goes_first_then_the_earlier_go_date():
    jobs = [
        Job("late", "till", 2.0, go_day=2),
        Job("early", "till", 2.0, go_day=1),
        Job("begun", "till", 2.0),
        Job("begun", "seed", 2.0, (Wait(2, 1),)),
    ]
    every = all_fit(jobs, 1, 10)
    run = seasons(jobs, every, every, np.full(10, 2.0)).runs[0]
    assert [(s.day, s.job) for s in run.spells] == [(0, 2), (1, 3), (2, 1), (3, 0)]


def test_one_machine_is_in_one_place():
    jobs = [Job("a", "till", 5.0, machine="disk"), Job("b", "till", 5.0, machine="disk")]
    every = all_fit(jobs, 1, 3)
    run = seasons(jobs, every, every, np.full(3, 12.0), np.full(3, 6.0)).runs[0]
    assert [(s.day, s.job, s.work_h) for s in run.spells] == [(0, 0, 5), (0, 1, 1), (1, 1, 4)]


def test_a_job_before_the_one_that_it_waits_on_is_refused():
    jobs = [Job("a", "seed", 1.0, (Wait(1),)), Job("a", "till", 1.0)]
    every = all_fit(jobs, 1, 3)
    with pytest.raises(BadInput, match=r"job 0 .seed on a."):
        seasons(jobs, every, every, np.ones(3))
    with pytest.raises(BadInput, match="2 jobs over 4 days"):
        seasons(jobs[1:] * 2, every, every, np.ones(4))


# --- counts of years


def record(typical=False):
    days = np.arange("2001-01-01", "2001-02-01", dtype="datetime64[D]")
    return DailySeries(station=Station("x"), times=days, typical=typical)


def test_a_count_of_years_wants_a_record():
    jobs = year_of_work(1)
    every = all_fit(jobs, 30, 30)
    fit = every.copy()
    fit[:, 23:] = False
    result = seasons(jobs, fit, every, np.full(30, 9.0))
    count = count_finished(record(), result)
    assert count[:2] == (23, 30)
    assert count[2:] == pytest.approx((0.591, 0.882), abs=0.001)
    assert result.last_days == [10] * 23 + [None] * 7
    with pytest.raises(BadInput, match="typical"):
        count_finished(record(typical=True), result)
    with pytest.raises(BadInput, match="no year"):
        count_finished(record(), seasons(jobs, fit[:, :0], every[:, :0], np.full(30, 9.0)))


@given(st.integers(1, 200), st.floats(0, 1))
def test_the_interval_against_scipy(of, part):
    count = round(part * of)
    theirs = binomtest(count, of).proportion_ci(method="wilson")
    assert wilson_low(count, of) == pytest.approx(theirs.low, abs=1e-6)
    assert wilson_high(count, of) == pytest.approx(theirs.high, abs=1e-6)
    with pytest.raises(OutsideRange):
        wilson_low(of + 1, of)


@settings(max_examples=10)
@given(st.integers(0, 999), st.floats(0.2, 0.8), st.floats(0.5, 6), st.integers(0, 4))
def test_without_the_reasons_the_years_are_the_same(seed, share, people_h, sees):
    jobs = year_of_work(6)
    fit = some_days(seed, jobs, 2, 40, share)
    people = np.where(np.arange(40) % 7 < 5, 0.0, people_h)
    told = seasons(jobs, fit, np.ones_like(fit), people, sees_days=sees)
    plain = seasons(jobs, fit, np.ones_like(fit), people, sees_days=sees, reasons=False)
    for one, other in zip(told.runs, plain.runs, strict=True):
        plots = {p: replace(out, reason="", lost_days={}) for p, out in one.plots.items()}
        other_plots = {p: replace(out, reason="") for p, out in other.plots.items()}
        assert replace(one, plots=plots) == replace(other, plots=other_plots)


def test_a_job_that_takes_no_time_is_done_without_people_and_comes_again_in_its_turn():
    jobs = [Job("a", "seed", 0.0), Job("a", "pack", 1.0, (Wait(0, 0, 2),)), Job("b", "till", 1.0)]
    fit = all_fit(jobs, 1, 6)
    fit[1, 0, :4] = False
    run = seasons(jobs, fit, fit | True, np.array([0.0, 0, 0, 1, 1, 1])).runs[0]
    # seeding is over on day 0, too long ago for packing on day 3, and done over on that day
    assert run.done_day == (3, 4, 3)
    assert [s.job for s in run.spells] == [2, 1]

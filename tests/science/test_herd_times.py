"""Times of day, and counts beside moon and weather, against circles' own laws and scipy."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize
from scipy.stats import circmean, nbinom, vonmises

from fencerow.science.herd import activity, effects, moon
from fencerow.words import OutsideRange

TIMES = st.lists(st.floats(0, 2 * pi), min_size=3, max_size=30)


@settings(max_examples=12)
@given(TIMES)
def test_a_curve_holds_one_and_is_scipys_von_mises(times):
    k = min(activity.concentration(times), 50.0)
    held, _ = quad(lambda t: activity.curve([t], times, k)[0], 0, 2 * pi, limit=100)
    assert held == pytest.approx(1, abs=1e-4)
    outside = np.mean([vonmises.pdf(1.0, max(k, 1e-9), loc=t) for t in times])
    assert activity.curve([1.0], times, k)[0] == pytest.approx(outside, rel=1e-6)


@given(TIMES, st.floats(0, 2 * pi))
def test_turning_the_clock_turns_the_mean_and_nothing_else(times, turn):
    turned = [t + turn for t in times]
    assert activity.mean_length(turned) == pytest.approx(activity.mean_length(times), abs=1e-9)
    if activity.mean_length(times) > 1e-3:
        apart = activity.mean_direction(turned) - circmean(times) - turn
        assert np.cos(apart) == pytest.approx(1, abs=1e-9)


def test_overlap_does_not_ask_which_is_first_and_is_one_with_itself():
    chance = np.random.default_rng(4)
    one, two = chance.vonmises(0.5, 2, 60), chance.vonmises(2, 1, 55)
    for estimate in (activity.overlap_few, activity.overlap_many):
        assert estimate(one, two) == pytest.approx(estimate(two, one), abs=1e-12)
        assert estimate(one, one) == pytest.approx(1)


def test_an_overlaps_interval_holds_the_true_one():
    """Two von Mises curves of known overlap; wider under `nightly`."""
    assert _held(8, 1) >= 0.75


@pytest.mark.nightly
def test_an_overlaps_interval_holds_the_true_one_in_many_runs():
    assert _held(200, 2) >= 0.88


def _held(runs, seed):
    at = np.linspace(0, 2 * pi, 4001)
    f, g = vonmises.pdf(at, 2, loc=2), vonmises.pdf(at, 2, loc=3.2)
    truth = np.trapezoid(np.minimum(f, g), at)
    chance = np.random.default_rng(seed)
    held = 0
    for run in range(runs):
        one, two = chance.vonmises(2, 2, 60), chance.vonmises(3.2, 2, 60)
        found = activity.overlap(one, two, draws=60, seed=run)
        held += found.low <= truth <= found.high
    return held / runs


@given(st.floats(0, 24, exclude_max=True), st.floats(4, 9), st.floats(15, 20))
def test_the_sun_keeps_its_order(clock, rise, set_):
    hour = activity.sun_hour(clock, rise, set_)
    assert 0 <= hour < 24
    assert (6 <= hour < 18) == (rise <= clock < set_)


def _visits(seed, days=150, by=0.5, spread=0.4):
    chance = np.random.default_rng(seed)
    moon_now, warm = chance.random(days), chance.normal(0, 4, days)
    mean = np.exp(1.2 + by * moon_now)
    visits = chance.negative_binomial(1 / spread, 1 / (1 + spread * mean))
    return visits, moon_now, warm


def test_the_fit_is_the_best_of_scipys_negative_binomial():
    visits, moon_now, warm = _visits(5)
    fitted = effects.counted(visits, [moon_now, warm])
    table = np.column_stack([np.ones(len(visits)), moon_now, warm])

    def cost(at):
        size = 1 / np.exp(at[3])
        mean = np.exp(table @ at[:3])
        return -nbinom.logpmf(visits, size, size / (size + mean)).sum()

    best = minimize(cost, [1, 0, 0, -1], method="BFGS")
    assert fitted.logs == pytest.approx(best.x[:3], abs=2e-3)
    assert fitted.spread == pytest.approx(np.exp(best.x[3]), rel=0.02)


def _ratios(runs, seed, by):
    for run in range(runs):
        visits, moon_now, warm = _visits(seed + run, by=by)
        fitted = effects.counted(visits, [moon_now, warm])
        yield effects.visits_ratio(fitted.logs[1], fitted.errors[1], 1.0, fitted.days - 3)


def test_what_bears_on_nothing_is_told_from_nothing_about_as_rarely_as_said():
    wrong = [not r.low <= 1 <= r.high for r in _ratios(40, 100, by=0.0)]
    assert sum(wrong) <= 6


@pytest.mark.nightly
@pytest.mark.parametrize("by", [0.0, 0.7])
def test_ratios_intervals_hold_the_true_ratio(by):
    held = np.mean([r.low <= np.exp(by) <= r.high for r in _ratios(400, 1000, by)])
    assert 0.92 <= held <= 0.98


def test_too_little_is_refused():
    for days, visits in ((29, 500), (60, 12)):
        with pytest.raises(OutsideRange):
            effects.enough(days, visits, 3)
    effects.enough(60, 200, 3)


def test_the_moon_goes_once_around_in_its_month():
    lit = [moon.moon_lit(f"2026-{m:02d}-{d:02d}T00:00:00+00:00")
           for m in range(1, 13) for d in range(1, 29)]  # fmt: skip
    assert min(lit) < 0.01
    assert max(lit) > 0.99
    # the synodic month is 29.53 days, so the same phase is back
    assert moon.moon_lit("2026-01-03T10:03:00+00:00") == pytest.approx(1, abs=0.003)

"""Estimators of number: they recover deer that were put there, and agree with scipy's own sums."""

from itertools import product
from math import comb, lgamma, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, poisson

from fencerow.science.herd import balance, encounter, harvest, mixture, recapture, survey
from fencerow.words import OutsideRange


def test_the_likelihood_is_that_of_scipys_own_distributions():
    counts = [[2, 3, 1], [0, 0, 1], [4, 2, 3], [1, float("nan"), 0]]
    mean, chance, most = 3.1, 0.55, 40
    outside = 0.0
    for row in counts:
        seen = [c for c in row if c == c]
        terms = [
            poisson.pmf(n, mean) * np.prod([binom.pmf(c, n, chance) for c in seen])
            for n in range(most + 1)
        ]
        outside += log(sum(terms))
    ours = mixture.mixture_log(counts, log(mean), log(chance / (1 - chance)), most)
    assert ours == pytest.approx(outside, abs=1e-10)


def test_coefficients_of_the_published_tests():
    """Tests of the package unmarked, pcount: an offset on the mean, a slope on the odds."""
    counts = [[8, 7], [6, 7], [8, 8], [8, 6], [7, 7]]
    offset, slope = np.array([0, 2, 3, 4, 1.0]), np.arange(1, 11.0).reshape(5, 2)
    mean, level, by = -0.78814924, 2.62569034, -0.02578801
    at = mixture.mixture_log(counts, mean + offset, level + by * slope, 30)
    for step in (-1e-2, 1e-2):
        assert mixture.mixture_log(counts, mean + step + offset, level + by * slope, 30) < at
        assert mixture.mixture_log(counts, mean + offset, level + step + by * slope, 30) < at
        assert mixture.mixture_log(counts, mean + offset, level + (by + step) * slope, 30) < at


def test_the_closed_number_is_the_best_whole_number_within_one():
    seen = [1] * 9 + [2] * 6 + [3] * 4 + [5]
    n, times, rounds = len(seen), sum(seen), 6

    def log_likelihood(animals):
        p = times / (animals * rounds)
        ways = lgamma(animals + 1) - lgamma(animals - n + 1)
        return ways + times * log(p) + (animals * rounds - times) * log(1 - p)

    best = max(range(n, 200), key=log_likelihood)
    found = recapture.closed_animals(seen, rounds)
    assert abs(found.likely - best) <= 1
    assert log_likelihood(found.high) == pytest.approx(
        log_likelihood(found.likely) - recapture.HALF_CHI2, abs=1e-5
    )


def test_chapman_has_no_bias_where_all_might_be_seen():
    """Its mean over every outcome of two rounds is the number itself, if the rounds hold all."""
    animals, marked, caught = 12, 7, 6
    mean = sum(
        recapture.chapman(marked, caught, again)
        * comb(marked, again)
        * comb(animals - marked, caught - again)
        for again in range(caught + 1)
        if caught - again <= animals - marked
    ) / comb(animals, caught)
    assert mean == pytest.approx(animals)


def _covered(intervals, truth):
    return np.mean([low <= truth <= high for low, high in intervals])


def _recaptured(runs, seed):
    """Intervals of 30 animals, each in one of 7 rounds with a chance of 0.25."""
    chance = np.random.default_rng(seed)
    for _ in range(runs):
        seen = (chance.random((30, 7)) < 0.25).sum(1)
        found = recapture.closed_animals([int(s) for s in seen if s], 7)
        yield found.low, found.high


def _mixed(runs, seed):
    """Intervals of a mean of 4 deer at 25 cameras, 6 rounds, a chance of 0.4."""
    chance = np.random.default_rng(seed)
    for _ in range(runs):
        deer = chance.poisson(4.0, 25)
        counts = chance.binomial(deer[:, None], 0.4, (25, 6))
        try:
            found = mixture.mixture(counts.tolist()).deer
        except OutsideRange:
            continue
        yield found.low, found.high


def _photographed(runs, seed):
    """Intervals of all deer by ratios: 15 bucks, 25 does, 12 fawns, alike at 16 cameras."""
    chance = np.random.default_rng(seed)
    for run in range(runs):
        share = chance.gamma(3, 1 / 3, 16)  # cameras differ by far more than chance
        photos = [chance.poisson(n * 1.5 * share) for n in (15, 25, 12)]
        if photos[0].sum() == 0:
            continue
        found = survey.ratio_interval(15, *(p.tolist() for p in photos), draws=400, seed=run)
        yield found.low, found.high


@pytest.mark.parametrize(
    ("make", "truth", "runs"), [(_recaptured, 30, 60), (_mixed, 4.0, 8), (_photographed, 52, 60)]
)
def test_intervals_hold_what_was_put_there(make, truth, runs):
    """Of 95 in 100; with so few runs it is only seen that they are not far from it."""
    assert _covered(make(runs, 1), truth) >= 0.85


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("make", "truth", "runs"),
    [(_recaptured, 30, 1000), (_mixed, 4.0, 300), (_photographed, 52, 600)],
)
def test_intervals_hold_what_was_put_there_in_many_runs(make, truth, runs):
    assert 0.91 <= _covered(make(runs, 2), truth) <= 0.99


def test_a_buck_photographed_more_often_makes_the_ratios_too_low():
    """As published, 1.9 photos of a buck to one of a doe make it a third too low."""
    bucks, does, fawns = 20, 40, 20
    photos = [np.full(8, n) for n in (bucks * 1.9, does, fawns)]
    low = survey.ratio_interval(bucks, *photos)
    assert low.likely / (bucks + does + fawns) == pytest.approx(0.645, abs=0.01)
    mended = survey.ratio_interval(bucks, *photos, seen_less=(1.9, 1.9))
    assert mended.likely == pytest.approx(bucks + does + fawns)


@given(st.integers(1, 40), st.integers(0, 40))
def test_an_interval_of_a_part_holds_it_and_stays_within_a_hundred(whole, part):
    part = min(part, whole)
    found = harvest.part_of(part, whole)
    assert -1e-9 <= found.low <= found.likely + 1e-9
    assert found.likely - 1e-9 <= found.high <= 100 + 1e-9


@given(st.floats(0.4, 2), st.floats(0.6, 1), st.floats(0.5, 1))
def test_does_taken_by_the_share_are_as_many_next_year(fawns, does_left, fawns_left):
    try:
        share = balance.level_share(fawns, does_left, fawns_left)
    except OutsideRange:
        return
    if share <= 100:
        again = balance.does_next_year(40, share / 100, fawns, does_left, fawns_left)
        assert again == pytest.approx(40)


def test_deer_that_walk_at_random_are_as_dense_as_they_pass():
    """Straight ways across a field, and a camera that sees a disk.

    The formula takes a sector to be r (2 + angle) / pi wide on the average; a disk is 2 r wide.
    """
    chance, side, reach, walked = np.random.default_rng(3), 4.0, 0.1, 2.0
    deer, passes = 4000, 0
    start = chance.uniform(0, side, (deer, 2))
    turn = chance.uniform(0, 2 * np.pi, deer)
    way = np.c_[np.cos(turn), np.sin(turn)] * walked
    for shift in product((-side, 0, side), repeat=2):
        off = np.array([side / 2, side / 2]) + shift - start
        along = np.clip((off * way).sum(1) / walked**2, 0, 1)
        near = np.hypot(*(off - along[:, None] * way).T) < reach
        inside = np.hypot(*off.T) < reach  # began within: it did not come in
        passes += int((near & ~inside).sum())
    found = encounter.encountered(passes, walked, reach, 2 * np.pi - 2)
    assert found == pytest.approx(deer / side**2, rel=0.1)

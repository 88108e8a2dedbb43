"""Rates and mixes: what must hold of every seeding, and when a word is due."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.seed.depth import Pass, depth_caution, seeding_passes
from fencerow.science.seed.mix import (
    Convention,
    hopper_caution,
    nurse_caution,
    rate_by_fraction,
    rate_by_seeds,
    rise_caution,
    share_rise,
    shares_caution,
    size_ratio,
)
from fencerow.science.seed.rates import catch_rate, rate_from_seeds, seeds_per_ft2
from fencerow.words import BadInput

rates = st.floats(0.1, 200)
counts = st.floats(1_000, 1_000_000)
windows = st.tuples(st.integers(0, 8), st.integers(0, 8)).map(lambda w: tuple(sorted(w)))


@given(rates, counts)
def test_pounds_to_seeds_and_back(rate, count):
    assert rate_from_seeds(seeds_per_ft2(rate, count), count) == pytest.approx(rate)


@given(rates, counts, st.floats(0.1, 3))
def test_seeds_scale_with_the_rate(rate, count, times):
    assert seeds_per_ft2(times * rate, count) == pytest.approx(times * seeds_per_ft2(rate, count))


@given(rates, st.floats(1, 30), st.floats(10, 500))
def test_twice_the_run_halves_the_rate(catch, width, distance):
    far = catch_rate(catch, width, 2 * distance)
    assert 2 * far == pytest.approx(catch_rate(catch, width, distance))


@given(st.lists(st.tuples(st.floats(0.05, 1), counts), min_size=1, max_size=6), st.floats(5, 80))
def test_parts_by_seeds_come_to_the_whole(parts, target):
    whole = sum(weight for weight, _ in parts)
    laid = [(rate_by_seeds(target, weight / whole, count), count) for weight, count in parts]
    assert sum(seeds_per_ft2(rate, count) for rate, count in laid) == pytest.approx(target)


def test_the_two_conventions_differ():
    """Half of each by fraction is far from half the seeds of each (wheat against white clover)."""
    wheat = seeds_per_ft2(rate_by_fraction(105, 0.5), 12_500)
    clover = seeds_per_ft2(rate_by_fraction(5, 0.5), 775_000)
    assert clover / (wheat + clover) > 0.7


def test_sums_of_shares():
    assert shares_caution(Convention.FRACTION, [0.5, 0.25, 0.25]) is None
    assert "1.3 full seedings" in str(shares_caution(Convention.FRACTION, [0.8, 0.5]))
    assert "0.8 of a full" in str(shares_caution(Convention.FRACTION, [0.5, 0.3]))
    assert shares_caution(Convention.SEEDS, [0.333, 0.333, 0.333]) is None
    with pytest.raises(BadInput, match=r"1\.3; they should come to 1"):
        shares_caution(Convention.SEEDS, [0.8, 0.5])


def test_words_where_due_and_not_before():
    assert nurse_caution("wheat", 52.5, 52.5) is None
    assert "60.0 lb/ac" in str(nurse_caution("wheat", 60, 52.5))
    assert rise_caution("white clover", share_rise(0.20, 0.24)) is None
    assert "30 %" in str(rise_caution("white clover", share_rise(0.20, 0.26)))
    assert hopper_caution("chicory", "radish", 10) is None
    assert "62 times" in str(hopper_caution("white clover", "wheat", size_ratio(775_000, 12_500)))


def test_one_depth_for_two_parts_is_worth_a_word():
    assert "0.5 in" in str(depth_caution(Pass(0.5, 0.5, ("clover_white", "wheat"))))
    assert depth_caution(Pass(0.25, 0.25, ("trefoil",))) is None
    assert depth_caution(Pass(0.25, 0.5, ("clover_white", "clover_red"))) is None


@given(st.dictionaries(st.sampled_from("abcdefg"), windows, min_size=1))
def test_trips_suit_their_parts_and_go_deepest_first(depths):
    trips = seeding_passes(depths)
    assert sorted(name for trip in trips for name in trip.parts) == sorted(depths)
    for trip in trips:
        assert trip.low_in <= trip.high_in
        assert all(depths[n][0] <= trip.low_in and trip.high_in <= depths[n][1] for n in trip.parts)
    assert [t.high_in for t in trips] == sorted((t.high_in for t in trips), reverse=True)


@given(st.dictionaries(st.sampled_from("abcdef"), windows, min_size=1))
def test_no_fewer_trips_would_do(depths):
    """Against brute force: the fewest depths out of all that touch every window."""
    for number in range(1, len(depths) + 1):
        for chosen in combinations(range(9), number):
            if all(any(low <= d <= high for d in chosen) for low, high in depths.values()):
                assert len(seeding_passes(depths)) == number
                return

"""Blends as a whole: sums, mixed bags, caps, the lightest change; counts of germination; waits."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from fencerow.science.seed.age import (
    counted_high,
    counted_low,
    germination_counted,
    inoculant_good_until,
    packets_needed,
)
from fencerow.science.seed.blend import (
    KEPT_SHARE,
    bag_need,
    capped_factor,
    lightest_change,
    months_without,
    part_of_bag,
    rate_in_bag,
    rates_together,
    seeds_together,
    share_of_full,
    shares_together,
)
from fencerow.science.seed.mix import rate_by_fraction
from fencerow.science.seed.order import component_need
from fencerow.science.seed.pls import bulk_rate, pls_delivered, pls_share
from fencerow.science.seed.rates import rate_from_seeds, seeds_per_ft2
from fencerow.science.seed.rotation import (
    days_between,
    earliest_sowing,
    graze_from,
    longest_wait,
    years_running,
)
from fencerow.words import OutsideRange

shares = st.dictionaries(st.sampled_from("abcdef"), st.floats(0.05, 1.5), min_size=1, max_size=6)
caps = st.dictionaries(st.sampled_from("abcdef"), st.floats(0.1, 1.0), max_size=3)
percents = st.floats(1, 100)
LEAST, MOST = 0.75, 1.5


@given(shares, caps)
def test_the_lightest_change_lands_within_bounds(parts, most):
    try:
        change = lightest_change(parts, most, LEAST, MOST)
    except OutsideRange:
        # only where even all caps together leave too little
        assert all(name in most for name in parts)
        assert sum(min(most[n], 9) for n in parts) < LEAST
        return
    assert LEAST - 1e-6 <= sum(change.shares.values()) <= MOST + 1e-6
    assert all(change.shares[n] <= most.get(n, 99) + 1e-9 for n in parts)
    assert list(change.shares) == list(parts)
    assert all(share > 0 for share in change.shares.values())


@given(shares, caps)
def test_within_bounds_nothing_is_changed(parts, most):
    held = {n: min(s, most.get(n, 9)) for n, s in parts.items()}
    if LEAST <= sum(held.values()) <= MOST:
        assert lightest_change(held, most, LEAST, MOST) == (held, "none", "")


@given(st.floats(0.1, 1.5), st.floats(0.1, 1.5))
def test_no_lighter_change_of_two_parts_is_found_on_a_grid(a, b):
    """Against brute force: of changes that keep at least half of each part, none is lighter."""
    change = lightest_change({"a": a, "b": b}, {}, LEAST, MOST)
    if change.how == "none" or min(a, b) <= 0:
        return

    def weight(x, y):
        return abs(x - a) / a + abs(y - b) / b

    found = weight(change.shares["a"], change.shares["b"])
    goal = LEAST if a + b < LEAST else MOST
    grid = [goal * i / 200 for i in range(1, 200)]
    kept = [x for x in grid if x >= KEPT_SHARE * a and goal - x >= KEPT_SHARE * b]
    # a change of all alike may cut both below half where the whole is far too thick
    if change.how == "one":
        assert found <= min((weight(x, goal - x) for x in kept), default=9) + 0.02


@given(st.floats(0.1, 3), st.floats(0.5, 2))
def test_a_capped_factor_is_never_above_its_cap(factor, cap):
    assert capped_factor(factor, cap) <= cap
    assert capped_factor(factor, cap) <= factor


@given(st.lists(st.tuples(st.floats(0.1, 100), st.floats(0.1, 100)), min_size=1, max_size=6))
def test_parts_sum_to_the_whole(parts):
    rates, fulls = [r for r, _ in parts], [f for _, f in parts]
    assert rates_together(rates) == pytest.approx(sum(rates))
    assert seeds_together(rates) == pytest.approx(sum(rates))
    whole = shares_together([share_of_full(r, f) for r, f in zip(rates, fulls, strict=True)])
    assert whole == pytest.approx(sum(r / f for r, f in parts))


@given(st.floats(1, 200), st.lists(percents, min_size=1, max_size=5), st.floats(0.5, 3))
def test_parts_of_a_mixed_bag_never_weigh_more_than_the_bag(rate, weights, acres):
    scaled = [min(100.0, 100 * w / sum(weights)) for w in weights]
    need = bag_need(rate, 1.0, acres)
    assert sum(part_of_bag(need, w) for w in scaled) == pytest.approx(need)
    assert sum(rate_in_bag(rate, w, 90) for w in scaled) == pytest.approx(0.9 * rate)


@given(st.floats(0.5, 200), st.floats(0.05, 1), st.floats(1_000, 1_000_000), st.floats(0.1, 1.5))
def test_rates_round_trip(rate, live, count, share):
    assert pls_delivered(bulk_rate(rate, live), live) == pytest.approx(rate)
    assert rate_from_seeds(seeds_per_ft2(rate, count), count) == pytest.approx(rate)
    assert share_of_full(rate_by_fraction(rate, share), rate) == pytest.approx(share)


@given(st.floats(20, 99), st.floats(10, 90), st.floats(0.1, 9), st.floats(1, 100))
def test_more_germination_never_needs_more_pounds(purity, germination, more, rate):
    def need(percent):
        return component_need(rate, 1.0, 2.0, pls_share(purity, percent, 0))

    assert need(germination + more) <= need(germination)


@given(st.integers(10, 400), st.data())
def test_a_count_and_its_interval_against_scipy(counted, data):
    sprouted = data.draw(st.integers(0, counted))
    ends = binomtest(sprouted, counted).proportion_ci(method="wilson")
    assert counted_low(sprouted, counted) == pytest.approx(100 * ends.low, abs=1e-4)
    assert counted_high(sprouted, counted) == pytest.approx(100 * ends.high, abs=1e-4)
    share = germination_counted(sprouted, counted)
    assert counted_low(sprouted, counted) - 1e-9 <= share <= counted_high(sprouted, counted) + 1e-9


def test_more_sprouted_than_laid_out_is_refused():
    for function in (germination_counted, counted_low, counted_high):
        with pytest.raises(OutsideRange, match="cannot be more"):
            function(21, 20)


def test_months_without():
    rye, clover = "111231000132", "000023332210"
    assert months_without({"rye": rye, "clover": clover}) == ()
    assert months_without({"clover": clover}) == (1, 2, 3, 4, 12)


def test_inoculant():
    assert inoculant_good_until(date(2026, 12, 1), 365) == date(2027, 12, 1)
    assert packets_needed(50, 50) == 1
    assert packets_needed(50.1, 50) == 2


@given(st.dictionaries(st.sampled_from("abcd"), st.integers(0, 1000), min_size=1))
def test_the_longest_wait_of_a_mix_wins(waits):
    applied = date(2027, 4, 1)
    earliest = earliest_sowing(applied, longest_wait(waits))
    assert all(earliest >= earliest_sowing(applied, days) for days in waits.values())
    assert days_between(applied, earliest) == max(waits.values())


@given(st.lists(st.dates(date(2026, 9, 1), date(2026, 12, 1)), min_size=1, max_size=5))
def test_stock_wait_from_the_last_frost(frosts):
    assert graze_from(frosts, 7) == max(frosts) + timedelta(days=7)


def test_years_running():
    assert years_running([2025, 2026, 2027], 2027) == 3
    assert years_running([2024, 2026, 2027], 2027) == 2
    assert years_running([2024], 2027) == 0

"""Whole bags: they cover the need, no cheaper choice does, and the rate that they give."""

from itertools import product
from math import ceil, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.seed.order import (
    bags_needed,
    component_need,
    least_cost_bags,
    realised_rate,
    surplus,
    weight_of_bags,
)
from fencerow.words import BadInput, OutsideRange

needs = st.floats(0, 300)
sizes = st.sampled_from([1, 2.5, 5, 10, 25, 50, 55.12])
tolerances = st.sampled_from([0.0, 0.05, 0.1])
offers = st.lists(
    st.tuples(st.sampled_from([5, 10, 25, 50]), st.integers(1, 60)), min_size=1, max_size=3
)


@given(needs, sizes, tolerances)
def test_bags_cover_and_one_fewer_would_not(need, size, tolerance):
    bags = bags_needed(need, size, tolerance)
    wanted = need * (1 - tolerance)
    assert bags * size >= wanted - 1e-6
    assert bags == 0 or (bags - 1) * size < wanted


@given(needs, sizes)
def test_one_size_on_sale_is_the_plain_count(need, size):
    assert least_cost_bags(need, [size]) == (bags_needed(need, size),)


def _brute(need, bags):
    """The least (cost, weight, bags) over every choice that could matter."""
    best = (inf, inf, inf)
    for counts in product(*(range(ceil(need / size) + 1) for size, _ in bags)):
        weight = sum(n * size for n, (size, _) in zip(counts, bags, strict=True))
        if weight >= need:
            cost = sum(n * price for n, (_, price) in zip(counts, bags, strict=True))
            best = min(best, (cost, weight, sum(counts)))
    return best


@given(st.integers(0, 120), offers)
def test_least_cost_against_brute_force(need, bags):
    counts = least_cost_bags(need, [s for s, _ in bags], [p for _, p in bags])
    weight = sum(n * size for n, (size, _) in zip(counts, bags, strict=True))
    cost = sum(n * price for n, (_, price) in zip(counts, bags, strict=True))
    assert (cost, weight, sum(counts)) == _brute(need, bags)


@given(st.integers(0, 120), offers)
def test_without_prices_the_least_seed_wins(need, bags):
    counts = least_cost_bags(need, [s for s, _ in bags])
    weight = sum(n * size for n, (size, _) in zip(counts, bags, strict=True))
    assert (0, weight, sum(counts)) == _brute(need, [(size, 0) for size, _ in bags])


def test_a_shortfall_that_the_person_allows_saves_a_bag():
    assert least_cost_bags(51, [50]) == (2,)
    assert least_cost_bags(51, [50], tolerance_share=0.05) == (1,)


@pytest.mark.parametrize(("weights", "prices"), [([], []), ([0], []), ([5, 25], [20]), ([5], [-1])])
def test_sizes_and_prices_that_make_no_sense(weights, prices):
    with pytest.raises(BadInput, match="either all sizes or none"):
        least_cost_bags(10, weights, prices)


def test_an_order_past_all_reason_is_refused():
    with pytest.raises(OutsideRange):
        least_cost_bags(30_000, [50])


@given(st.floats(0.5, 150), st.floats(0.25, 4), st.floats(0.1, 50), st.floats(0.05, 1))
def test_need_and_rate_turn_each_other_round(rate, factor, area, share):
    need = component_need(rate, factor, area, share)
    assert realised_rate(need, share, area) == pytest.approx(rate * factor)
    assert component_need(rate, factor, 2 * area, share) == pytest.approx(2 * need)


@given(st.floats(1, 300), st.floats(0.1, 50), st.floats(0.05, 1), sizes)
def test_whole_bags_never_thin_the_seeding(rate, area, share, size):
    need = component_need(rate, 1.0, area, share)
    if need > 100_000:
        return
    bought = weight_of_bags(bags_needed(need, size), size)
    assert surplus(bought, need) > -1e-6 * need - 1e-6
    assert realised_rate(bought, share, area) >= rate * (1 - 1e-6)

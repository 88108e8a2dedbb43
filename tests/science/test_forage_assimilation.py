"""What clips teach, as properties: between what was and what is read, surer than either."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.forage import assimilation as a
from fencerow.science.forage import choice

SMALL = settings(max_examples=30)
means, variances = st.floats(-2, 2), st.floats(0.001, 2)


@SMALL
@given(means, variances, means, variances)
def test_an_update_lies_between_and_is_surer_than_both(mean, variance, read, noise):
    new = a.updated_mean(mean, variance, read, noise)
    assert min(mean, read) - 1e-9 <= new <= max(mean, read) + 1e-9
    assert a.updated_variance(variance, noise) < min(variance, noise)


@SMALL
@given(means, variances, st.lists(st.tuples(means, variances), min_size=2, max_size=4))
def test_readings_of_one_day_may_come_in_any_order(mean, variance, read):
    def after(readings):
        m, v = mean, variance
        for value, noise in readings:
            m, v = a.updated_mean(m, v, value, noise), a.updated_variance(v, noise)
        return m, v

    assert after(read) == pytest.approx(after(read[::-1]), rel=1e-6, abs=1e-9)


@SMALL
@given(variances, st.floats(0, 200), st.floats(0, 200))
def test_what_is_known_only_wears_off(variance, one, two):
    start = 2.0
    first, last = sorted((one, two))
    early, late = (a.widened(min(variance, start), start, d, 60) for d in (first, last))
    assert variance - 1e-9 <= early <= late <= start


@SMALL
@given(st.floats(0.2, 4), st.floats(100, 9000), st.floats(0.1, 1), st.floats(0, 1))
def test_an_end_drawn_in_never_crosses_the_likely(factor, likely, of, band):
    low = a.corrected_growth(factor, likely, likely * of, band)
    assert factor * likely * of - 1e-6 <= low <= factor * likely + 1e-6


def test_the_spread_of_a_threefold_range_is_what_the_table_says():
    # ln(3) between the 10 and the 90 % point of a normal: 2 x 1.2816 spreads
    assert math.log(3) / (2 * 1.2816) == pytest.approx(0.43, abs=0.005)


@SMALL
@given(st.lists(st.floats(1, 1000), min_size=1, max_size=8), st.floats(0, 1000))
def test_a_larger_budget_never_eats_less(eaten, budget):
    costs = [100.0 * (i + 1) for i in range(len(eaten))]
    picked = [choice.pick(costs, eaten, eaten, b, 0.0) for b in (budget, budget + 100)]
    if picked[0] is not None:
        assert eaten[picked[1]] >= eaten[picked[0]]


@SMALL
@given(st.lists(st.floats(0, 500), min_size=4, max_size=4), st.floats(0, 300))
def test_the_plain_ledger_never_eats_more_than_grew_or_was_asked(growth, asked):
    (eaten,) = choice.eaten_by_grid([growth], [asked] * 4, 0.9, 0.5)
    assert eaten <= min(0.5 * sum(growth), 4 * asked) + 1e-9

"""The ledger: nothing is lost from view, nobody eats more than there is, more never means less."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from fencerow.science.forage.days import products_by_week, sums_by_week, week_lengths
from fencerow.science.forage.draws import BANDS, bands
from fencerow.science.forage.ledger import balance, kept_by_day, short_weeks

STEPS = 20
amounts = arrays(float, (3, STEPS), elements=st.floats(0, 5000))
asks = arrays(float, STEPS, elements=st.floats(0, 3000))
keeps = arrays(float, (3, STEPS), elements=st.floats(0, 1))
shares = st.floats(0, 1)


@given(amounts, asks, keeps, shares)
def test_what_stood_and_grew_is_eaten_lost_or_stands(growth, asked, keep, usable):
    made = balance(growth, asked, keep, usable)
    before = np.hstack([np.zeros((3, 1)), made.standing[:, :-1]])
    left = before + growth - made.eaten - made.lost
    assert made.standing == pytest.approx(left, abs=1e-6)
    assert (made.lost >= -1e-6).all()


@given(amounts, asks, keeps, shares)
def test_no_stand_gives_more_than_it_offers(growth, asked, keep, usable):
    made = balance(growth, asked, keep, usable)
    assert (made.eaten <= made.usable + 1e-9).all()
    assert (made.carry <= made.standing + 1e-9).all()
    assert made.short == pytest.approx(asked - made.eaten.sum(axis=0), abs=1e-6)
    assert (made.short >= 0).all()


@given(amounts, asks, keeps, shares, st.floats(1, 3))
def test_more_growth_or_fewer_deer_never_leave_less(growth, asked, keep, usable, times):
    made = balance(growth, asked, keep, usable)
    more = balance(growth * times, asked, keep, usable)
    fewer = balance(growth, asked / times, keep, usable)
    for better in (more, fewer):
        assert (better.standing.sum(axis=0) >= made.standing.sum(axis=0) - 1e-6).all()
        assert (better.short <= made.short + 1e-6).all()


@given(amounts, asks, shares, shares)
def test_plots_together_are_one_plot(growth, asked, keep, usable):
    apart, whole = (balance(g, asked, keep, usable) for g in (growth, growth.sum(axis=0)[None]))
    assert apart.eaten.sum(axis=0) == pytest.approx(whole.eaten[0], abs=1e-6)
    assert apart.carry.sum(axis=0) == pytest.approx(whole.carry[0], abs=1e-6)


def test_the_demonstration_by_months_from_its_own_rows():
    # 4 ac ladino, 5 ac wheat and clover at 3,500, 3 ac soybean at 3,000, September to August;
    # worked in a script of its own before this code was written
    curves = {
        "ladino": [0.06, 0.06, 0.03, 0.01, 0.01, 0.02, 0.10, 0.20, 0.22, 0.15, 0.08, 0.06],
        "grain": [0, 0.06, 0.13, 0.08, 0.03, 0.08, 0.27, 0.25, 0.10, 0, 0, 0],
        "soybean": [0.15, 0.03, 0, 0, 0, 0, 0, 0, 0, 0.20, 0.32, 0.30],
    }
    potential = {"ladino": 4 * 3500, "grain": 5 * 3500, "soybean": 3 * 3000}
    growth = np.array([[potential[n] * s for s in c] for n, c in curves.items()])
    assert growth.sum(axis=0)[7] == pytest.approx(7175)
    asked = [770, 478, 504, 603, 609, 495, 540, 383, 409, 623, 875, 1065]
    made = balance(growth, asked, 0.5, 0.5)
    assert made.carry.sum(axis=0)[4] == pytest.approx(57, abs=1)
    assert (0.5 * growth).sum() == pytest.approx(20_250, abs=1)
    assert not made.short.any()


def test_no_stands_no_food():
    made = balance(np.zeros((0, 3)), [1, 2, 3], np.zeros((0, 3)), 0.5)
    assert made.short.tolist() == [1, 2, 3]


def test_days_multiply_into_weeks():
    first, weeks = date(2027, 1, 1), week_lengths(365)
    kept = kept_by_day(first, 365, [0.01] * 12, [date(9999, 1, 1)], 0.5, [date(2027, 7, 1)])
    by_week = products_by_week(kept, weeks)[0]
    assert by_week[0] == pytest.approx(0.99**7)
    assert by_week[25] == 0
    assert sum(weeks) == 365
    assert sums_by_week(np.ones((1, 365)), weeks)[0].tolist() == [7.0] * 51 + [8.0]


def test_a_week_that_is_met_is_not_short():
    assert short_weeks([0.0, 1e-12], [0.0, 100.0], 0.0) == ()


@given(arrays(float, st.tuples(st.integers(1, 30), st.integers(1, 4)), elements=st.floats(0, 1e6)))
def test_the_bands_of_the_runs_are_the_quantiles_to_the_last_digit(amounts):
    assert np.array_equal(bands(amounts), np.quantile(amounts, BANDS, axis=0))


def test_the_bands_of_what_is_not_known_are_not_known():
    assert np.isnan(bands([1.0, np.nan, 2.0])).all()

"""Growth: curves sum to one, weeks to months; nothing grows before its day or after its end."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.science.forage.days import sums_by_week, week_lengths
from fencerow.science.forage.growth import (
    annual_end,
    growth_by_day,
    killing_frost,
    soil_share,
    yield_at,
)

TABLES = Tables.shipped()
CURVES = sorted({row.text("curve") for row in TABLES["growth_curves"]})
LATER = date(9999, 1, 1)


def curve(name):
    rows = TABLES["growth_curves"]
    return [rows.row(name, str(m)).number("month_share") for m in range(1, 13)]


def grown(name, first, last, potential=1.0):
    """What a curve grows from a day until before another."""
    days = (last - first).days
    return growth_by_day(first, days, [potential], [curve(name)], [first], [LATER]).sum()


@pytest.mark.parametrize("name", CURVES)
def test_a_curve_sums_to_one(name):
    assert sum(curve(name)) == pytest.approx(1, abs=1e-9)
    assert grown(name, date(2027, 1, 1), date(2028, 1, 1), 3500) == pytest.approx(3500)


def test_small_grains_grow_as_in_the_oklahoma_trial():
    # Baker 2004, Oklahoma 2003-04: 21 % of the season by 4 December, 35 % by 20 February
    fall = date(2027, 9, 1)
    assert grown("small_grain_S", fall, date(2027, 12, 5)) == pytest.approx(0.21, abs=0.015)
    assert grown("small_grain_S", fall, date(2028, 2, 21)) == pytest.approx(0.35, abs=0.015)


starts = st.dates(date(2020, 1, 1), date(2040, 1, 1))
shares = st.lists(st.floats(0, 1), min_size=12, max_size=12)


@given(starts, shares, st.floats(0, 9000))
def test_weeks_come_to_the_months(start, months, potential):
    days = (start.replace(year=start.year + 1, day=1) - start.replace(day=1)).days
    first = start.replace(day=1)
    by_day = growth_by_day(first, days, [potential], [months], [first], [LATER])
    by_week = sums_by_week(by_day, week_lengths(days))
    assert by_week.shape == (1, 52)
    assert by_week.sum() == pytest.approx(potential * sum(months))


@given(starts, st.integers(0, 400), st.integers(0, 400))
def test_nothing_grows_before_its_day_or_from_its_end_on(start, wait, stay):
    begins, ends = start + timedelta(wait), start + timedelta(wait + stay)
    by_day = growth_by_day(start, 800, [1200], [[1 / 12] * 12], [begins], [ends])[0]
    assert not by_day[:wait].any()
    assert not by_day[wait + stay :].any()
    assert (by_day[wait : wait + stay] > 0).all()


def test_each_stand_has_its_own_row():
    by_day = growth_by_day(
        date(2027, 9, 1), 3, [3500, 9000], [curve("ladino_S"), curve("soybean_cowpea")],
        [date(2027, 9, 1), date(2027, 9, 2)], [LATER, date(2027, 9, 3)],
    )  # fmt: skip
    assert by_day == pytest.approx(np.array([[7, 7, 7], [0, 45, 0]]))


def test_no_stands_no_rows():
    assert growth_by_day(date(2027, 1, 1), 7, [], [], [], []).shape == (0, 7)


@pytest.mark.parametrize(
    ("name", "first", "end"),
    [
        ("soybean_cowpea", date(2027, 6, 20), date(2027, 11, 1)),
        ("brassica_fall", date(2027, 9, 10), date(2028, 3, 1)),
        ("small_grain_S", date(2027, 10, 5), date(2028, 6, 1)),
        ("small_grain_S", date(2027, 9, 28), date(2028, 6, 1)),
        ("oats_fall_N", date(2027, 12, 1), None),
        ("brassica_fall", date(2027, 5, 1), None),
    ],
)
def test_an_annual_ends_where_its_curve_does(name, first, end):
    assert annual_end(first, curve(name)) == end


@given(st.floats(3.5, 9.5), st.floats(3.5, 9.5))
def test_sour_ground_never_grows_more(one, other):
    low, high = sorted((one, other))
    at_low, at_high = (soil_share(ph, 5.5, 6.2, 0.7, 0.3) for ph in (low, high))
    assert 0.3 <= at_low <= at_high <= 1


def test_where_least_and_target_are_one_the_share_still_falls_slowly():
    assert soil_share(5.75, 6.0, 6.0, 0.7, 0.3) == pytest.approx(0.85)


@given(st.floats(0, 9000), st.floats(0, 9000), st.floats(0, 1))
def test_a_yield_stays_within_its_range(one, other, at):
    low, high = sorted((one, other))
    assert low <= yield_at(low, high, at) <= high + 1e-6


def test_a_colder_plant_dies_later():
    days = np.arange("1991-08-01", "2021-08-01", dtype="datetime64[D]")
    season = np.cos((days - np.datetime64("1991-07-20")).astype(float) / 365.25 * 2 * np.pi)
    tmin = 4 + 15 * season + np.random.default_rng(5).normal(0, 4, len(days))
    dates = [killing_frost(days, tmin, f, 0.5, 2027) for f in (32, 28, 17)]
    assert dates == sorted(dates)
    assert killing_frost(days, tmin, 28, 0.1, 2027) < killing_frost(days, tmin, 28, 0.9, 2027)
    assert killing_frost(days, tmin, -50, 0.5, 2027) is None

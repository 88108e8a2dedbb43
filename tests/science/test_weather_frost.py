"""Freeze dates: whole degrees first, void seasons, seasons without a freeze."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.weather.frost import (
    FEW_SEASONS,
    THRESHOLDS_F,
    FreezeDates,
    first_fall_freezes,
    freeze_after,
    freeze_by,
    last_spring_freezes,
    whole_f,
)

NAN = np.nan


def record(first, last, cold=(), temp_c=-3.0, missing=()):
    """A mild record with cold and with unknown days."""
    dates = np.arange(first, last, dtype="datetime64[D]")
    tmin = np.full(len(dates), 10.0)
    for day in cold:
        tmin[dates == np.datetime64(day)] = temp_c
    for begin, end in missing:
        tmin[(dates >= np.datetime64(begin)) & (dates <= np.datetime64(end))] = NAN
    return dates, tmin


def on_days(days, void=0, free=0):
    """Freeze dates that fall on these days of the year, with void and freeze-free seasons."""
    day = np.array([*days, *[NAN] * (void + free)], dtype=float)
    date = np.where(np.isnan(day), np.datetime64("NaT", "D"), np.datetime64("2001-01-01"))
    is_void = np.arange(len(day)) >= len(days) + free
    zeros = np.zeros(len(day), dtype=np.int64)
    return FreezeDates(32, zeros + 2001, date, day, zeros, is_void)


@pytest.mark.parametrize("f", [36, 32, 28, 24, 0, -10])
def test_whole_degrees_survive_the_trip_through_tenths_of_a_degree_c(f):
    tenths = round((f - 32) / 1.8, 1)
    assert whole_f(tenths) == f


def test_a_freeze_of_28_that_reads_minus_2_2_is_found():
    dates, tmin = record("2020-08-01", "2021-07-31", cold=["2020-10-15"], temp_c=-2.2)
    assert -2.2 > (28 - 32) / 1.8
    assert str(first_fall_freezes(dates, tmin, 28).date[0]) == "2020-10-15"
    assert np.isnat(first_fall_freezes(dates, tmin, 27).date[0])


def test_first_of_the_fall_and_last_of_the_spring():
    cold = ["2020-04-20", "2020-05-02", "2020-10-19", "2020-11-03"]
    dates, tmin = record("2020-01-01", "2020-12-31", cold)
    assert str(first_fall_freezes(dates, tmin, 32).date[0]) == "2020-10-19"
    assert str(last_spring_freezes(dates, tmin, 32).date[0]) == "2020-05-02"


def test_a_first_freeze_after_new_year_belongs_to_the_fall_before():
    dates, tmin = record("2019-01-01", "2021-12-31", cold=["2020-01-06"])
    fall = first_fall_freezes(dates, tmin, 32)
    assert fall.year.tolist() == [2019, 2020, 2021]
    assert fall.day[0] == 365 + 6
    assert fall.void.tolist() == [False, False, True]
    assert fall.free_share == 0.5


def test_days_are_counted_without_29_february():
    cold = ["2019-03-01", "2020-03-01", "2021-02-28"]
    dates, tmin = record("2018-08-01", "2021-07-31", cold)
    spring = last_spring_freezes(dates, tmin, 32)
    assert spring.day[1:].tolist() == [60, 60, 59]


def test_ten_unknown_days_before_the_freeze_are_borne_and_eleven_void_the_season():
    for end, void in (("2020-09-10", False), ("2020-09-11", True)):
        dates, tmin = record(
            "2020-08-01", "2020-12-31", ["2020-10-19"], missing=[("2020-09-01", end)]
        )
        fall = first_fall_freezes(dates, tmin, 32)
        assert fall.void[0] == void
        assert np.isnat(fall.date[0]) == void
    late = record(
        "2020-08-01", "2020-12-31", ["2020-10-19"], missing=[("2020-11-01", "2020-12-30")]
    )
    assert first_fall_freezes(*late, 32).missing[0] == 0


def test_a_record_that_ends_before_the_freeze_says_nothing_of_that_fall():
    fall = first_fall_freezes(*record("2020-01-01", "2020-10-01"), 32)
    assert fall.void.tolist() == [True]
    assert fall.n == 0
    assert np.isnan(fall.free_share)
    assert np.isnan(freeze_by(fall, 0.5))


def test_percentiles_are_linear_between_the_days():
    """280..309: 282.9, 294.5 and 306.1 by linear interpolation, worked by hand."""
    fall = on_days(range(280, 310))
    assert freeze_by(fall, 0.1) == pytest.approx(282.9)
    assert freeze_by(fall, 0.5) == pytest.approx(294.5)
    assert freeze_by(fall, 0.9) == pytest.approx(306.1)
    assert fall.n == 30 > FEW_SEASONS


def test_seasons_without_a_freeze_put_the_late_dates_out_of_reach():
    """F(d) = (1 - q) G(d): with 2 of 10 seasons free, 40 % of all is the median of the 8."""
    fall = on_days(range(300, 308), free=2, void=3)
    assert fall.n == 10
    assert fall.free_share == pytest.approx(0.2)
    assert freeze_by(fall, 0.4) == pytest.approx(303.5)
    assert freeze_by(fall, 0.8) == pytest.approx(307)
    assert np.isnan(freeze_by(fall, 0.9))
    assert freeze_after(fall, 0.4) == pytest.approx(303.5)
    assert np.isnan(freeze_after(fall, 0.9))


@given(
    st.lists(st.floats(250, 360), min_size=1, max_size=30),
    st.integers(0, 5),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_a_greater_chance_is_later_in_fall_and_earlier_in_spring(days, free, a, b):
    freezes = on_days(days, free=free)
    low, high = sorted((a, b))
    fall, spring = [[f(freezes, c) for c in (low, high)] for f in (freeze_by, freeze_after)]
    assert np.isnan(fall[1]) or fall[0] <= fall[1] + 1e-9
    assert np.isnan(spring[1]) or spring[0] >= spring[1] - 1e-9


@given(st.integers(0, 2**32 - 1))
def test_a_harder_freeze_never_comes_before_a_lighter_one(seed):
    rng = np.random.default_rng(seed)
    dates = np.arange("2001-01-01", "2004-01-01", dtype="datetime64[D]")
    season = -np.cos((np.arange(len(dates)) - 15) / 365.25 * 2 * np.pi)
    tmin = np.round(8 + 12 * season + rng.normal(0, 4, len(dates)), 1)
    found = [first_fall_freezes(dates, tmin, f).day for f in sorted(THRESHOLDS_F, reverse=True)]
    for lighter, harder in pairwise(found):
        both = ~np.isnan(lighter) & ~np.isnan(harder)
        assert (lighter[both] <= harder[both]).all()

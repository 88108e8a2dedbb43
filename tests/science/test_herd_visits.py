"""Photos into visits, and a camera's clock: what must hold whatever the card."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.herd import clocks, visits
from fencerow.words import OutsideRange

READ_AT = datetime(2026, 12, 1, 12, 0)
STEPS = st.lists(st.integers(0, 200), max_size=40)


@given(steps=STEPS, gap=st.integers(1, 120))
def test_every_photo_is_in_one_visit_and_only_a_gap_parts_two(steps, gap):
    taken = [float(sum(steps[: n + 1])) for n in range(len(steps))]
    found = visits.visits(taken, gap)
    assert sum(found) == len(taken)
    ends = [sum(found[: n + 1]) for n in range(len(found))][:-1]
    parted = {n for n in range(1, len(taken)) if taken[n] - taken[n - 1] >= gap}
    assert set(ends) == parted


@given(photos=st.integers(0, 50), most=st.integers(0, 4))
def test_the_pictures_shown_are_some_of_the_visit_in_order(photos, most):
    found = visits.shown_first(photos, most)
    assert len(found) == min(photos, most)
    assert found == sorted(set(found))
    assert all(0 <= i < photos for i in found)


@given(names=st.lists(st.sampled_from("abcd")))
def test_of_doubles_the_first_stays(names):
    kept = [n for n, first in zip(names, visits.firsts(names), strict=True) if first]
    assert kept == list(dict.fromkeys(names))


def _hours(*apart):
    return [datetime(2026, 10, 1, 6) + timedelta(hours=h) for h in apart]


def test_a_clock_that_fell_back_to_its_factory_date_is_found():
    fallen = [datetime(2010, 1, 1, 0, 3), datetime(2010, 1, 9)]
    times = [*_hours(0, 30), None, *fallen]
    assert clocks.runs(times, READ_AT) == [clocks.Run(0, 3), clocks.Run(3, 5, "factory")]


def test_a_card_may_begin_at_the_factory_date():
    assert clocks.runs([datetime(2015, 1, 1, 0, 1)], READ_AT) == [clocks.Run(0, 1, "factory")]


def test_a_new_year_on_the_card_is_no_fall():
    times = [datetime(2025, 12, 31, 23), datetime(2026, 1, 1, 0, 5)]
    assert clocks.runs(times, datetime(2026, 1, 10)) == [clocks.Run(0, 2)]


def test_an_hour_back_is_daylight_saving_and_a_day_back_is_a_jump():
    assert clocks.runs(_hours(0, 3, 2), READ_AT) == [clocks.Run(0, 3)]
    assert clocks.runs(_hours(0, 30, 2), READ_AT) == [clocks.Run(0, 2), clocks.Run(2, 3, "back")]


def test_a_card_without_times_has_no_runs():
    assert clocks.runs([None, None], READ_AT) == []


def test_moments_that_disagree_are_of_no_one_clock():
    camera = datetime(2010, 1, 1, 0, 3)
    same = [(camera, camera + timedelta(days=9)), (camera, camera + timedelta(days=9, minutes=2))]
    assert clocks.shift(same) == timedelta(days=9)
    with pytest.raises(OutsideRange):
        clocks.shift([*same, (camera, camera + timedelta(days=10))])

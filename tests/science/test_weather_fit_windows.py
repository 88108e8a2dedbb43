"""Planting windows on the calendar, cut to the warmth of the soil."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.science.weather.frost import first_fall_freezes, freeze_by
from fencerow.science.weather.windows import Window, day_of, planting_window, usual_course
from fencerow.words import OutsideRange

SPRING = [float(v) for v in 12 - 14 * np.cos(2 * np.pi * (np.arange(365) - 20) / 365)]


@given(st.integers(1990, 2040), st.integers(-300, 800))
def test_a_day_counts_on_plain_years(year, number):
    day = day_of(year, number)
    assert (day.month, day.day) != (2, 29)
    assert day_of(year, number + 365) == day.replace(year=day.year + 1)


def test_a_frost_date_gives_a_window():
    days = np.arange("1990-01-01", "2010-12-31", dtype="datetime64[D]")
    doy = (days - days.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)
    low = np.where((doy > 120) & (doy < 290), 10.0, -5.0)
    frost = freeze_by(first_fall_freezes(days, low, 32), 0.5)
    window = planting_window(2026, frost, -60, frost, -20)
    assert (window.last - window.first).days == 40
    assert window.first == date(2026, 8, 19)


def test_a_spring_window_waits_for_warm_soil():
    open_ = planting_window(2026, 113, 0, 113, 60)
    cut = planting_window(2026, 113, 0, 113, 60, SPRING, 15.0)
    assert cut.first > open_.first
    assert cut.last == open_.last
    assert SPRING[cut.first.timetuple().tm_yday - 1] >= 15.0
    assert SPRING[cut.first.timetuple().tm_yday - 2] < 15.0


def test_a_fall_window_ends_with_the_warmth():
    open_ = planting_window(2026, 297, -45, 297, 40)
    cut = planting_window(2026, 297, -45, 297, 40, SPRING, 10.0)
    assert cut.first == open_.first
    assert cut.last < open_.last


@given(st.floats(-10, 26))
def test_colder_plants_have_no_less_time(least):
    def length(c):
        try:
            window = planting_window(2026, 113, 0, 113, 60, SPRING, c)
        except OutsideRange:
            return 0
        return (window.last - window.first).days + 1

    assert length(least) <= length(least - 2)


def test_no_window_where_it_never_gets_warm_or_never_freezes():
    with pytest.raises(OutsideRange, match="30"):
        planting_window(2026, 113, 0, 113, 60, SPRING, 30.0)
    with pytest.raises(OutsideRange, match="nan"):
        planting_window(2026, float("nan"), -60, 297, -15)
    hole = [*SPRING[:130], float("nan"), *SPRING[131:]]
    with pytest.raises(OutsideRange):
        planting_window(2026, 113, 0, 113, 60, hole, 10.0)


def test_every_row_of_the_table_opens_at_a_place_with_a_long_season():
    """First frost on 5 November (day 309), last on 31 March (day 90): Alabama's record."""
    anchors = {"first_fall": 309.0, "last_spring": 90.0}
    for row in Tables.shipped()["planting_windows"]:
        window = planting_window(
            2026,
            anchors[row.text("from_anchor")],
            row.number("from_days"),
            anchors[row.text("to_anchor")],
            row.number("to_days"),
        )
        assert isinstance(window, Window)
        assert 0 <= (window.last - window.first).days < 200


def test_the_usual_course_is_the_middle_of_the_years():
    days = np.arange("2001-01-01", "2006-01-01", dtype="datetime64[D]")
    doy = (days - days.astype("datetime64[Y]").astype("datetime64[D]")).astype(float)
    offset = days.astype("datetime64[Y]").astype(int) - 33  # -2, -1, 0, 1, 2 in turn
    values = 10 + 0.01 * doy + offset
    values[5] = np.nan
    usual = usual_course(days, values)
    assert usual.shape == (365,)
    assert usual[100] == pytest.approx(11.0, abs=0.02)
    none = usual_course(days[:200], values[:200])
    assert np.isnan(none[250])
    assert not np.isnan(none[100])

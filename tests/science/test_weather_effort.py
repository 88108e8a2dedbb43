"""How long a job takes, and who is there: a published table, the calendar, properties."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.weather import effort
from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.jobs import Job, Wait
from fencerow.science.weather.outcome import BARRED
from fencerow.words import BadInput

DAYS = np.arange("2027-05-01", "2027-05-15", dtype="datetime64[D]")
WIDTH, SPEED, SHARE = st.floats(0.5, 200), st.floats(0.05, 20), st.floats(5, 100)


@pytest.mark.parametrize(
    ("feet", "mph", "percent", "acres"),
    [(40, 6, 70, 20.4), (50, 6, 70, 25.5), (10, 5, 63, 3.8), (20, 6, 63, 9.2), (30, 6, 60, 13.1)],
)
def test_the_table_of_iowa_comes_out(feet, mph, percent, acres):
    # Iowa State University Extension PM 696 (2001), spreaders: feet, mph, %, acres an hour
    assert effort.field_capacity(feet, mph, percent) == pytest.approx(acres, abs=0.05)


@given(WIDTH, st.floats(0, 50), SPEED, SHARE, st.floats(0, 1000))
def test_a_wider_machine_is_never_slower(width, more, speed, share, acres):
    wider = min(width + more, 200.0)
    narrow, wide = (effort.field_capacity(w, speed, share) for w in (width, wider))
    if narrow < 0.01 or wide > 500:
        return
    hours = [effort.hours_by_capacity(acres, c, 0.5) for c in (narrow, wide)]
    assert hours[1] <= hours[0]


@given(st.floats(0.5, 2000), WIDTH)
def test_passes_cover_the_strip_and_none_is_idle(across, width):
    passes = effort.passes_across(across, width)
    assert passes * width >= across * (1 - 1e-12)
    assert (passes - 1) * width < across


def test_a_strip_in_passes_takes_no_less_than_its_area_at_full_speed():
    # 20 ft by 660 ft are 0.303 acres; a mower of 5 ft at 5 mph covers 3.03 acres an hour
    along = effort.hours_along(660, effort.passes_across(20, 5), 5, 0)
    over = effort.strip_area(660, 20) / effort.field_capacity(5, 5, 100)
    assert along == pytest.approx(over)


def test_days_of_the_week_are_those_of_the_calendar():
    # 1 May 2027 is a Saturday (ISO 8601)
    held = effort.days_held(DAYS, date(2027, 5, 2), date(2027, 5, 9), ("sat", "sun"))
    assert [str(d) for d in DAYS[held]] == ["2027-05-02", "2027-05-08", "2027-05-09"]
    assert effort.days_held(DAYS, None, None, ()).all()


def test_somebody_entered_twice_for_a_day_is_one_person():
    twice = [effort.Present("a", None, None, ("sat",), 8), effort.Present("a", None, None, (), 3)]
    found = effort.crew_of_days(DAYS, twice)
    assert found.people_h[:3].tolist() == [8, 3, 3]
    assert found.longest_h.tolist() == found.people_h.tolist()


def test_nobody_works_the_ground_in_the_dark():
    hands = [effort.Present(who, None, None, (), 14) for who in "ab"]
    found = effort.crew_of_days(DAYS[:3], hands, [9.5, np.nan, 20])
    assert found.people_h.tolist() == [19, 28, 28]
    assert found.longest_h.tolist() == [9.5, 14, 14]


PRESENT = st.builds(
    effort.Present, st.sampled_from("abc"), st.none(), st.none(),
    st.lists(st.sampled_from(effort.DAYS_OF_WEEK), unique=True).map(tuple), st.floats(0.5, 14),
)  # fmt: skip


@settings(max_examples=40)
@given(st.lists(PRESENT, max_size=4), PRESENT)
def test_another_pair_of_hands_never_takes_hours_away(crew, more):
    before, after = effort.crew_of_days(DAYS, crew), effort.crew_of_days(DAYS, [*crew, more])
    assert (after.people_h >= before.people_h).all()
    assert (after.longest_h <= after.people_h + 1e-9).all()


def chain(hours):
    """Jobs of one plot, each after the one before, with a wait of two days."""
    return [
        Job("p", f"job {at}", h, (Wait(at - 1, 2),) if at else (), "tractor", 0)
        for at, h in enumerate(hours)
    ]


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_more_hours_never_finish_fewer_years(data):
    """One plot whose jobs follow each other; with several plots a rule that sees only today may
    spend the hours of a day on the wrong one, so that this holds of no such rule."""
    days = 20
    jobs = chain(data.draw(st.lists(st.floats(0.5, 9), min_size=1, max_size=4)))
    fit = np.array(
        data.draw(st.lists(st.booleans(), min_size=len(jobs) * 3 * days,
                           max_size=len(jobs) * 3 * days))
    ).reshape(len(jobs), 3, days)  # fmt: skip
    hours = np.array(data.draw(st.lists(st.floats(0, 6), min_size=days, max_size=days)))
    more = hours + np.array(data.draw(st.lists(st.floats(0, 4), min_size=days, max_size=days)))
    known = np.ones_like(fit)
    few, many = (seasons(jobs, fit, known, h).finished_years for h in (hours, more))
    assert many >= few


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_a_closed_day_never_holds_a_job(data):
    days = 15
    jobs = chain([3.0, 5.0, 2.0])
    barred = np.array(
        data.draw(st.lists(st.integers(0, 3), min_size=3 * days, max_size=3 * days))
    ).reshape(3, days)
    fit = np.ones((3, 2, days), dtype=bool)
    for run in seasons(jobs, fit, fit, np.full(days, 4.0), barred=barred).runs:
        assert all(barred[spell.job, spell.day] == 0 for spell in run.spells)


def test_what_kept_a_job_off_is_said():
    fit = np.ones((1, 1, 4), dtype=bool)
    job = [Job("p", "mow", 1.0)]
    for number, reason in enumerate(BARRED[1:], 1):
        made = seasons(job, fit, fit, np.full(4, 8.0), barred=np.full((1, 4), number))
        assert made.runs[0].plots["p"].reason == reason


def test_a_mask_of_another_size_is_refused():
    fit = np.ones((1, 1, 4), dtype=bool)
    with pytest.raises(BadInput):
        seasons([Job("p", "mow", 1.0)], fit, fit, np.full(4, 8.0), barred=np.zeros((1, 3)))

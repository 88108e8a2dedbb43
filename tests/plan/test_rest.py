"""Rest: what the log says of each treestand, worked by hand beside the model."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from makers import given as given_of
from makers import thing
from test_sits import point, treestand

from fencerow.plan.section import Section
from fencerow.plan.sits.rest import rest_section
from fencerow.science.herd.rest import days_to_rest, left_share

DAY = date(2027, 11, 10)


def ago(days):
    return (DAY - timedelta(days=days)).isoformat()


def sat(id_, days, **body):
    return thing("sit", id_, place=body.pop("place", "treestand"), on=ago(days), **body)


def noted(id_, kind, days, **body):
    return replace(thing(kind, id_, **body), happened_on=DAY - timedelta(days=days))


def rest(*entries, jobs=()):
    given = given_of(treestand(), *entries, as_of=DAY)
    earlier = {"work": Section("work", SimpleNamespace(jobs=dict(jobs)))}
    return rest_section(given, earlier).body


def left(*entries, **more):
    return rest(*entries, **more).places["treestand"].left.value


def test_a_sit_rests_in_one_half_life():
    """One half-life of three days takes a sit from 1 to 0.5, which is rested."""
    for days, over in ((1, 2), (2, 1), (3, 0), (4, 0)):
        found = rest(sat("a", days)).places["treestand"]
        assert found.left.value == pytest.approx(0.5 ** (days / 3))
        assert (found.days.value, found.rested) == (over, over == 0)
        assert found.rested_on.value == DAY + timedelta(days=over)


def test_two_sits_add_up():
    """0.5 and 0.25 are left of sits of three and of six days ago."""
    assert left(sat("a", 3), sat("b", 6)) == pytest.approx(0.75)


def test_one_that_deer_noticed_weighs_double():
    assert left(sat("a", 3, noticed="smelled")) == pytest.approx(1.0)
    assert left(sat("a", 3, noticed="none")) == pytest.approx(0.5)


def test_that_of_today_is_not_over_and_what_is_to_come_is_not_yet():
    assert left(sat("a", 0), sat("b", -2)) == 0


def test_visits_cameras_and_jobs_count_where_they_are_near():
    near, far = point("camera", "near", 90, 100), point("camera", "far", 90, 120)
    job = SimpleNamespace(kind="mow", place="near")
    visit = noted("n", "note", 0, about="visit", place="treestand")
    assert left(visit) == 0.5
    assert left(near, noted("n", "note", 0, about="visit", place="near")) == 0.5
    assert left(far, noted("n", "note", 0, about="visit", place="far")) == 0
    assert left(near, noted("d", "done", 0, task="mow.x"), jobs=[("mow.x", job)]) == 0.5
    assert left(noted("d", "done", 0, task="mow.x", part="not today"), jobs=[("mow.x", job)]) == 0
    assert left(noted("n", "note", 0, about="rain", place="treestand", amount=1, unit="in")) == 0


def test_a_camera_is_looked_after_again_after_its_days():
    camera = point("camera", "c", 90, 400, check_days=21)
    seen = noted("n", "note", 5, about="visit", place="c")
    checked = rest(camera, seen).cameras["c"]
    assert checked.last.value == DAY - timedelta(days=5)
    assert checked.next.value == DAY + timedelta(days=16)
    assert rest(camera).cameras == {}


@settings(max_examples=25)
@drawn(st.lists(st.integers(1, 20), max_size=6), st.integers(1, 20))
def test_one_sit_more_never_rests_it_sooner(days, more):
    before = sum(left_share(1.0, d, 3.0) for d in days)
    after = before + left_share(1.0, more, 3.0)
    assert days_to_rest(after, 0.5, 3.0) >= days_to_rest(before, 0.5, 3.0)


@settings(max_examples=25)
@drawn(st.floats(0, 50), st.floats(0.5, 30))
def test_after_the_days_it_is_rested_and_a_day_before_it_is_not(disturbed, half_life):
    days = days_to_rest(disturbed, 0.5, half_life)
    assert left_share(disturbed, days, half_life) <= 0.5 * (1 + 1e-6)
    if days:
        assert left_share(disturbed, days - 1, half_life) > 0.5

"""Who is there when, machines on given days, closed days and permissions in the count of years."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from makers import clover, messages, plot, soil, thing
from makers import given as given_of
from test_work import CLOSING, record

from fencerow.plan.plan import make_plan
from fencerow.plan.work.barred import barred
from fencerow.plan.work.tasks.base import closing_ahead
from fencerow.science.weather.outcome import BARRED
from fencerow.tract.read import check
from fencerow.words import BadInput

DRY = record(years=(2015, 2022), rain=0)
SQUARE = {"type": "Polygon", "coordinates": [[
    [-90.620, 47.310], [-90.618, 47.310], [-90.618, 47.311], [-90.620, 47.311], [-90.620, 47.310],
]]}  # fmt: skip
GROUND = [plot(texture="loam", drainage="drains well"), soil(), *clover(), CLOSING]


def work_of(*entries, daily=DRY, as_of=date(2027, 8, 1)):
    made = make_plan(replace(given_of(*GROUND, *entries, as_of=as_of), daily=daily))
    return made.sections["work"].body, made


def hand(id_="h", **body):
    return thing("crew", id_, **{"hours_h": 8, **body})


def test_without_a_crew_the_hours_are_the_usual_ones_and_it_is_said():
    body, made = work_of()
    assert (body.hands, body.hours) == ({}, None)
    assert "work-usual-hours" in messages(made, "note")


def test_a_crew_is_counted_by_the_days_it_is_there():
    body, made = work_of(hand(weekdays=["sat", "sun"]))
    # 1 August to 10 September 2027 hold six Saturdays and six Sundays, the calendar says
    assert body.hours.value == pytest.approx(12 * 8 - 8)
    assert "work-usual-hours" not in messages(made)
    assert body.finish.years.value == body.finish.of_years.value


def test_nobody_there_finishes_nothing():
    body, _ = work_of(hand(from_on="2027-09-09", hours_h=0.5))
    assert body.finish.years.value == 0
    assert "no hours left" in body.finish.failed["2015"]


def test_people_without_days_are_named():
    _, made = work_of(thing("person", "j", name="J"), hand())
    assert "work-crew-left" in messages(made, "note")


def test_daylight_caps_the_day_where_the_ground_is_drawn():
    shaped = thing("place", "q", kind="cover", name="Q", shape=SQUARE)
    long, _ = work_of(hand(hours_h=24))
    short, made = work_of(hand(hours_h=24), shaped)
    assert "work-no-daylight" not in messages(made)
    days = long.hours.value / 24
    # at 47.3 degrees north early August has some 14.7 h of daylight, 10 September some 12.8
    assert 12.7 < short.hours.value / days < 14.8
    assert "work-no-daylight" in messages(work_of(hand())[1], "ask")


def test_a_borrowed_machine_works_on_its_days_alone():
    def disk(**body):
        return thing("equipment", "d", name="Disk", form="disk", **body)

    there, _ = work_of(disk(from_on="2027-08-10", until_on="2027-08-14"))
    assert there.finish.years.value == there.finish.of_years.value
    away, _ = work_of(disk(from_on="2027-10-01", until_on="2027-10-05"))
    assert away.finish.years.value == 0
    assert "machine is not there" in away.finish.failed["2015"]


def test_a_permission_that_stops_a_job_is_the_reason():
    stops = thing("permission", "n", form="cost-share", places=["p"], season_from="07-15",
                  season_to="09-30", terms="no soil moved")  # fmt: skip
    body, _ = work_of(stops)
    assert body.finish.years.value == 0
    assert "permission" in body.finish.failed["2015"]


def test_a_closing_of_one_place_does_not_end_the_year_of_the_others():
    part = thing("closing", "a", closes="2027-08-05", opens="2027-08-20", places=["p"])
    body, made = work_of(part)
    assert body.finish.closes.value == date(2027, 9, 10)
    assert closing_ahead(made.given.tract, date(2027, 8, 1)).id == "c"
    # the job on the closed place waits until it opens, so some year finishes all the same
    assert body.finish.years.value == body.finish.of_years.value


def test_days_of_a_closing_are_barred():
    part = thing("closing", "a", closes="2027-08-05", opens="2027-08-06", places=["p"])
    body, made = work_of(part)
    jobs = {i: j for i, j in body.jobs.items() if j.place == "p"}
    days = [date(2027, 8, d) for d in range(4, 8)]
    found = barred(made.given, jobs, days)
    closed = BARRED.index("closed")
    assert np.array_equal(found, np.tile([0, closed, closed, 0], (len(jobs), 1)))


@pytest.mark.parametrize("more", [[hand("x", weekdays=["mon"], hours_h=3)],
                                  [hand("x", hours_h=2), hand("y", hours_h=5)]])  # fmt: skip
def test_more_hands_never_finish_fewer_years(more):
    rain = record(years=(2005, 2022))
    few, _ = work_of(hand(weekdays=["sun"], hours_h=1.0), daily=rain)
    many, _ = work_of(hand(weekdays=["sun"], hours_h=1.0), *more, daily=rain)
    assert many.finish.years.value >= few.finish.years.value


@pytest.mark.parametrize("kind", ["crew", "equipment"])
def test_a_spell_that_ends_before_it_begins_is_refused(kind):
    body = {"crew": {"hours_h": 8}, "equipment": {"name": "Disk", "form": "disk"}}[kind]
    with pytest.raises(BadInput, match="until_on should not be before from_on"):
        check(kind, {**body, "from_on": "2027-08-02", "until_on": "2027-08-01"}, "form")

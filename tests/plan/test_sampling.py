"""Soil samples: which plots, how many bags, how deep, by when, what goes with them."""

import csv
from datetime import date
from io import StringIO

import pytest
from makers import clover, messages, plan, plot, soil, thing

from fencerow.exchange.samples import COLUMNS, samples_csv
from fencerow.plan.view import sheets


def samples(made, place="p"):
    return made.sections["sampling"].body[place]


def sheet(made, id_="samples"):
    return next(s for s in sheets(made) if s.id == id_)


def square(west, south, east, north):
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return {"type": "Polygon", "coordinates": [ring]}


def test_minnesotas_cores_and_depths():
    # University of Minnesota, how to sample fields: 15 to 30 cores, 6 to 8 in
    found = samples(plan(plot(), *clover()))
    assert (found.depth_low.value, found.depth_high.value) == (6, 8)
    assert (found.cores_low.value, found.cores_high.value) == (15, 30)
    assert found.extra_low is None
    assert found.depth_low.sources() == ("umn-sampling",)


def test_ground_that_is_not_worked_gets_a_bag_for_the_surface():
    # Penn State: from no-till ground a second sample, 2 in deep
    made = plan(plot(), *clover(covered=False), state="PA")
    found = samples(made)
    assert (found.extra_low.value, found.extra_high.value) == (2, 2)
    assert [b.surface for b in found.bags.values()] == [False, True]
    assert "sampling-surface" in messages(made, "note")


def test_a_state_without_a_row_is_cored_as_kansas_says():
    # Kansas State: 15 cores at least, 6 in, from two to four acres
    found = samples(plan(plot(acres=9.0), *clover(), state="TX"))
    assert (found.depth_low.value, found.cores_low.value) == (6, 15)
    assert len(found.bags) == 3
    assert all(b.acres.value == pytest.approx(3.0) for b in found.bags.values())
    # 3 acres over 15 cores: the side of 8,712 sq ft
    assert next(iter(found.bags.values())).spacing.value == pytest.approx(93.3, abs=0.1)


def test_zones_that_are_drawn_are_sampled_apart():
    field = plot(shape=square(-93.0, 45.0, -92.998, 45.001))
    sand = thing("place", "z1", kind="soil zone", name="Sand rise", texture="sand",
                 shape=square(-93.001, 44.999, -92.9992, 45.002))  # fmt: skip
    clay = thing("place", "z2", kind="soil zone", name="Clay flat", texture="clay",
                 shape=square(-92.9992, 44.999, -92.997, 45.002))  # fmt: skip
    sliver = thing("place", "z3", kind="soil zone", name="Edge",
                   shape=square(-93.0, 45.0, -92.99999, 45.001))  # fmt: skip
    made = plan(field, sand, clay, sliver, *clover())
    bags = list(samples(made).bags.values())
    assert [b.part for b in bags] == ["part on Sand rise", "part on Clay flat"]
    assert [b.texture for b in bags] == ["sand", "clay"]
    whole = made.sections["ground"].body["p"].acres.value
    assert sum(b.acres.value for b in bags) == pytest.approx(whole, rel=1e-4)
    # what no zone covers is a part of its own
    half = plan(field, sand, *clover())
    assert [b.part for b in samples(half).bags.values()] == [
        "part on Sand rise", "the part of it that no zone covers",
    ]  # fmt: skip


def test_the_last_day_for_lime_to_act():
    # 6 months for lime, and 21 days at the lab and in the mail, before Aug 15
    made = plan(plot(), *clover())
    assert samples(made).last_day.value == date(2027, 1, 25)
    assert "sampling-passed" in messages(made, "doubt")
    early = plan(plot(), *clover(), as_of=date(2027, 1, 10))
    assert "sampling-passed" not in messages(early)


def test_a_test_that_still_holds_fills_no_bag_and_the_year_agrees():
    made = plan(plot("a"), plot("b"), soil("t", "b"), soil("u", "a", sampled_on="2023-11-05"))
    assert samples(made, "b").bags == {}
    assert len(samples(made, "a").bags) == 2
    tasks = made.sections["year"].body.tasks
    assert tasks["cores.a.2023"].when.value == samples(made, "a").due.value == date(2026, 11, 5)
    assert "cores.b.2026" not in tasks


def test_labels_are_short_and_no_two_are_the_same():
    names = ("North Bench by the River", "North Bench by the Road", "Oak")
    made = plan(*(plot(f"p{i}", acres=12.0, name=n) for i, n in enumerate(names)))
    labels = [b for p in made.sections["sampling"].body.values() for b in p.bags]
    assert len(set(labels)) == len(labels)
    assert "oak-A-27" in labels
    rows = sheet(made, "labels").tables[0].rows
    assert [r[0] for r in rows] == labels


def test_the_sheet_says_what_to_ask_and_what_to_keep_off():
    made = plan(plot(lime_ton_ac=2, limed_on="2024-03-01"), *clover())
    found = sheet(made)
    said = [s.message.id for s in found.said]
    assert {"sampling-where", "sampling-when", "sampling-ask"} <= set(said)
    (row,) = found.tables[1].rows
    assert "Clover, Aug 15, 2027" in row
    assert "2.00 tons/ac, Mar 1, 2024" in row


def test_the_csv_has_a_row_for_each_bag_and_runs_nothing():
    made = plan(plot(name="=1+1", texture="loam"), *clover(covered=False))
    rows = list(csv.reader(StringIO(samples_csv(made.sections["sampling"].body))))
    assert tuple(rows[0]) == COLUMNS
    assert [r[1] for r in rows[1:]] == ["'=1+1", "'=1+1"]
    assert [r[4] for r in rows[1:]] == ["6 to 8", "2 to 3"]
    assert rows[1][7:9] == ["Clover", "2027-08-15"]


def test_a_sample_of_the_surface_does_not_stand_for_the_plot():
    deep = soil("t1", ph=6.1, depth_in=6)
    top = soil("t2", ph=5.2, depth_in=2, sampled_on="2026-11-20")
    made = plan(plot(), deep, top, *clover())
    assert made.given.tract.soil_test_of("p", made.given.as_of).id == "t1"
    assert "order-more-tests" not in messages(made)
    alone = plan(plot(), top, *clover())
    assert alone.given.tract.soil_test_of("p", alone.given.as_of).id == "t2"


def test_of_two_samples_of_one_day_the_plan_says_which_it_reads():
    made = plan(plot(), soil("t1", sample="A"), soil("t2", sample="B", ph=5.0), *clover())
    (said,) = [s for s in made.said() if s.message.id == "order-more-tests"]
    assert "2 soil tests of Nov 1, 2026; the plan reads B" in str(said.message)
    assert len(said.entries) == 2

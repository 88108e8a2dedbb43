"""Tally: done against its day, counts by the published ways, and what is not known."""

from dataclasses import replace
from datetime import date

import pytest
from makers import clover, messages, plan, plot, soil, straights, thing

from fencerow.packet import packet_data
from fencerow.plan.views.tally import tally_sheet

ON = date(2027, 6, 1)


def noted(id_, amount, unit="", place="p", on=ON):
    return replace(thing("note", id_, about="count", amount=amount, unit=unit, place=place),
                   happened_on=on)  # fmt: skip


def done(id_, task, on, part="done"):
    return replace(thing("done", id_, task=task, part=part), happened_on=date.fromisoformat(on))


def table(made, title):
    return next((t for t in tally_sheet(made).tables if t.title == title), None)


def test_what_was_done_stands_against_its_day():
    marks = [
        done("d1", "sow.s-p", "2027-08-18"),
        done("d2", "gone", "2027-03-01"),
        done("d3", "sow.s-p", "2027-08-14", "partly"),
    ]
    made = plan(plot(), soil(), *clover(), *straights(), *marks)
    rows = {r[3]: r for r in table(made, "Done, against its day").rows}
    assert rows["Aug 18, 2027"][2] == "Aug 15, 2027"
    assert rows["Aug 18, 2027"][4] == "3 days late"
    assert rows["Aug 14, 2027"][1:2] + rows["Aug 14, 2027"][4:] == ("partly", "")
    assert "no longer in the year" in rows["Mar 1, 2027"][0]
    assert made.nodes.by_path["tally.done.d1.late"].value == 3


def test_a_frequency_grid_comes_to_cells_and_plants():
    made = plan(plot(), noted("n", 62, "of 100 cells"))
    found = made.sections["tally"].body.counts["n"].found
    assert found["frequency"].value == pytest.approx(62)
    # 0.4 x 62 plants a square metre (Vogel and Masters), on 10.76 sq ft
    assert found["plants"].value == pytest.approx(0.4 * 62 / 10.7639, rel=1e-4)
    assert "verdict" not in found


def test_a_native_grass_field_has_a_reading_and_says_that_it_is_unchecked():
    field = thing("place", "p", kind="native-grass field", name="Long Field", stated_ac=3)
    made = plan(field, noted("n", 30, "of 100 cells"))
    found = made.sections["tally"].body.counts["n"].found
    assert found["verdict"].value == "fair"
    assert "fair†" in table(made, "Counted").rows[0]


def test_frames_come_to_plants_and_a_plain_count_stays_one():
    made = plan(plot(), noted("n", 120, "in 10 frames of 2 sq ft"), noted("m", 4))
    counts = made.sections["tally"].body.counts
    assert counts["n"].found["plants"].value == pytest.approx(6)
    assert counts["m"].found == {}


def test_more_cells_than_there_are_is_not_known():
    made = plan(plot(), noted("n", 101, "of 100 cells"), noted("m", 3, "of . cells"))
    counts = made.sections["tally"].body.counts
    assert not counts["n"].found["frequency"].known
    assert not counts["m"].found["frequency"].known
    assert tally_sheet(made).tables


def test_a_cage_weighed_inside_and_beside_gives_use():
    pair = [noted("i", 1900, "lb/ac inside"), noted("o", 1300, "lb/ac outside")]
    made = plan(plot(), *pair)
    assert table(made, "Use, by cages").rows == (("Jun 1, 2027", "p", "32 %"),)
    assert "tally-no-use" not in messages(made)
    later = plan(plot(), pair[0], noted("o", 1300, "lb/ac outside", on=date(2027, 6, 2)))
    assert "tally-no-use" in messages(later)


def test_what_is_not_known_is_said_and_never_guessed():
    made = plan()
    assert {"tally-no-use", "tally-no-deer", "money-none-paid", "sat-none"} <= set(messages(made))


def test_paper_has_a_tally_only_where_there_is_something_in_it():
    bare = [plot(), soil(), *clover(), *straights()]
    assert "tally" not in [s["id"] for s in packet_data(plan(*bare))["sheets"]]
    with_note = packet_data(plan(*bare, noted("n", 4)))
    assert "tally" in [s["id"] for s in with_note["sheets"]]

"""The year and the closed ground: tasks and their reasons, late, next, done, conflicts."""

from datetime import date

import pytest
from makers import clover, messages, plan, plot, soil, straights, thing

from fencerow.plan.span import year_of
from fencerow.plan.year import State

SOUR = {"ph": 5.5, "buffer_ph": 6.5, "buffer_method": "sikora"}


def tasks(made):
    return made.sections["year"].body.tasks


@pytest.mark.parametrize(
    ("starts", "day", "span"),
    [
        ("02-01", date(2027, 1, 31), (date(2026, 2, 1), date(2027, 1, 31))),
        ("02-01", date(2027, 2, 1), (date(2027, 2, 1), date(2028, 1, 31))),
        ("01-01", date(2027, 6, 1), (date(2027, 1, 1), date(2027, 12, 31))),
        ("02-29", date(2027, 6, 1), (date(2027, 3, 1), date(2028, 2, 28))),
        ("02-29", date(2028, 2, 29), (date(2028, 2, 29), date(2029, 2, 28))),
    ],
)
def test_the_start_of_the_year_is_the_persons(starts, day, span):
    assert year_of(plan(year_starts=starts).given.tract, day) == span


def test_tasks_come_from_what_the_planners_say():
    made = plan(plot(), soil(p=8, k=100, extractant="bray1", **SOUR), *clover(), *straights())
    found = tasks(made)
    assert found["sow.s-p"].when.value == date(2027, 8, 15)
    # lime 6 months before seeding; seed and fertilizer 21 days before
    assert found["lime.p"].when.value == date(2027, 2, 15)
    assert found["order.tsp"].when.value == date(2027, 7, 25)
    assert list(found) == sorted(found, key=lambda i: (found[i].when.value, i))


def test_what_is_late_and_what_is_next():
    made = plan(plot(), soil(**SOUR), *clover(), as_of=date(2027, 3, 1))
    assert tasks(made)["lime.p"].state is State.LATE
    assert tasks(made)["sow.s-p"].state is State.LATER
    made = plan(plot(), soil(**SOUR), *clover(), as_of=date(2027, 8, 1))
    assert tasks(made)["sow.s-p"].state is State.NEXT


def test_a_mark_of_done_finds_its_task_again():
    done = thing("done", "d", task="lime.p")
    made = plan(plot(), soil(**SOUR), *clover(), done, as_of=date(2027, 3, 1))
    assert tasks(made)["lime.p"].state is State.DONE
    later = plan(plot(acres=2.0), soil(**SOUR), *clover(), done, as_of=date(2027, 3, 2))
    assert tasks(later)["lime.p"].state is State.DONE


def test_cores_where_there_is_no_test_or_an_old_one():
    made = plan(plot("a"), plot("b"), soil("t", "b", sampled_on="2023-11-05"))
    assert tasks(made)["cores.a"].state is State.LATE
    assert tasks(made)["cores.b.2023"].when.value == date(2026, 11, 5)
    tested = plan(plot("a"), soil("t", "a", sampled_on="2027-01-05"))
    assert not [i for i in tasks(tested) if i.startswith("cores")]


def test_treestands_are_looked_at_every_year():
    never = thing("place", "s", kind="treestand", name="Oak")
    seen = thing("place", "u", kind="treestand", name="Elm", last_inspection="2026-08-20")
    found = tasks(plan(never, seen))
    assert found["inspect.s"].state is State.NEXT
    assert found["inspect.u.2026-08-20"].when.value == date(2027, 8, 20)


def test_a_sowing_after_the_closing_is_named():
    closing = thing("closing", "c", closes="2027-08-01", opens="2028-01-05")
    made = plan(plot(), soil(), *clover(), closing)
    wanted = made.sections["inside"].body["c"].wanted
    assert "sow.s-p" in wanted
    assert "closed-still-inside" in messages(made, "doubt")
    assert "closed-who" in messages(made, "ask")
    elsewhere = thing("closing", "c", closes="2027-08-01", opens="2028-01-05", places=["x"])
    made = plan(plot(), soil(), *clover(), elsewhere)
    assert made.sections["inside"].body["c"].wanted == {}


def test_trailing_a_hit_deer_is_always_said():
    closing = thing("closing", "c", closes="2027-09-01", opens="2028-01-05", may_enter="nobody")
    assert "closed-trailing" in messages(plan(closing))
    assert "closed-none" in messages(plan())

"""The count of years: what would add to it, its critical tasks, first days held back, the bound."""

import numpy as np
import pytest
from makers import messages, plot, soil, straights, thing
from test_work import SOUR, record, sown, work_of

from fencerow.plan.show import explain
from fencerow.plan.view import sheets
from fencerow.plan.work import likely


def many(count=4):
    """Plots enough that two hours on an evening do not do."""
    parts = [{"species": "clover_white", "share_pct": 100}]
    found = [thing("blend", "b", name="Clover", components=parts), *straights(), sown()[-1]]
    for at in range(count):
        found += [
            plot(f"p{at}", acres=6.0, texture="silt loam", drainage="drains slowly"),
            soil(f"t{at}", f"p{at}", **SOUR, p=8, k=100, extractant="bray1"),
            thing("planting", f"s{at}", place=f"p{at}", blend="b", sow_on="2027-08-20",
                  yield_goal_ton_ac=4),
        ]  # fmt: skip
    return found


@pytest.fixture(scope="module")
def counted():
    return work_of(*many(), daily=record())


def test_hindsight_is_a_bound_and_never_below_the_count(counted):
    finish = counted[0].finish
    assert finish.years.value <= finish.likely.hindsight.value <= finish.of_years.value
    dry = work_of(*sown(), daily=record(rain=0))[0].finish
    assert dry.likely.hindsight.value == dry.years.value == 30
    assert dry.likely.changes == {}
    drowned = work_of(*sown(), daily=record(rain=12))[0].finish
    assert drowned.likely.hindsight.value == 0


def test_more_hands_and_hours_are_counted_again(counted):
    finish = counted[0].finish
    changes = finish.likely.changes
    assert finish.years.value < finish.of_years.value  # else there is nothing to add
    for name in ("helper", "evening", "hired"):
        assert changes[name].of_years.value == finish.of_years.value
        assert changes[name].years.value <= finish.of_years.value
    assert changes["helper"].years.value > finish.years.value


def test_plots_are_dropped_until_the_wished_share_is_reached(counted):
    finish = counted[0].finish
    dropped = finish.likely.changes["dropped"]
    assert dropped.years.value / dropped.of_years.value >= 0.8
    assert dropped.years.value > finish.years.value


def test_a_critical_task_saves_failed_years_and_no_more(counted):
    finish = counted[0].finish
    failed = finish.of_years.value - finish.years.value
    assert finish.likely.critical
    saved = [c.saves for c in finish.likely.critical.values()]
    assert saved == sorted(saved, reverse=True)
    assert all(0 < s <= failed for s in saved)
    assert {c.failed.value for c in finish.likely.critical.values()} == {failed}
    assert set(finish.likely.critical) <= set(counted[0].jobs)


def test_first_days_are_tuned_on_odd_years_and_shown_on_even_ones():
    body, _ = work_of(*many(5), daily=record())
    tuned = body.finish.likely.tuned
    assert tuned.odd_after.value + tuned.even_after.value > 0
    assert tuned.odd_after.value >= tuned.odd_before.value
    assert tuned.of_odd.value + tuned.of_even.value == body.finish.of_years.value
    assert tuned.odd_before.value + tuned.even_before.value == body.finish.years.value


def test_the_count_says_how_far_it_sees_and_is_never_certain(counted):
    _, plan = counted
    steps = {s.name for s in explain(plan.nodes, "work.finish.years")}
    assert "forecast" in steps
    sheet = next(s for s in sheets(plan) if s.id == "work")
    assert "that day and 3 more" in str(sheet.under)
    dry = work_of(*sown(), daily=record(rain=0))[1]
    under = str(next(s for s in sheets(dry) if s.id == "work").under)
    assert "100 %" not in under
    assert "or more" in under


def test_weather_beyond_the_forecast_of_the_last_day_of_work_changes_nothing():
    daily = record()
    month = daily.times.astype("datetime64[M]").astype(int) % 12
    from dataclasses import replace

    later = replace(daily, rain_mm=np.where(month >= 9, 60.0, daily.rain_mm))
    one, two = (work_of(*sown(), daily=d)[0].finish for d in (daily, later))
    assert one.years.value == two.years.value


def test_on_a_large_tract_the_search_is_left_out_and_that_is_said(monkeypatch):
    monkeypatch.setattr(likely, "LARGE", 1)
    body, plan = work_of(*many(), daily=record())
    assert body.finish.likely.critical == {}
    assert body.finish.likely.tuned is None
    assert body.finish.likely.changes
    assert "likely-large" in messages(plan, "note")

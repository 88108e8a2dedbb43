"""Learning: clips move growth and use of a plot for the rest of the year, and judge forecasts."""

from datetime import date
from functools import cache

import pytest
from makers import clover, given, plot, soil, thing

from fencerow.plan.forage import forage
from fencerow.plan.graph import Step, run
from fencerow.plan.ground import ground
from fencerow.plan.learning.factors import factors, steps
from fencerow.plan.learning.planner import learned
from fencerow.plan.views.learned import learned_sheet

PARTS = ("places", "soil_tests", "plantings", "blends", "deer", "seasons")
STEPS = (
    Step("ground", ("places", "soil_tests", "permissions"), ground, uses=("grid",)),
    Step("learned", (*PARTS, "clips", "caged", "scoutings"), learned, after=("ground",)),
    Step("forage", PARTS, forage, after=("ground", "learned")),
)
DEER = thing("deer", "deer", low=5, likely=10, high=15)
GROUND = (plot(acres=4), soil(), *clover(sow_on="2025-08-15", stage="maintain"), DEER)
JUNE = date(2027, 6, 20)
# 100 g in a ring of 1/10,000 acre is 2,204.6 lb an acre (University of Florida AG369)
RING, LB = 4.356, 2204.6 / 100


def clip(id_, on, inside, outside, **body):
    """Three frames a side, in lb an acre."""
    sides = {"inside_g": [x / LB for x in inside], "outside_g": [x / LB for x in outside]}
    return thing("clip", id_, place="p", on=on, frame_ft2=RING, **sides, **body)


def made(*entries, as_of=JUNE):
    return run(STEPS, given(*GROUND, *entries, as_of=as_of), {})[0]


def found(*entries, as_of=JUNE):
    return made(*entries, as_of=as_of)["learned"].body


@cache
def plain():
    return made()


def foretold(since, on):
    """What the model grows on the plot between two days, lb an acre, by its own weeks."""
    weekly = plain()["forage"].body.plots["p"].plantings["s-p"].growth
    days = [date.fromordinal(n) for n in range(since.toordinal(), on.toordinal())]
    return sum(weekly.likely[weekly.week_of(day)] for day in days)


def two(times, frames=1, **body):
    """Two clips; between them so many times what the model says has grown in the cages."""
    grown = times * foretold(date(2027, 5, 8), date(2027, 6, 12))
    first = clip("c1", "2027-05-08", [500] * 3, [300] * 3)
    return first, clip("c2", "2027-06-12", [300 + grown] * 3 * frames, [280] * 3 * frames, **body)


def test_a_clip_is_weighed_by_its_ring():
    visit = found(clip("c", "2027-06-12", [2000, 2204.6, 2409.2], [900] * 3)).visits["c"]
    assert visit.inside.value == pytest.approx(2204.6, abs=0.5)
    assert visit.use.value == pytest.approx(100 * (2204.6 - 900) / 2204.6, abs=0.1)


def test_growth_as_foretold_leaves_the_factor_and_narrows_the_range():
    plot_ = found(*two(1.0)).plots["p"]
    assert plot_.growth.factor.value == pytest.approx(1.0, abs=1e-4)
    assert plot_.growth.band.value < 0.9


def test_twice_the_growth_moves_the_factor_towards_two_and_more_frames_move_it_further():
    few, many = (found(*two(2.0, n)).plots["p"].growth for n in (1, 4))
    assert 1 < few.factor.value < many.factor.value < 2
    assert many.band.value < few.band.value


def test_what_was_learned_holds_from_its_day_on_and_not_before():
    after = made(*two(2.0))
    factor = after["learned"].body.plots["p"].growth.factor.value
    weekly = after["forage"].body.plots["p"].plantings["s-p"].growth
    before = plain()["forage"].body.plots["p"].plantings["s-p"].growth
    at = weekly.week_of(date(2027, 6, 12))
    assert weekly.likely[: at - 1] == pytest.approx(before.likely[: at - 1])
    assert weekly.likely[at + 1 : 45] == pytest.approx(
        [factor * x for x in before.likely[at + 1 : 45]]
    )


def test_a_plot_that_is_used_more_than_foretold_is_eaten_more_of_than_its_twin():
    twin = thing("planting", "s-q", place="q", blend="b", sow_on="2025-08-15", stage="maintain")
    used = clip("c2", "2027-06-12", [1500] * 3, [150] * 3)
    seen = made(plot("q", acres=4), twin, two(1.0)[0], used)
    assert seen["learned"].body.plots["p"].use.factor.value > 1
    plots = seen["forage"].body.plots
    more, less = plots["p"].plantings["s-p"].eaten, plots["q"].plantings["s-q"].eaten
    at = more.week_of(date(2027, 6, 12))
    assert more.likely[at + 2] > less.likely[at + 2]
    assert more.likely[at - 2] == pytest.approx(less.likely[at - 2])


def test_the_range_is_drawn_in_and_widens_again_until_nothing_is_left_after_60_days():
    bands = [
        found(*two(1.0), as_of=day).plots["p"].growth.band.value
        for day in (date(2027, 6, 12), date(2027, 7, 12), date(2027, 8, 11))
    ]
    assert bands[0] < bands[1] < bands[2] == 1.0


def test_a_plot_not_counted_for_60_days_gets_no_verdict():
    late = made(*two(1.0), as_of=date(2027, 8, 30))["learned"]
    assert late.body.plots["p"].stale
    assert late.body.unseen["p"].value == 79
    assert "learned-unseen" in {s.message.id for s in late.said}
    assert not found(*two(1.0)).unseen


def test_the_next_year_begins_without_what_was_learned():
    body = found(*two(2.0), as_of=date(2028, 2, 1))
    assert body.plots == {}
    assert len(body.scores) == 3  # the forecasts of last year stay judged


def test_what_is_sown_after_the_clips_takes_no_factor():
    later = thing("planting", "s2", place="p", blend="b", sow_on="2027-08-20")
    seen = made(*two(2.0), later)
    assert set(factors(seen)) == {"s-p"}
    growth, use = steps(factors(seen))
    assert growth["s-p"][0][0] == date(2027, 6, 12)
    assert set(growth) == set(use)


def test_a_forecast_rests_on_earlier_clips_alone():
    one, two_ = two(1.0)
    both = found(one, two_).scores
    assert both["c2-inside"].outcome.value == "inside"
    far = found(one, clip("c2", "2027-06-12", [9000] * 3, [280] * 3))
    assert far.scores["c2-inside"].outcome.value == "above"
    # what was clipped later changes no forecast
    assert far.scores["c2-inside"].high.value == both["c2-inside"].high.value
    assert far.held.value < len(far.scores)


def test_cages_give_deer_equivalents_and_never_a_census():
    section = made(*two(1.0))["learned"]
    visit = section.body.visits["c2"]
    # as if: taken off all acres in 35 days, over what one deer looks for in the plots
    removed = visit.removal.value * 4 / 35
    asked = plain()["forage"].body.asked
    each = sum(asked.likely[asked.week_of(date(2027, 5, 8 + d))] for d in range(20)) / 20 / 7 / 10
    assert visit.deer.value == pytest.approx(removed / each, rel=0.25)
    assert "learned-no-census" in {s.message.id for s in section.said}


def test_cages_on_bare_ground_began_from_nothing():
    sown = thing("planting", "s-p", place="p", blend="b", sow_on="2027-04-20")
    entries = (plot(acres=4), soil(), clover()[0], sown, DEER)
    caged = clip("c", "2027-08-20", [900] * 3, [500] * 3, caged_on="2027-05-01")
    body = run(STEPS, given(*entries, caged, as_of=date(2027, 9, 1)), {})[0]["learned"].body
    assert body.visits["c"].start.value == 0
    assert body.visits["c"].growth.value == pytest.approx(900, abs=1)


def test_notes_of_a_mean_are_read_as_before():
    notes = [
        thing("note", f"n{i}", about="count", place="p", amount=lb, unit=f"lb/ac {side}")
        for i, (lb, side) in enumerate(((1850, "inside"), (740, "outside")))
    ]
    dated = [type(n)(**{**vars(n), "happened_on": date(2027, 6, 1)}) for n in notes]
    (visit,) = found(*dated).visits.values()
    # Rangelands Gateway: 1,850 inside, 740 outside is 60 %
    assert (visit.how, round(visit.use.value)) == ("notes", 60)


def test_a_height_stands_in_for_a_clip_where_the_table_knows_the_crop():
    stick = thing("clip", "h", place="p", on="2027-06-01", inside_in=[4, 4], outside_in=[2])
    lone = clip("c", "2027-06-12", [900], [500])
    section = made(stick, lone)["learned"]
    assert "learned-few" in {s.message.id for s in section.said}
    visit = section.body.visits["h"]
    assert (visit.how, visit.inside.value, visit.outside.value) == ("heights", 1100, 550)


def test_a_thin_plant_count_lowers_growth_and_a_good_one_does_not_raise_it():
    def count(plants):
        entry = thing("scouting", "w", place="p", on="2027-06-01", what="plant count",
                      plants_ft2=plants, species="clover_white")  # fmt: skip
        return found(entry).plots["p"].growth.factor.value

    assert count(3) < 1
    assert count(12) == pytest.approx(1)


def test_the_sheet_shows_plots_clips_and_forecasts():
    sheet = learned_sheet(made(*two(1.0))["learned"])
    assert [len(t.rows) for t in sheet.tables] == [1, 2, 3]
    assert learned_sheet(plain()["learned"]).tables == ()

"""Scout and decide: the choices, what each closes off, the deadline, the task that follows."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from makers import clover, messages, plan, plot, soil, thing
from makers import given as given_of
from test_work import record

from fencerow.plan.plan import make_plan
from fencerow.plan.view import sheets
from fencerow.tract.read import check
from fencerow.words import BadInput

JUNE = date(2027, 6, 5)
KEPT = [plot(name="Bench"), soil(), *clover(sow_on="2025-08-10", stage="maintain")]


def weeds(**body):
    body = {"place": "p", "on": "2027-06-01", "what": "weeds", "weed": "ragweed",
            "kind_of_weed": "broadleaf annual", "stage": "growing", **body}  # fmt: skip
    return thing("scouting", "w", **body)


def count(plants, on="2027-08-30", **body):
    return thing("scouting", "w", place="p", on=on, what="plant count", plants_ft2=plants, **body)


def decide(choice):
    return thing("decision", "d", scouting="w", choice=choice)


def label(**body):
    body = {"name": "Label", "read_on": "2027-01-05", "crops": ["clover_white"], **body}
    return thing("label", "l", **body)


def looked(*entries, as_of=JUNE, **more):
    made = plan(*entries, as_of=as_of, **more)
    return made.sections["scout"].body["w"], made


def ids(option):
    return [m.id for m in option.closes]


def test_four_choices_about_weeds():
    look, made = looked(*KEPT, weeds(cover_pct=20))
    assert list(look.options) == ["mow", "spray", "leave", "change the crop"]
    assert str(look.found) == "growing ragweed, 20 % of the ground"
    assert "scout-decide" in messages(made, "ask")


def test_the_stage_sets_the_last_day():
    # rows of weed_stages, from memory: 45, 21 and 7 days to seed
    for stage, last in (("seedling", date(2027, 7, 16)), ("growing", date(2027, 6, 22)),
                        ("flowering", date(2027, 6, 8))):  # fmt: skip
        look, _ = looked(*KEPT, weeds(stage=stage))
        assert look.options["mow"].by.value == last
        assert look.options["mow"].by.basis.unchecked


def test_after_seed_set_mowing_does_not_stop_seed():
    look, _ = looked(*KEPT, weeds(stage="seed set"))
    assert look.options["mow"].by is None
    assert "scout-mow-seeded" in ids(look.options["mow"])
    assert "scout-no-stage" in ids(looked(*KEPT, weeds(stage=None))[0].options["mow"])


@pytest.mark.parametrize(
    ("kind", "said"),
    [("grass perennial", "scout-mow-again"), ("woody", "scout-mow-again"),
     ("grass annual", "scout-mow-grass")],
)  # fmt: skip
def test_what_comes_again_is_said(kind, said):
    assert said in ids(looked(*KEPT, weeds(kind_of_weed=kind))[0].options["mow"])


def test_clover_is_mown_high_and_a_small_grain_is_lost():
    assert "scout-mow-clover" in ids(looked(*KEPT, weeds())[0].options["mow"])
    oats = [thing("blend", "b", name="Oats", components=[{"species": "oats", "share_pct": 100}]),
            thing("planting", "s", place="p", blend="b", sow_on="2027-04-20")]  # fmt: skip
    assert "scout-mow-crop" in ids(looked(plot(), soil(), *oats, weeds())[0].options["mow"])


def test_spraying_stands_on_a_label_that_names_the_crop():
    without, _ = looked(*KEPT, weeds())
    assert without.options["spray"].stopped
    other, _ = looked(*KEPT, weeds(), label(crops=["oats"]))
    assert other.options["spray"].stopped
    fit, made = looked(*KEPT, weeds(), label(reentry_h=24, rainfast_h=4))
    assert not fit.options["spray"].stopped
    assert {"scout-reentry", "scout-rainfast"} <= {*ids(fit.options["spray"])}
    assert "scout-caution-spray" in messages(made, "caution")


def test_the_labels_replant_wait_is_a_date():
    held = label(replant=[{"species": "oats", "days": 45}])
    option = looked(*KEPT, weeds(), held)[0].options["spray"]
    # 45 days after 5 June
    assert "oats not before Jul 20, 2027" in "; ".join(str(m) for m in option.closes)


def test_a_restricted_label_without_a_licence_is_stopped():
    look, _ = looked(*KEPT, weeds(), label(restricted=True), decide("spray"))
    assert look.options["spray"].stopped
    assert look.task is None


def test_nesting_dates_stop_a_mowing_and_say_so():
    nest = thing("permission", "n", form="cost-share", places=["p"], season_from="05-15",
                 season_to="08-01", terms="nesting")  # fmt: skip
    look, made = looked(*KEPT, weeds(), nest, decide("mow"))
    assert look.options["mow"].stopped
    assert look.task is None
    assert "scout-stopped" in messages(made, "stopped")


def test_the_crop_is_changed_for_what_is_entered_to_follow():
    look, _ = looked(*KEPT, weeds())
    assert "scout-change-ask" in ids(look.options["change the crop"])
    after = thing("planting", "n", place="p", blend="b", sow_on="2027-08-20")
    option = looked(*KEPT, after, weeds())[0].options["change the crop"]
    assert option.by.value == date(2027, 8, 20)


def test_a_decision_becomes_a_task_of_the_year():
    look, made = looked(*KEPT, weeds(), decide("mow"))
    assert look.taken == "mow"
    task = made.sections["year"].body.tasks["scout.w"]
    assert (task.when.value, task.place) == (date(2027, 6, 22), "p")
    assert str(task.what) == "mow: Bench"
    done = thing("done", "x", task="scout.w")
    made = plan(*KEPT, weeds(), decide("mow"), done, as_of=JUNE)
    assert made.sections["year"].body.tasks["scout.w"].state.value == "done"


def test_leaving_is_no_task_and_a_spraying_that_was_done_is_none_any_more():
    assert looked(*KEPT, weeds(), decide("leave"))[0].task is None
    sprayed = thing("application", "a", place="p", on="2027-06-03", label="l")
    assert looked(*KEPT, weeds(), label(), decide("spray"))[0].task is not None
    look, made = looked(*KEPT, weeds(), label(), decide("spray"), sprayed)
    assert look.task is None
    assert "scout-sprayed" in messages(made, "note")


def test_a_choice_that_is_none_is_said():
    _, made = looked(*KEPT, weeds(), decide("overseed"))
    assert "scout-no-choice" in messages(made, "doubt")


# ---- plant counts

SOWN = [plot(name="Bench"), soil(), *clover(sow_on="2027-08-15")]
SEPTEMBER = date(2027, 9, 1)


@pytest.mark.parametrize(
    ("plants", "reads", "advice"),
    [(7, "good", "leave"), (4, "thin", "overseed"), (1, "failed", "replant")],
)
def test_a_count_of_clover_reads_by_the_table(plants, reads, advice):
    # count_thresholds, from memory: 6 and more good, 3 to 6 thin, under 3 failed
    look, made = looked(*SOWN, count(plants), as_of=SEPTEMBER)
    assert (look.count.verdict.value, look.count.advice) == (reads, advice)
    assert look.count.verdict.basis.unchecked
    assert "scout-count-later" in messages(made, "doubt")
    assert list(look.options) == ["leave", "overseed", "replant"]


@pytest.mark.parametrize(("on", "said"), [
    ("2027-08-24", True), ("2027-08-25", False), ("2027-09-05", False), ("2027-09-06", True),
])  # fmt: skip
def test_a_count_outside_10_to_21_days_says_so(on, said):
    _, made = looked(*SOWN, count(7, on=on), as_of=date(2027, 9, 10))
    assert ("scout-count-time" in messages(made, "doubt")) is said


def test_a_blend_of_two_groups_asks_which_was_counted():
    parts = [{"species": "clover_white", "share_pct": 50}, {"species": "rye", "share_pct": 50}]
    mixed = [thing("blend", "b", name="Mix", components=parts),
             thing("planting", "s", place="p", blend="b", sow_on="2027-08-15")]  # fmt: skip
    look, made = looked(plot(), soil(), *mixed, count(7), as_of=SEPTEMBER)
    assert look.count.verdict is None
    assert "scout-count-which" in messages(made, "ask")
    look, _ = looked(plot(), soil(), *mixed, count(7, species="rye"), as_of=SEPTEMBER)
    assert look.count.verdict.value == "thin"  # under 15 of a small grain


def test_what_has_no_floor_is_not_judged():
    turnip = [thing("blend", "b", name="T", components=[{"species": "turnip", "share_pct": 100}]),
              thing("planting", "s", place="p", blend="b", sow_on="2027-08-15")]  # fmt: skip
    look, made = looked(plot(), soil(), *turnip, count(7), as_of=SEPTEMBER)
    assert look.count.verdict is None
    assert "scout-count-none" in messages(made, "ask")
    _, made = looked(plot(), soil(), count(7), as_of=SEPTEMBER)
    assert "scout-count-unsown" in messages(made, "ask")


def test_seed_goes_in_by_the_end_of_the_window_where_that_is_known():
    look, _ = looked(*SOWN, count(4), as_of=SEPTEMBER)
    assert look.options["overseed"].by is None
    assert "scout-no-window" in ids(look.options["overseed"])
    given = given_of(*SOWN, count(4), decide("overseed"), as_of=SEPTEMBER)
    made = make_plan(replace(given, daily=record(years=(2010, 2022))))
    last = made.sections["work"].body.windows["s-p"].last.value
    look = made.sections["scout"].body["w"]
    assert look.options["overseed"].by.value == last
    assert look.task.by.value == last
    late = make_plan(replace(given_of(*SOWN, count(4), as_of=date(2027, 10, 20)),
                             daily=record(years=(2010, 2022))))  # fmt: skip
    found = late.sections["scout"].body["w"].options["overseed"]
    assert "scout-window-over" in ids(found)


def test_the_sheet_shows_the_choice_taken():
    _, made = looked(*KEPT, weeds(), decide("mow"))
    sheet = next(s for s in sheets(made) if s.id == "scout")
    assert sheet.tables[0].rows[0][-1] == "mow"
    assert "taken" in [row[1] for row in sheet.tables[1].rows]
    assert not [s for s in sheets(plan(*KEPT)) if s.id == "scout"]


def test_a_count_needs_a_number():
    with pytest.raises(BadInput, match="plants_ft2"):
        check("scouting", {"place": "p", "on": "2027-08-30", "what": "plant count"}, "form")


# --- a decision is a task of the year, and of its count


def decided(choice, *, daily, as_of=JUNE, **body):
    things = (*KEPT, weeds(**body), decide(choice), plot("p", name="Bench", texture="loam"))
    made = make_plan(replace(given_of(*things, as_of=as_of), daily=daily))
    return made.sections["work"].body


def test_a_decided_mowing_has_hours_and_a_last_day_and_is_counted():
    body = decided("mow", daily=record(rain=0))
    job = body.jobs["scout.w"]
    # half an hour before and 0.8 h an acre: row of job_hours
    assert job.hours.value == pytest.approx(1.3)
    # growing weeds set seed in 21 days: row of weed_stages
    assert (job.go.value, job.until.value) == (JUNE, date(2027, 6, 22))
    assert body.finish.years.value == body.finish.of_years.value


def test_a_year_whose_decided_mowing_came_too_late_has_failed():
    daily = record()
    june = (daily.times.astype("datetime64[M]").astype(int) % 12 == 5) & (
        daily.times - daily.times.astype("datetime64[M]") < np.timedelta64(23, "D")
    )
    wet = replace(daily, rain_mm=np.where(june, 30.0, 0.0))
    assert decided("mow", daily=wet).finish.years.value == 0
    # of seed that has set there is no last day, and July is dry
    late = decided("mow", daily=wet, stage="seed set").finish
    assert late.years.value == late.of_years.value


def test_leaving_weeds_is_no_job():
    assert "scout.w" not in decided("leave", daily=record(rain=0)).jobs


def test_a_thin_count_that_is_replanted_is_tilled_and_sown_again():
    sown = [plot(texture="loam"), soil(), *clover(sow_on="2027-08-10")]
    things = (*sown, count(2), decide("replant"))
    body = make_plan(given_of(*things, as_of=date(2027, 8, 31))).sections["work"].body
    assert body.jobs["scout.w"].kind == "broadcast seed"
    assert body.jobs["scout.w"].after == ("scout-till.w",)

"""The tasks of the year: what each kind of ground takes, by when, for how long, with what."""

from datetime import date

import pytest
from makers import clover, messages, plan, plot, soil, straights, thing

from fencerow.plan.work.dispatched import as_dispatched
from fencerow.plan.year import State

CLOSING = thing("closing", "c", closes="2027-09-10", opens="2028-01-05", may_enter="nobody")
LINE = {"type": "LineString", "coordinates": [[-90.62, 47.31], [-90.62, 47.31724]]}


def jobs_of(*entries, **more):
    return plan(*entries, **more).sections["work"].body.jobs


def label(**body):
    body = {"name": "Label", "read_on": "2027-01-05", "crops": ["clover_white"], **body}
    return thing("label", "l", **body)


def machine(form, id_="m", **body):
    return thing("equipment", id_, name=body.pop("name", form), form=form, **body)


def place(kind, **body):
    return thing("place", "x", kind=kind, name="X", **body)


# ---- sown plots


def test_a_spraying_needs_a_label_that_names_all_that_is_sown():
    assert "spray.s-p" in jobs_of(plot(), soil(), *clover(), label())
    assert "spray.s-p" not in jobs_of(plot(), soil(), *clover())
    assert "spray.s-p" not in jobs_of(plot(), soil(), *clover(), label(crops=["oats"]))


def test_spray_wait_mow_till_sow_in_order():
    found = jobs_of(plot(), soil(), *clover(), label(), machine("mower"))
    order = list(found)
    assert [i for i in order if i.endswith("s-p")] == [
        "spray.s-p",
        "mow.s-p",
        "till.s-p",
        "sow.s-p",
    ]
    waits = {j.kind: j for j in as_dispatched(plan().given.tables, found, date(2027, 2, 1))}
    # rows of job_waits: 7 days from spraying to mowing, 10 to 21 from spraying to tillage
    assert waits["mow"].waits[0].least_days == 7
    spray = [w for w in waits["till"].waits if order[w.after] == "spray.s-p"]
    assert (spray[0].least_days, spray[0].most_days) == (10, 21)
    assert found["spray.s-p"].go.value == date(2027, 7, 26)


def test_the_labels_wait_keeps_seed_off():
    held = label(replant=[{"species": "clover_white", "days": 60}])
    found = jobs_of(plot(), soil(), *clover(), held)
    sow = as_dispatched(plan().given.tables, found, date(2027, 2, 1))[list(found).index("sow.s-p")]
    assert 60 in [w.least_days for w in sow.waits]
    assert found["spray.s-p"].go.value == date(2027, 6, 16)  # 60 days before 15 August
    assert "spray.s-p" not in found["till.s-p"].after


def test_a_chemical_task_carries_its_caution():
    made = plan(plot(), soil(), *clover(), label())
    assert "work-caution-spray" in messages(made, "caution")
    assert "work-caution-spray" not in messages(plan(plot(), soil(), *clover()), "caution")


def test_seed_of_two_depths_takes_two_passes():
    parts = [{"species": "clover_white", "share_pct": 50}, {"species": "soybean", "share_pct": 50}]
    mixed = [thing("blend", "b", name="Mix", components=parts),
             thing("planting", "s", place="p", blend="b", sow_on="2027-08-15")]  # fmt: skip
    found = jobs_of(plot(), soil(), *mixed, machine("cultipacker"))
    assert found["sow-second.s"].after == ("sow.s",)
    assert found["pack.s"].after == ("sow-second.s",)
    assert "sow-second.s-p" not in jobs_of(plot(), soil(), *clover())


def test_what_is_sown_over_is_not_tilled_in():
    over = thing("planting", "o", place="p", blend="b", sow_on="2027-09-01", over="s-p")
    found = jobs_of(plot(), soil(), *clover(), over)
    assert "till.o" not in found
    assert (found["sow.o"].kind, found["sow.o"].after) == ("overseed", ("sow.s-p",))


# ---- how long


def test_the_width_of_a_machine_sets_the_hours():
    found = jobs_of(plot(acres=2), soil(), *clover(), machine("disk", width_ft=6, speed_mph=4))
    # by hand: 4 x 6 x 0.80 / 8.25 = 2.327 ac/h; 2 acres and half an hour to hitch
    assert found["till.s-p"].hours.value == pytest.approx(0.5 + 2 / 2.32727, abs=1e-4)
    judged = jobs_of(plot(acres=2), soil(), *clover(), machine("disk"))
    assert judged["till.s-p"].hours.value == pytest.approx(0.5 + 2 * 1.2)


def test_the_widest_of_two_is_taken():
    found = jobs_of(plot(), soil(), *clover(), machine("disk", "a", width_ft=8),
                    machine("tiller", "b", width_ft=5))  # fmt: skip
    assert found["till.s-p"].equipment == "a"


def test_a_firebreak_takes_as_many_passes_as_it_is_wide():
    mown = place("firebreak", width_ft=20, kept="mown", shape=LINE)
    found = jobs_of(mown, machine("mower", width_ft=6, speed_mph=5))["break.x.2027"]
    # 0.00724 degrees of latitude are half a mile; four passes at 5 mph, and half an hour
    assert found.hours.value == pytest.approx(0.5 + 4 * 0.5 / 5, abs=0.005)
    assert (found.kind, found.until.value) == ("mow", date(2027, 8, 31))
    bare = place("firebreak", width_ft=20, kept="bare", shape=LINE)
    assert jobs_of(bare)["break.x.2027"].kind == "till"
    assert jobs_of(place("firebreak", width_ft=20, shape=LINE)) == {}


# ---- what is kept


def kept(**more):
    return [plot(), soil(), *clover(sow_on="2025-08-10", stage="maintain"), *more.values()]


def test_clover_is_mown_high_and_seeded_on_frost():
    found = jobs_of(*kept())
    assert list(found)[-3:] == ["frost-seed.s-p", "mow-early.s-p", "mow-late.s-p"]
    assert found["frost-seed.s-p"].until.value == date(2027, 3, 31)
    assert "6 to 8 in" in str(found["mow-early.s-p"].what)
    assert found["mow-early.s-p"].until.basis.unchecked


def test_a_season_that_is_over_waits_for_the_next_year():
    assert "frost-seed.s-p" not in jobs_of(*kept(), as_of=date(2027, 5, 1))


@pytest.mark.parametrize(
    ("planted", "stems"),
    [(2028, ["grass-sod"]), (2027, ["grass-mow"]), (2026, []), (2025, []), (2024, ["grass-disk"])],
)
def test_native_grass_by_its_age(planted, stems):
    found = jobs_of(place("native-grass field", planted=planted, stated_ac=6))
    assert [i.split(".")[0] for i in found] == stems


def test_a_third_of_old_grass_is_disked_by_the_middle_of_april():
    grass = place("native-grass field", planted=2020, stated_ac=6)
    job = jobs_of(grass)["grass-disk.x.2027"]
    # Illinois job sheet 647A: 1 October to 15 April; a third of 6 acres at 1.2 h and half an hour
    assert job.until.value == date(2027, 4, 15)
    assert job.hours.value == pytest.approx(0.5 + 2 * 1.2)
    assert "strip 2 of 3" in str(job.what)
    turns = {str(jobs_of(grass, as_of=date(y, 2, 1))[f"grass-disk.x.{y}"].what)
             for y in (2027, 2028, 2029)}  # fmt: skip
    assert len(turns) == 3


def test_native_grass_is_mown_above_its_seedlings_in_july():
    job = jobs_of(place("native-grass field", planted=2027, stated_ac=6))["grass-mow.x.2027"]
    assert (job.go.value, job.until.value) == (date(2027, 7, 15), date(2027, 7, 31))
    assert "8 to 10 in" in str(job.what)


def test_roads_are_drained_and_lanes_trimmed_before_green_up():
    road = jobs_of(place("access route", carries="tractor", shape=LINE))["road.x.2027"]
    assert road.until.value == date(2027, 5, 15)
    assert jobs_of(place("access route", carries="foot", shape=LINE)) == {}
    lane = jobs_of(place("lane", shape=LINE))["trim.x.2027"]
    assert lane.until.value == date(2027, 3, 31)
    # half a mile along both sides at 0.15 mph
    assert lane.hours.value == pytest.approx(0.25 + 1 / 0.15, abs=0.01)


def test_treestands_hang_two_weeks_before_the_ground_closes():
    found = jobs_of(place("treestand", form="hang-on"), CLOSING)
    assert found["hang.x.2027"].until.value == date(2027, 8, 27)
    assert "hang.x.2027" not in jobs_of(place("treestand", form="box"), CLOSING)
    assert "hang.x.2027" not in jobs_of(place("treestand", form="hang-on"))
    assert jobs_of(place("camera"), CLOSING)["camera.x.2027"].until.value == date(2027, 9, 3)


# ---- the year


def test_the_year_lists_them_once_and_finds_a_mark_of_done():
    done = thing("done", "d", task="mow-early.s-p")
    made = plan(*kept(), *straights(), done)
    tasks = made.sections["year"].body.tasks
    assert tasks["mow-early.s-p"].state is State.DONE
    assert tasks["mow-late.s-p"].when.value == date(2027, 8, 15)
    sown = plan(plot(), soil(), *clover()).sections["year"].body.tasks
    assert [i for i in sown if i.startswith("sow")] == ["sow.s-p"]


def test_what_does_not_need_fit_ground_is_not_counted():
    found = jobs_of(*kept(), place("treestand", form="hang-on"), CLOSING)
    assert not found["hang.x.2027"].counted
    assert not found["frost-seed.s-p"].counted
    assert found["mow-early.s-p"].counted


# ---- the way there, and soil cores


def test_the_way_from_the_gate_is_in_the_hours():
    """A lane whose end is half a mile (805 m) from the gate: 0.0072366 degrees of latitude."""
    gate = thing("place", "g", kind="gate", name="G",
                 shape={"type": "Point", "coordinates": [-90.62, 47.3027634]})  # fmt: skip
    near = jobs_of(place("lane", shape=LINE))
    far = jobs_of(place("lane", shape=LINE), gate)
    (at,) = near
    # half a mile and back, 1.3 times as long, at 2.5 mph on foot: row of travel
    assert far[at].hours.value - near[at].hours.value == pytest.approx(1.3 / 2.5, rel=0.01)


def test_soil_cores_have_hours_and_keep_no_year_from_being_finished():
    found = jobs_of(plot(), *clover())
    # a quarter of an hour, and another for each acre: row of job_hours
    assert found["cores.p"].hours.value == pytest.approx(0.5)
    assert not found["cores.p"].counted
    assert "cores.p" not in jobs_of(plot(), soil(), *clover())

"""Spreader and sprayer in the plan: both ways, what is caught next, what a label keeps off."""

import pytest
from makers import clover, messages, plan, plot, soil, straights, thing

from fencerow.tract.read import check
from fencerow.words import BadInput

TEST = soil(p=8, k=100, extractant="bray1")
CONE = {
    "name": "Cone", "form": "spreader", "swath_ft": 28, "speed_mph": 5, "load_limit_lb": 60,
    "spreads": ["fertilizer"],
}  # fmt: skip
BOOM = {
    "name": "Boom", "form": "sprayer", "tank_gal": 15, "nozzle_spacing_in": 20, "speed_mph": 5,
    "pressure_psi": 40,
}  # fmt: skip
READ = {"name": "grass herbicide of the co-op", "read_on": "2026-12-01", "rate_low": 32,
        "rate_unit": "fl_oz_ac", "crops": ["clover_white"]}  # fmt: skip


def spread(*more, **cone):
    """An acre of clover that asks for 50 lb P2O5 and 80 lb K2O, and a spreader."""
    machine = thing("equipment", "cone", **{**CONE, **cone})
    return plan(plot(), TEST, *clover(), *straights(), machine, *more)


def line_of(made, material="mop"):
    return made.sections["settings"].body.spreaders["cone"].plots["p"][material]


def pans(**more):
    # bulletin 817 of Ohio State: 4 in deep near the middle, 2 in deep at 6 ft on either side
    row = [0, 1, 2, 3, 4, 4, 4, 4, 4, 4, 4, 4, 4, 3, 2, 1, 0]
    body = {"of": "spreader pans", "on": "2026-08-20", "readings": row, "reading_unit": "oz",
            "spacing_ft": 1, **more}  # fmt: skip
    return thing("catch", "pans", equipment="cone", **body)


def course(used, **more):
    body = {"of": "spreader ground", "on": "2026-08-21", "readings": used, "reading_unit": "lb",
            "distance_ft": 100, "material": "mop", **more}  # fmt: skip
    return thing("catch", "course", equipment="cone", **body)


def sprayed(*more, label=None, **boom):
    found = [thing("label", "l", **{**READ, **(label or {})})]
    return plan(plot(), soil(), *clover(), thing("equipment", "boom", **{**BOOM, **boom}),
                *found, *more)  # fmt: skip


def boom_of(made):
    return made.sections["settings"].body.sprayers["boom"]


def caught(flow_fl_oz=43.1, **more):
    # 0.3367 gal/min at 5 mph and 20 in is 20 gal/ac (University of Missouri Extension G1270A)
    body = {"of": "nozzles", "on": "2026-08-21", "readings": [flow_fl_oz] * 6,
            "reading_unit": "fl_oz", "time_s": 60, **more}  # fmt: skip
    return thing("catch", "n", equipment="boom", **body)


# ---- the spreader


def test_without_a_catch_it_says_what_to_do_first():
    made = spread()
    line = line_of(made)
    assert (line.swath.value, line.swath_by) == (28, "entered")
    steps = [m.id for m in made.sections["settings"].body.spreaders["cone"].todo]
    assert steps[0] == "settings-pans-fill"
    assert len(steps) == 4
    assert line.caught is None


def test_pans_give_the_swath_and_then_a_course_is_asked_for():
    made = spread(pans())
    line = line_of(made)
    assert (line.swath.value, line.swath_by) == (pytest.approx(12), "pans")
    assert line.uneven.value == pytest.approx(0, abs=1e-6)
    todo = made.sections["settings"].body.spreaders["cone"].todo
    assert todo[0].id == "settings-ground-weigh"
    # 80 lb K2O of a 60 % potash is 133.3 lb/ac; by definition 133.3 x 12 x 200 / 43,560 = 7.3 lb
    assert line.should_use.value == pytest.approx(7.346, abs=0.001)
    # 133.3 lb/ac at 5 mph over 12 ft: 495 minutes for an acre at a mile an hour and a foot
    assert line.flow.value == pytest.approx(133.333 * 5 * 12 / 495, rel=1e-4)


def test_pans_of_another_material_are_not_taken():
    made = spread(pans(material="tsp"))
    assert line_of(made, "tsp").swath_by == "pans"
    assert line_of(made, "mop").swath_by == "entered"


def test_a_throw_with_an_overlap_is_narrower():
    assert line_of(spread(overlap_pct=20)).swath.value == pytest.approx(22.4)


def test_too_much_is_driven_faster():
    # LSU AgCenter: 5 lb on 10 by 100 ft are 217.8 lb/ac; here 12 % above 133.3 over 12 ft
    used = 133.3333 * 1.12 * 12 * 100 / 43560
    made = spread(pans(), course([used, used]))
    line = line_of(made)
    assert line.off.value == pytest.approx(12, abs=0.01)
    assert line.drive.value == pytest.approx(5.6, abs=0.001)
    assert not line.close


def test_far_off_is_mended_at_the_gate():
    line = line_of(spread(pans(), course([12])))
    assert line.off.value > 25
    assert line.drive is None


def test_within_five_percent_is_set():
    # University of Massachusetts Extension: 4.75 to 5.25 for 5.00
    used = 133.3333 * 1.04 * 12 * 100 / 43560
    line = line_of(spread(pans(), course([used])))
    assert line.close
    assert line_of(spread(pans(), course([used * 1.03]))).close is False


def test_grams_are_read_as_grams():
    line = line_of(spread(pans(), course([453.59237 * 4], reading_unit="g")))
    assert line.caught.value == pytest.approx(4 * 43560 / 1200)


def test_full_loads_and_the_last_one_carry_what_goes_on():
    line = line_of(spread())
    assert (line.full.value, line.last.value) == (2, pytest.approx(133.333 - 120, abs=0.01))


# ---- the sprayer


def test_nozzles_give_the_volume_and_tanks_hold_it():
    made = sprayed(caught(), label={"carrier_low_gal_ac": 15, "carrier_high_gal_ac": 25})
    boom = boom_of(made)
    assert boom.volume.value == pytest.approx(20, abs=0.01)
    tanks = boom.tanks["l"]["s-p"]
    # 32 fl oz/ac at 20 gal/ac: 24 fl oz in a tank of 15 gal, 0.75 ac; 5 gal are left for the rest
    assert (tanks.full.value, tanks.last.value) == (1, pytest.approx(5, abs=0.02))
    assert tanks.low.value == pytest.approx(24, abs=0.02)
    assert tanks.last_low.value == pytest.approx(8, abs=0.02)
    assert tanks.high is None
    assert boom.answers["l"].within


def test_a_dry_product_is_weighed_into_the_tank():
    made = sprayed(caught(), label={"rate_low": 32, "rate_unit": "oz_ac"})
    # 2 lb/ac at 20 gal/ac, 15 gal
    assert boom_of(made).tanks["l"]["s-p"].low.value == pytest.approx(1.5, abs=0.01)


def test_a_volume_off_the_label_is_answered_and_no_tank_is_worked():
    made = sprayed(caught(), label={"carrier_low_gal_ac": 22, "carrier_high_gal_ac": 40})
    boom = boom_of(made)
    assert boom.tanks == {}
    assert "settings-volume-off" in messages(made, "stopped")
    answer = boom.answers["l"]
    # University of Missouri Extension: 10 % slower is about 10 % more
    assert answer.speed.value == pytest.approx(4.5, abs=0.05)
    assert answer.flow.value == pytest.approx(22 * 5 * 20 / 5940)
    assert answer.pressure.value == pytest.approx(40 * 1.21, abs=0.1)
    assert answer.pressure.basis.unchecked


def test_a_nozzle_that_is_off_is_named():
    made = sprayed(caught(readings=[16, 16, 16, 20]))
    assert boom_of(made).worn == "4"
    assert "settings-worn" in messages(made)


def test_a_hand_gun_by_its_patch():
    # the 1/128 acre method: 18.5 by 18.5 ft, 51 s, 40 oz are 40 gal/ac
    patch = thing("catch", "x", equipment="boom", of="patch", on="2026-08-21", readings=[40],
                  reading_unit="fl_oz", distance_ft=18.5, width_ft=18.5, time_s=51)  # fmt: skip
    made = sprayed(patch, nozzle_spacing_in=None)
    assert boom_of(made).volume.value == pytest.approx(40, abs=0.3)


def test_without_a_catch_the_walk_says_what_each_nozzle_should_give():
    made = sprayed(label={"carrier_low_gal_ac": 20})
    assert boom_of(made).todo[0].id == "settings-nozzle-course"
    assert boom_of(made).volume is None
    assert boom_of(made).tanks == {}
    assert "20.0 fl oz" in str(boom_of(made).todo[1])  # LSU: ounces equal gallons


# ---- the label


def test_without_a_label_no_product_is_named():
    made = plan(plot(), soil(), *clover(), thing("equipment", "boom", **BOOM), caught())
    assert "settings-no-label" in messages(made, "ask")
    assert boom_of(made).tanks == {}


def test_what_the_label_does_not_name_stops_it():
    mixed = [
        thing("blend", "b", name="Both", components=[{"species": "clover_white", "share_pct": 50},
                                                     {"species": "oats", "share_pct": 40}]),
        thing("planting", "s-p", place="p", blend="b", sow_on="2027-08-15"),
    ]  # fmt: skip
    made = plan(plot(), soil(), *mixed, thing("equipment", "boom", **BOOM), caught(),
                thing("label", "l", **READ))  # fmt: skip
    assert "settings-not-named" in messages(made, "stopped")
    assert boom_of(made).tanks == {}


@pytest.mark.parametrize(
    ("ends", "stopped"), [("2027-12-31", False), ("2026-12-31", True), (None, False)]
)
def test_a_restricted_product_needs_a_licence_that_holds(ends, stopped):
    licence = thing("permission", "w", form="licence", starts="2025-01-01", ends=ends)
    made = sprayed(caught(), licence, label={"restricted": True})
    assert ("settings-no-licence" in messages(made, "stopped")) is stopped
    assert bool(boom_of(made).tanks) is not stopped


def test_a_restricted_product_without_any_licence_is_stopped():
    assert "settings-no-licence" in messages(sprayed(caught(), label={"restricted": True}))


def test_ground_where_spraying_is_forbidden_gets_no_tank():
    no = thing("permission", "w", form="cost-share", places=["p"], forbids=["spray"])
    made = sprayed(caught(), no)
    assert "permit-stops" in messages(made, "stopped")
    assert boom_of(made).tanks == {}


def test_a_season_without_spraying_is_said_before_it_comes():
    nesting = thing("permission", "w", form="cost-share", places=["p"], season_from="05-15",
                    season_to="08-01", terms="nesting")  # fmt: skip
    assert "settings-closed-season" in messages(sprayed(caught(), nesting), "caution")
    over = thing("permission", "w", form="cost-share", places=["p"], season_from="05-15",
                 season_to="08-01", ends="2027-04-30")  # fmt: skip
    assert "settings-closed-season" not in messages(sprayed(caught(), over))


def test_a_label_read_long_ago_is_read_again():
    # common practice, no source: a year
    assert "settings-label-old" in messages(sprayed(label={"read_on": "2025-12-01"}), "ask")
    assert "settings-label-old" not in messages(sprayed())


def test_cautions_stand_where_it_is_decided():
    found = messages(sprayed(caught(), label={"most_wind_mph": 10}), "caution")
    assert {"settings-label-rules", "settings-spray-care", "settings-wind"} <= set(found)
    assert "settings-spinner" in messages(spread(), "caution")


# ---- the record


def applied(bound=None, **more):
    body = {"label": "l", "place": "p", "on": "2026-06-01", "rate": 1, "rate_unit": "pt_ac",
            "area_ac": 0.75, "by": "me", **more}  # fmt: skip
    return sprayed(thing("application", "a", **body), label=bound)


def test_what_was_used_is_summed():
    made = applied()
    book = made.sections["applied"].body
    # a pint is 16 fl oz
    assert book.entries["a"].used.value == pytest.approx(12)
    assert book.totals["l"].value == pytest.approx(12)
    assert [m for m in messages(made) if m.startswith("applied")] == []


@pytest.mark.parametrize(
    ("more", "label", "said"),
    [
        ({"rate": 3}, {"rate_high": 32}, "applied-over"),
        ({"wind_mph": 12}, {"most_wind_mph": 10}, "applied-wind"),
        ({"rate_unit": "oz_ac"}, {"rate_high": 32}, "applied-other-unit"),
        ({}, {"restricted": True}, "applied-no-licence"),
        ({"by": ""}, {}, "applied-missing"),
    ],
)
def test_what_is_at_odds_with_the_label_is_said(more, label, said):
    assert said in messages(applied(label, **more))


def test_lime_that_was_spread_is_in_the_record_too():
    spread = {"label": "", "material": "lime", "rate": 2, "rate_unit": "ton_ac"}
    assert applied(**spread).sections["applied"].body.entries["a"].used.value == pytest.approx(3000)


@pytest.mark.parametrize(
    ("kind", "body", "why"),
    [
        ("catch", {"of": "spreader pans", "readings": [1, 2, 3, 4], "reading_unit": "oz",
                   "spacing_ft": 2}, "as many left as right"),
        ("catch", {"of": "nozzles", "readings": [1], "reading_unit": "fl_oz"}, "needs time_s"),
        ("catch", {"of": "course", "readings": [9], "reading_unit": "lb", "distance_ft": 100},
         "are in s"),
        ("label", {"name": "x", "read_on": "2026-01-01", "rate_low": 2}, "needs rate_unit"),
        ("label", {"name": "x", "read_on": "2026-01-01", "rate_low": 2, "rate_high": 1,
                   "rate_unit": "lb_ac"}, "not be below"),
        ("application", {"place": "p", "on": "2026-01-01"}, "either the label"),
        ("application", {"place": "p", "on": "2026-01-01", "label": "l", "start": "7.30"}, "start"),
    ],
)  # fmt: skip
def test_a_wrong_entry_says_what_would_be_right(kind, body, why):
    if kind == "catch":
        body = {"equipment": "e", "on": "2026-08-21", **body}
    with pytest.raises(BadInput, match=why):
        check(kind, body, "here")

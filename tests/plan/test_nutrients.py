"""Nutrients of an order, held to what the publications print."""

import pytest
from makers import clover, messages, plan, plot, soil, straights, thing

from fencerow.data.systems import systems
from fencerow.plan.order.published import checked


def sown(*parts, **body):
    """A blend of (species, share) and its planting on `p`."""
    parts = [{"species": s, "share_pct": share} for s, share in parts]
    body = {"sow_on": "2027-09-01", **body}
    return [
        thing("blend", "b", name="Blend", components=parts),
        thing("planting", "s-p", place="p", blend="b", **body),
    ]


def nutrients_of(made):
    return made.sections["order"].body["p"].plantings["s-p"].nutrients


def said_of(made, message_id):
    return [s for s in made.said() if s.message.id == message_id]


M3 = {"extractant": "mehlich3"}


# ---- which system


def test_the_state_chooses_and_the_method_says_so():
    needs = nutrients_of(plan(plot(), soil(p=8, k=100, extractant="bray1"), *clover()))
    assert "Minnesota, wildlife plots" in str(needs.method)
    assert "made for MN" in str(needs.method)


def test_the_persons_choice_goes_before_the_state():
    made = plan(plot(), soil(p=60, k=200, cec_meq_100g=8, **M3), *clover(), system="tri-state")
    needs = nutrients_of(made)
    assert "your choice" in str(needs.method)
    assert (needs.p2o5.value, needs.k2o.value) == (0, 0)


def test_a_system_that_is_not_here_is_named_with_those_that_are():
    made = plan(plot(), soil(p=60, k=200, **M3), *clover(), system="atlantis")
    (asked,) = said_of(made, "nutrients-ask")
    assert "'atlantis'" in str(asked.message)
    assert "umn-plots" in str(asked.message)


def test_where_no_system_is_made_for_the_state_the_extractants_that_would_fit_are_named():
    made = plan(plot(), soil(p=60, k=200, extractant="mehlich1"), *clover(), state="TN")
    (asked,) = said_of(made, "nutrients-ask")
    assert "tri-state (Mehlich-3)" in str(asked.message)
    assert "enter the lab's rates" in str(asked.message)


def test_potassium_of_a_bray_report_is_not_read_in_a_mehlich_table():
    made = plan(plot(), soil(p=60, k=200, cec_meq_100g=8, extractant="bray1"), *clover(),
                state="OH")  # fmt: skip
    needs = nutrients_of(made)
    assert not needs.p2o5.known
    assert not needs.k2o.known


# ---- Michigan, Indiana and Ohio


def corn(**body):
    return sown(("corn", 100), yield_goal_bu_ac=150, **body)


@pytest.mark.parametrize(
    ("k", "cec", "carried", "k2o"),
    [
        # maintenance range 120 to 170 at CEC above 5, 100 to 130 below (2020 edition)
        (171, 12, 100, 0),
        (131, 4, 100, 0),
        # nothing carried off: the 20 lb of the equation in the range
        (130, 12, 0, 20),
        # 1 ppm below the level at CEC 10: 6 lb over four years, and the 20
        (119, 10, 0, 21.5),
    ],
)
def test_potash_by_critical_level_and_exchange_capacity(k, cec, carried, k2o):
    made = plan(plot(), soil(p=60, k=k, cec_meq_100g=cec, **M3),
                *corn(carried_off_pct=carried), state="OH")  # fmt: skip
    assert nutrients_of(made).k2o.value == pytest.approx(k2o)


def test_phosphate_lifts_the_test_over_four_years():
    # 20 lb P2O5 for 1 ppm (Ohio State University Extension): 5 lb a year; critical level 20
    made = plan(plot(), soil(p=19, k=200, cec_meq_100g=8, **M3), *corn(carried_off_pct=0),
                state="IN")  # fmt: skip
    assert nutrients_of(made).p2o5.value == pytest.approx(5)


def test_what_is_browsed_is_not_baled_and_the_share_stands_in_the_working():
    test = soil(p=25, k=125, cec_meq_100g=8, **M3)
    browsed = nutrients_of(plan(plot(), test, *corn(), state="MI")).p2o5
    baled = nutrients_of(plan(plot(), test, *corn(carried_off_pct=100), state="MI")).p2o5
    assert browsed.value == pytest.approx(0.3 * baled.value)
    assert "nutrients-browsed" in [f.origin.why.id for f in browsed.assumed()]
    # removal coefficients are from memory, and say so
    assert baled.basis.unchecked


def test_nothing_from_the_limit_on_rests_on_no_memory():
    made = plan(plot(), soil(p=60, k=200, cec_meq_100g=8, **M3), *corn(), state="OH")
    assert not nutrients_of(made).p2o5.basis.unchecked


def test_without_an_exchange_capacity_potash_is_asked_for():
    made = plan(plot(), soil(p=25, k=125, **M3), *corn(), state="OH")
    needs = nutrients_of(made)
    assert needs.p2o5.known
    assert needs.k2o.reason.id == "system-soil-by-cec"


def test_without_a_yield_in_bushels_it_is_asked_for():
    made = plan(plot(), soil(p=25, k=125, cec_meq_100g=8, **M3), *sown(("corn", 100)), state="OH")
    assert nutrients_of(made).p2o5.reason.id == "nutrients-no-grain"


def test_only_the_minnesota_system_is_checked():
    assert [s.id for s in systems().values() if checked(s)] == ["umn-plots"]
    made = plan(plot(), soil(p=25, k=125, cec_meq_100g=8, **M3), *corn(), state="OH")
    assert "nutrients-unchecked" in messages(made, "doubt")


# ---- North Carolina's line for food plots


def test_north_carolina_by_its_own_index():
    # Circular No. 1, equation 14 at index 50: 0.0116 x 2500 - 2.75 x 50 + 150 = 41.5
    test = soil(p=50, p_unit="index", k=50, k_unit="index", texture="loam", **M3)
    needs = nutrients_of(plan(plot(), test, *clover(), state="NC"))
    assert (needs.p2o5.value, needs.k2o.value) == (pytest.approx(41.5), pytest.approx(41.5))


def test_ppm_is_not_taken_for_the_index_nor_the_index_for_ppm():
    ppm = nutrients_of(plan(plot(texture="loam"), soil(p=50, k=50, **M3), *clover(), state="NC"))
    assert ppm.p2o5.reason.id == "nutrients-index-wanted"
    test = soil(p=50, p_unit="index", k=50, k_unit="index", cec_meq_100g=8, **M3)
    index = nutrients_of(plan(plot(), test, *clover(), state="OH"))
    assert index.p2o5.reason.id == "nutrients-index-given"


# ---- nitrogen


def test_a_clover_blend_needs_none_and_a_grain_its_own():
    bray = soil(p=8, k=100, extractant="bray1")
    legume = nutrients_of(plan(plot(), bray, *sown(("clover_red", 60), ("oats", 40)), state="TN"))
    assert legume.n.value == 0
    grain = nutrients_of(plan(plot(), bray, *sown(("rye", 100)), state="TN"))
    assert (grain.nitrogen.low.value, grain.nitrogen.high.value) == (40, 60)
    assert grain.n.value == 50
    assert grain.n.basis.unchecked


def test_a_mixture_stands_between():
    bray = soil(p=8, k=100, extractant="bray1")
    mixed = nutrients_of(plan(plot(), bray, *sown(("clover_red", 25), ("oats", 75)), state="TN"))
    assert (mixed.nitrogen.low.value, mixed.nitrogen.high.value) == (20, 30)


@pytest.mark.parametrize(
    ("crop", "low", "high"),
    [
        # University of Minnesota Extension, wheat: soybean 20, field pea 10
        ("soybean", 20, 40),
        ("Austrian winter pea", 30, 50),
        # 50 to 100 lb from a stand of clover (Practical Farmers of Iowa)
        ("red clover", 0, 10),
        ("corn", 40, 60),
    ],
)
def test_the_crop_before_leaves_its_own(crop, low, high):
    made = plan(plot(last_crop=crop), soil(), *sown(("rye", 100)), state="TN")
    found = nutrients_of(made).nitrogen
    assert (found.low.value, found.high.value) == (low, high)
    assert not said_of(made, "nitrogen-ask")


@pytest.mark.parametrize("crop", ["", "clover of some kind", "lablab"])
def test_a_crop_before_that_is_not_known_is_asked_for(crop):
    made = plan(plot(last_crop=crop), soil(), *sown(("rye", 100)), state="TN")
    assert said_of(made, "nitrogen-ask")
    assert nutrients_of(made).nitrogen.high.value == 60


@pytest.mark.parametrize(
    ("before", "om", "bushels", "n"),
    [
        # University of Minnesota Extension, oats: after soybean, low organic matter, 81-100 bu
        ("soybean", 2.0, 90, 40),
        # Small Grains Field Guide: after another crop, low organic matter, 61-80 bu
        ("corn", 2.0, 70, 60),
        ("alfalfa", 4.0, 110, 0),
    ],
)
def test_oats_for_grain_by_the_crop_before_and_organic_matter(before, om, bushels, n):
    body = {"yield_goal_bu_ac": bushels, "sow_on": "2027-04-20"}
    made = plan(plot(last_crop=before), soil(om_pct=om), *sown(("oats", 100), **body))
    found = nutrients_of(made).n
    assert found.value == n
    assert not found.basis.unchecked


def test_oats_without_a_yield_of_grain_take_the_range_of_a_browsed_plot():
    made = plan(plot(last_crop="corn"), soil(om_pct=2.0), *sown(("oats", 100)))
    assert nutrients_of(made).nitrogen is not None


# ---- residue


def test_tall_sorghum_mowed_and_tilled_in():
    # Iowa State's method and NRCS's 8 of 24: 3 tons at 80 to one tie up 22.5 to 35 lb N/ac
    body = {"residue": "sorghum stalks", "residue_ton_ac": 3, "residue_worked_in": "2027-08-25"}
    made = plan(plot(last_crop="grain sorghum"), soil(), *sown(("rye", 100), **body), state="TN")
    tied = nutrients_of(made).residue
    assert (tied.low.value, tied.high.value) == (pytest.approx(22.5), pytest.approx(35.0))
    # sown a week after: seven weeks more to the eighth
    assert tied.wait.value == 7
    (choices,) = said_of(made, "residue-choices")
    for choice in ("put seeding off by 7 weeks", "nitrogen on", "on top", "more legume"):
        assert choice in str(choices.message)
    assert "22.5 to 35.0 lb/ac" in str(said_of(made, "residue-ties-up")[0].message)


def test_residue_that_has_lain_eight_weeks_or_gives_back():
    body = {"residue": "sorghum stalks", "residue_ton_ac": 3, "residue_worked_in": "2027-06-01"}
    made = plan(plot(), soil(), *sown(("rye", 100), **body))
    assert "residue-over" in messages(made)
    body = {"residue": "crimson clover", "residue_ton_ac": 1.5, "residue_worked_in": "2027-08-25"}
    made = plan(plot(), soil(), *sown(("rye", 100), **body))
    assert "residue-gives" in messages(made)
    assert nutrients_of(made).residue.low.value == pytest.approx(-14.6, abs=0.3)


def test_residue_is_asked_for_where_it_matters():
    made = plan(plot(last_crop="forage sorghum"), soil(), *sown(("rye", 100)))
    assert "residue-stalks" in messages(made, "ask")
    made = plan(plot(), soil(), *sown(("rye", 100), residue="old tyres", residue_ton_ac=1))
    assert "residue-strange" in messages(made, "ask")
    made = plan(plot(), soil(), *sown(("rye", 100), residue="rye straw"))
    assert "residue-how-much" in messages(made, "ask")


# ---- native grass, sulfur and boron


def test_native_grass_by_its_notes_each_named_by_its_region():
    grass = sown(("bluestem_big", 60), ("switchgrass", 40))
    made = plan(plot(), *grass, state="TN")
    needs = nutrients_of(made)
    # Penn State: no soil test, 0-60-60; Tennessee: no nitrogen at seeding
    assert (needs.n.value, needs.p2o5.value, needs.k2o.value) == (0, 60, 60)
    assert "Pennsylvania" in str(needs.method)
    said = [str(s.message) for s in said_of(made, "nutrients-note")]
    assert any("Tennessee advises: no nitrogen at seeding" in s for s in said)
    tested = nutrients_of(plan(plot(), soil(p=8, k=90, extractant="mehlich1"), *grass, state="TN"))
    assert not tested.p2o5.known
    assert tested.n.value == 0


def test_native_grass_that_stands_is_fed_in_may_or_not_at_all():
    grass = sown(("bluestem_big", 100), stage="maintain", sow_on="2024-05-20")
    made = plan(plot(), soil(), *grass, state="TN")
    assert nutrients_of(made).n.value == 0
    said = " ".join(str(s.message) for s in said_of(made, "nutrients-note"))
    assert "60 lb/ac of nitrogen when growth begins in May" in said
    assert "never in early spring" in said


def test_boron_of_switchgrass_and_alfalfa():
    # Tennessee: 1 lb where the test is below 0.8 lb/ac, which is 0.4 ppm
    low = plan(plot(), soil(b_ppm=0.3), *sown(("switchgrass", 100)), state="TN")
    assert nutrients_of(low).b.value == 1
    enough = plan(plot(), soil(b_ppm=0.4), *sown(("switchgrass", 100)), state="TN")
    assert nutrients_of(enough).b is None
    # Penn State: 2 lb as routine for alfalfa
    alfalfa = plan(plot(), soil(), *sown(("alfalfa", 100)), state="PA")
    assert nutrients_of(alfalfa).b.value == 2
    assert "traces-boron" in messages(alfalfa, "caution")


def test_the_labs_sulfur_and_boron():
    made = plan(plot(), soil(lab_n_lb_ac=0, lab_s_lb_ac=10, lab_b_lb_ac=1), *clover())
    needs = nutrients_of(made)
    assert (needs.s.value, needs.b.value) == (10, 1)
    assert "traces-sulfur" in messages(made)


# ---- urea, the seed row, water


def test_urea_that_lies_on_top():
    made = plan(plot(last_crop="corn"), soil(), *sown(("rye", 100)), *straights())
    loss = made.sections["order"].body["p"].plantings["s-p"].urea
    # Montana State, 17 trials: 1.1 to 44.1 %, mean 18.1 %, with NBPT 6.5 %; of 50 lb
    assert [f.value for f in (loss.low, loss.mean, loss.high, loss.kept_mean)] == pytest.approx(
        [0.55, 9.05, 22.05, 3.25]
    )
    assert "urea-loss" in messages(made, "doubt")
    assert "urea-loss" not in messages(plan(plot(), soil(), *clover(), *straights()))


def drilled(species, **body):
    return sown((species, 100), method="drilled", **body)


def starter(**body):
    return thing("material", "st", name="Starter", form="fertilizer", **body)


def row_of(made):
    return made.sections["order"].body["p"].plantings["s-p"].seed_row


def test_salt_in_the_row_with_corn():
    # International Plant Nutrition Institute: N and K2O together 10 lb at the most in 30 in rows
    body = {"row_material": "Starter", "row_width_in": 30}
    mix = starter(n_pct=10, p2o5_pct=10, k2o_pct=10)
    just = plan(plot(), soil(), *drilled("corn", row_fertilizer_lb_ac=50, **body), mix)
    assert (row_of(just).put.value, row_of(just).limit.value) == (10, 10)
    assert "seed-row-too-much" not in messages(just)
    over = plan(plot(), soil(), *drilled("corn", row_fertilizer_lb_ac=60, **body), mix)
    assert "seed-row-too-much" in messages(over, "caution")


def test_urea_in_the_row_with_a_cereal():
    # Manitoba: medium soil, 6 in rows, an inch of spread: 20 lb N/ac; light soil in 9 in rows none
    urea = thing("material", "u", name="Urea", form="fertilizer", n_pct=46)
    body = {"row_material": "Urea", "row_fertilizer_lb_ac": 30}
    made = plan(plot(texture="silt loam"), soil(),
                *drilled("wheat", row_width_in=6, **body), urea)  # fmt: skip
    assert row_of(made).put.value == pytest.approx(13.8)
    assert row_of(made).limit.value == 20
    assert "seed-row-urea" in messages(made, "caution")
    light = plan(plot(texture="sandy loam"), soil(),
                 *drilled("wheat", row_width_in=9, **body), urea)  # fmt: skip
    assert row_of(light).limit.value == 0
    assert "seed-row-too-much" in messages(light, "caution")


def test_a_row_without_a_limit_or_a_material():
    body = {"row_material": "Starter", "row_fertilizer_lb_ac": 40, "row_width_in": 7.5}
    made = plan(plot(), soil(), *drilled("clover_red", **body), starter(n_pct=10, k2o_pct=10))
    assert "seed-row-unknown" in messages(made, "caution")
    assert "seed-row-inoculant" in messages(made, "caution")
    assert "seed-row-material" in messages(plan(plot(), soil(), *drilled("corn", **body)), "ask")


SQUARE = [[-90.0, 45.0], [-89.999, 45.0], [-89.999, 45.001], [-90.0, 45.001], [-90.0, 45.0]]
NORTH_FT = 6076.1 / 60  # a second of latitude: a nautical mile is a minute, to 0.3 %


def creek(lat, **body):
    line = {"type": "LineString", "coordinates": [[-90.01, lat], [-89.99, lat]]}
    return thing("place", "w", kind="water", name="Creek", shape=line, **body)


def field():
    return plot(shape={"type": "Polygon", "coordinates": [SQUARE]})


def test_water_near_a_plot_asks_for_the_setback():
    second = 1 / 3600
    made = plan(field(), soil(), *clover(), creek(45.0 - 0.5 * second))
    near = made.sections["order"].body["p"].water["w"]
    assert near.distance.value == pytest.approx(0.5 * NORTH_FT, rel=0.01)
    assert "water-ask" in messages(made, "ask")
    far = plan(field(), soil(), *clover(), creek(45.0 - 2 * second))
    assert far.sections["order"].body["p"].water == {}


def test_the_persons_setback_stands():
    second = 1 / 3600
    made = plan(field(), soil(), *clover(), creek(45.0 - 2 * second, setback_ft=300))
    (said,) = said_of(made, "water-setback")
    assert said.weight == "caution"
    assert "300 ft" in str(said.message)
    kept = plan(field(), soil(), *clover(), creek(45.0 - 0.5 * second, setback_ft=25))
    assert not said_of(kept, "water-setback")
    assert not said_of(kept, "water-ask")


@pytest.mark.parametrize(("p", "unit"), [(120, "ppm"), (240, "lb_ac")])
def test_no_more_phosphorus_for_the_waters_sake(p, unit):
    # Ohio State University: from 120 ppm (240 lb/ac) Mehlich-3 on no more phosphorus
    made = plan(plot(), soil(p=p, p_unit=unit, k=200, cec_meq_100g=8, **M3), *clover(), state="OH")
    (said,) = said_of(made, "phosphorus-high")
    assert said.weight == "caution"
    assert "Ohio, 120 ppm" in str(said.message)
    lower = plan(plot(), soil(p=119, k=200, cec_meq_100g=8, **M3), *clover(), state="OH")
    assert not said_of(lower, "phosphorus-high")
    assert said_of(lower, "phosphorus-enough")

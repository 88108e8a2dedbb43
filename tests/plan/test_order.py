"""The order: lime, nutrients, seed and what to buy, against what the sources print."""

from datetime import date

import pytest
from makers import AS_OF, aglime, clover, given, messages, plan, plot, soil, straights, thing

from fencerow.data import Tables
from fencerow.figure import Basis
from fencerow.plan.plan import make_plan


def order_of(made, place="p"):
    return made.sections["order"].body[place]


def test_acres_and_one_soil_test_already_give_an_order():
    made = plan(plot(acres=0.5), soil(ph=5.5, buffer_ph=6.5, buffer_method="sikora"), *clover())
    order = order_of(made)
    # University of Minnesota Extension, wildlife food plots: area 1, index 6.5: 2,500 lb ENP = 2.5
    # tons of the state's average lime
    assert order.liming.need.value == 2500
    assert order.liming.rate.value == pytest.approx(2.5)
    assert order.lime.value == pytest.approx(1.25)
    assert "lime-usual" in messages(made)


def test_the_clover_table_of_minnesota():
    # University of Minnesota Extension, fertilizing red clover: 4 tons, Bray 8: 50 lb P2O5;
    # K 100 ppm: 80 lb K2O
    made = plan(plot(), soil(p=8, k=100, extractant="bray1"), *clover())
    needs = order_of(made).plantings["s-p"].nutrients
    assert (needs.n.value, needs.p2o5.value, needs.k2o.value) == (0, 50, 80)
    olsen = plan(plot(), soil(p=8, k=100, extractant="olsen"), *clover())
    assert order_of(olsen).plantings["s-p"].nutrients.p2o5.value == 30


def test_a_test_in_lb_an_acre_is_read_in_ppm():
    made = plan(plot(), soil(p=16, p_unit="lb_ac", k=200, k_unit="lb_ac", extractant="bray1"),
                *clover())  # fmt: skip
    needs = order_of(made).plantings["s-p"].nutrients
    assert (needs.p2o5.value, needs.k2o.value) == (50, 80)


def test_another_extractant_is_never_read_silently():
    made = plan(plot(), soil(p=30, k=100, extractant="mehlich3"), *clover())
    needs = order_of(made).plantings["s-p"].nutrients
    assert not needs.p2o5.known
    assert not needs.k2o.known
    assert "nutrients-ask" in messages(made, "ask")


def test_without_a_state_no_table_is_chosen():
    made = plan(plot(), soil(p=8, k=100, extractant="bray1"), *clover(), state="")
    assert not order_of(made).plantings["s-p"].nutrients.p2o5.known


def test_the_labs_own_word_comes_first():
    test = soil(ph=5.2, p=8, extractant="bray1", lab_lime=2, lab_lime_basis="ton_ac",
                lab_p2o5_lb_ac=33)  # fmt: skip
    made = plan(plot(), test, *clover(), aglime(cce_pct=90))
    order = order_of(made)
    assert order.liming.method.id == "lime-by-lab"
    assert order.liming.rate.value == pytest.approx(2.0)
    needs = order.plantings["s-p"].nutrients
    assert needs.p2o5.value == 33
    assert not needs.k2o.known


def test_north_carolinas_equation():
    # NCDA&CS lime table: buffer pH 6.0, pH 5.5, target 6.0: 2.4 x 0.4545 = 1.09 tons
    rye = [
        thing("blend", "b", name="Rye", components=[{"species": "rye", "share_pct": 100}]),
        thing("planting", "s", place="p", blend="b", sow_on="2027-09-10"),
    ]
    made = plan(plot(), soil(ph=5.5, buffer_ph=6.0, buffer_method="mehlich"), *rye, state="NC")
    assert order_of(made).target_ph.value == 6.0
    assert order_of(made).liming.need.value == pytest.approx(1.09, abs=0.01)
    # lime of 5 months ago counts at 60 %
    limed = plot(lime_ton_ac=1.0, limed_on="2026-09-01")
    credited = plan(limed, soil(ph=5.5, buffer_ph=6.0, buffer_method="mehlich"), *rye, state="NC")
    assert order_of(credited).liming.need.value == pytest.approx(1.09 - 0.6, abs=0.01)


def test_salt_ph_never_goes_into_a_water_table():
    made = plan(plot(), soil(ph=5.0, ph_kind="salt", buffer_ph=6.4, buffer_method="sikora"),
                *clover())  # fmt: skip
    assert not order_of(made).liming.need.known


def test_a_lime_without_a_value_on_the_basis_is_not_taken():
    sour = soil(ph=5.5, buffer_ph=6.5, buffer_method="sikora")
    made = plan(plot(), sour, *clover(), aglime(cce_pct=95))
    assert order_of(made).liming.material == ""
    made = plan(plot(), sour, *clover(), aglime(enp_lb_ton=1250))
    assert order_of(made).liming.rate.value == pytest.approx(2.0)
    assert made.sections["buy"].body.purchases["ag"].packages.value == 2


def test_no_buffer_and_no_word_of_the_labs_asks():
    made = plan(plot(), soil(ph=5.1), *clover(), state="TN")
    assert order_of(made).lime is not None
    assert not order_of(made).lime.known
    assert "lime-ask" in messages(made, "ask")


def test_lime_that_comes_too_late_says_so():
    sour = soil(ph=5.5, buffer_ph=6.5, buffer_method="sikora")
    late = plan(plot(), sour, *clover(sow_on="2027-05-01"))
    assert order_of(late).liming.spread_by.value == date(2026, 11, 1)
    assert "lime-late" in messages(late)
    early = plan(plot(), sour, *clover(sow_on="2027-10-01"))
    assert "lime-late" not in messages(early)


def test_seed_by_component_with_pure_live_seed_and_factor():
    lot = thing("seed-lot", "l", species="clover_white", name="Lot", purity_pct=49.5,
                germination_pct=90, bag_lb=5, price_usd=30)  # fmt: skip
    made = plan(plot(acres=3.2), soil(), *clover(seeding_factor=0.25), lot)
    line = order_of(made).plantings["s-p"].seed.species["clover_white"]
    # 5 lb/ac (Alabama, middle of 4 to 6), a quarter of it, 3.2 ac, lot of 44.55 % live seed:
    # 8.979 lb, two 5-lb bags (arithmetic on the seen rate)
    assert line.rate.value == 5
    assert line.need.value == pytest.approx(8.979, abs=0.001)
    bought = made.sections["buy"].body.purchases["l"]
    assert (bought.packages.value, bought.cost.value) == (2, 60)


def test_where_deer_are_many():
    # common practice, no source: 0.8 ac gets an acre's worth of seed
    lot = thing("seed-lot", "l", species="clover_white", name="Lot", purity_pct=100,
                germination_pct=100)  # fmt: skip
    made = plan(plot(acres=0.8), soil(), *clover(seeding_factor=1.25), lot)
    line = order_of(made).plantings["s-p"].seed.species["clover_white"]
    assert line.need.value == pytest.approx(line.rate.value)


def test_bags_are_shared_among_plots():
    tests = [soil(f"t{i}", f"p{i}", p=8, k=100, extractant="bray1") for i in (1, 2)]
    plots = [plot(f"p{i}", acres=0.25) for i in (1, 2)]
    sown = [*clover("p1"), clover("p2")[1]]
    made = plan(*plots, *tests, *sown, *straights())
    bought = made.sections["buy"].body.purchases
    # 2 x 0.25 ac x 50 lb P2O5 / 0.46 = 54 lb: two bags, not one for each plot's 27 lb and a spare
    assert bought["tsp"].packages.value == 2
    # 2 x 0.25 x 80 / 0.60 = 67 lb
    assert bought["mop"].packages.value == 2
    assert "urea" not in bought
    spread = made.sections["buy"].body.spread
    assert spread["p1"]["tsp"].lb.value == pytest.approx(0.25 * 50 / 0.46)
    assert made.sections["buy"].body.total.value == pytest.approx(2 * 37 + 2 * 24)


def test_nitrogen_on_legumes_stays_under_its_cap():
    cheap = {"name": "DAP", "form": "fertilizer", "n_pct": 18, "p2o5_pct": 46, "price_usd": 5}
    dap = thing("material", "dap", **cheap)
    made = plan(plot(), soil(p=2, k=200, extractant="bray1"), *clover(), *straights(), dap)
    spread = made.sections["buy"].body.spread["p"]
    # 70 lb P2O5 as DAP alone would carry 27 lb N; the rest of it comes as TSP
    assert 0 < spread["dap"].lb.value * 0.18 <= 15
    carried = spread["dap"].lb.value * 0.46 + spread["tsp"].lb.value * 0.46
    assert carried == pytest.approx(70)


def test_nothing_that_carries_it_is_named():
    urea = thing("material", "u", name="Urea", form="fertilizer", n_pct=46, price_usd=27)
    made = plan(plot(), soil(p=8, k=200, extractant="bray1"), *clover(), urea)
    assert "buy-no-blend" in messages(made, "ask")


def test_a_missing_price_leaves_the_cost_unknown_with_its_reason():
    lot = thing("seed-lot", "l", species="clover_white", name="Lot", purity_pct=90,
                germination_pct=90)  # fmt: skip
    made = plan(plot(), soil(), *clover(), lot)
    total = made.sections["buy"].body.total
    assert not total.known
    assert "price" in str(total.reason)


def test_a_maintained_planting_takes_no_seed():
    made = plan(plot(), soil(p=8, k=100, extractant="bray1"),
                *clover(stage="maintain", sow_on="2025-08-15"))  # fmt: skip
    planting = order_of(made).plantings["s-p"]
    assert planting.seed is None
    assert planting.nutrients.p2o5.value == 50


def test_last_years_sowing_is_not_this_years():
    made = plan(plot(), soil(), *clover(sow_on="2026-08-15"))
    assert order_of(made).plantings == {}


def test_memory_shows_a_dagger_and_seen_does_not():
    made = plan(plot(), soil(ph=5.5, buffer_ph=6.5, buffer_method="sikora"), *clover())
    order = order_of(made)
    assert order.liming.need.basis is Basis.SEEN
    assert order.target_ph.basis is Basis.FROM_MEMORY


def test_a_row_of_ones_own_changes_the_answer(tmp_path):
    (tmp_path / "species_ph.csv").write_text(
        "sp,bound,soil_ph,source,basis\nclover_white,target,6.2,judgement,common practice\n"
    )
    own = Tables.shipped().with_folder(tmp_path)
    entries = [plot(), soil(), *clover()]
    assert order_of(make_plan(given(*entries))).target_ph.value == 6.5
    changed = make_plan(given(*entries, tables=own))
    assert order_of(changed).target_ph.value == 6.2
    assert changed.as_json()["tables"]["own"] == ["species_ph/clover_white/target"]


def test_an_unknown_species_asks_for_a_row():
    odd = [
        thing("blend", "b", name="Odd", components=[{"species": "moonflower", "share_pct": 100}]),
        thing("planting", "s", place="p", blend="b", sow_on="2027-08-01"),
    ]
    made = plan(plot(), soil(), *odd, as_of=AS_OF)
    assert not order_of(made).plantings["s"].seed.species["moonflower"].rate.known

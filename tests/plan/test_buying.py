"""The buying list: what is used, left over and delivered comes to what is paid; by supplier."""

import csv
import io

import pytest
from makers import aglime, clover, messages, plan, plot, soil, straights, thing

from fencerow.exchange.order_csv import COLUMNS, order_csv
from fencerow.plan.view import sheets

HUNGRY = {"p": 8, "k": 100, "extractant": "bray1"}
"""University of Minnesota Extension, clover at 4 tons: 50 lb P2O5 and 80 lb K2O an acre."""


def buying(made):
    return made.sections["buy"].body


def offer(id_, **body):
    return thing("material", id_, **{"name": id_, "form": "fertilizer", "price_usd": 30, **body})


def everything(**about):
    """Two plots with lime, three materials and a seed lot, some of it on hand or delivered."""
    lot = thing("seed-lot", "l", species="clover_white", name="Lot", purity_pct=90,
                germination_pct=90, bag_lb=5, price_usd=30, on_hand_lb=2)  # fmt: skip
    tests = [
        soil(f"t{i}", f"p{i}", ph=5.5, buffer_ph=6.5, buffer_method="sikora", **HUNGRY)
        for i in (1, 2)
    ]
    return plan(
        plot("p1", acres=0.5), plot("p2", acres=1.3), *tests, *clover("p1"), clover("p2")[1], lot,
        *straights()[:2], offer("mop", k2o_pct=60, on_hand_lb=25, delivery_usd=12, price_usd=24),
        aglime(enp_lb_ton=1250, delivery_usd=85, least_packages=6, on_hand_lb=300), **about,
    )  # fmt: skip


def test_what_is_used_left_over_and_delivered_comes_to_the_total():
    found = buying(everything())
    used = sum(cost.value for cost in found.plot_cost.values())
    left = sum(p.left_cost.value for p in found.purchases.values())
    assert found.used.value == pytest.approx(used)
    assert found.left.value == pytest.approx(left)
    assert found.delivery.value == 85 + 12
    assert found.total.value == pytest.approx(used + left + 85 + 12)
    bought = [p.packages.value * p.price.value for p in found.purchases.values()]
    assert found.total.value == pytest.approx(sum(bought) + 97)


def test_each_thing_is_used_on_hand_or_left():
    for bought in buying(everything()).purchases.values():
        need = bought.need.value * (2000 if bought.need.unit == "ton" else 1)
        hand = 0 if bought.on_hand is None else min(bought.on_hand.value, need)
        new = bought.packages.value * bought.package_lb.value
        assert hand + new == pytest.approx(need + bought.left.value)


def test_the_quarry_brings_no_fewer_than_its_least_load():
    lime = buying(everything()).purchases["ag"]
    # 2 tons an acre on 1.8 acres, less 300 lb on hand, are 4 tons; the least load is 6
    assert lime.packages.value == 6


def test_potash_on_hand_is_used_before_any_is_bought():
    mop = buying(everything()).purchases["mop"]
    # 1.8 ac x 80 lb / 60 % = 240 lb, less 25 lb here: 215 lb, five bags
    assert mop.need.value == pytest.approx(240)
    assert mop.packages.value == 5
    assert mop.left.value == pytest.approx(35)


def test_what_is_wholly_on_hand_costs_nothing_and_is_no_errand():
    made = plan(plot(), soil(p=8, k=200, extractant="bray1"), *clover(),
                offer("tsp", p2o5_pct=46, price_usd=None, on_hand_lb=400),
                offer("u", n_pct=46))  # fmt: skip
    found = buying(made)
    assert (found.purchases["tsp"].packages.value, found.total.value) == (0, 0)
    assert [s.id for s in sheets(made) if s.id.startswith("counter")] == []
    assert not [t for t in made.sections["year"].body.tasks if t.startswith("order.tsp")]


def test_a_budget_says_what_is_left_and_when_it_is_passed():
    assert buying(everything(budget_usd=5000)).budget_left.value == pytest.approx(
        5000 - buying(everything()).total.value
    )
    assert "buy-over-budget" in messages(everything(budget_usd=50), "doubt")


def test_plots_in_organic_ground_share_bags_with_those_that_are_not():
    meal = offer("meal", n_pct=0, p2o5_pct=20, k2o_pct=20, synthetic=False, price_usd=1)
    organic = thing("permission", "o", form="organic", places=["p1"])
    tests = [soil(f"t{i}", f"p{i}", p=8, k=200, extractant="bray1") for i in (1, 2)]
    made = plan(plot("p1", acres=0.2), plot("p2", acres=0.2), *tests, *clover("p1"),
                clover("p2")[1], *straights(), meal, organic)  # fmt: skip
    # 10 lb of P2O5 on each are 100 lb of meal: two bags, on both plots, cheaper than any TSP
    assert buying(made).purchases["meal"].packages.value == 2
    assert set(buying(made).spread["p1"]) == {"meal"}


def test_a_need_that_nothing_meets_does_not_hold_up_the_rest():
    made = plan(plot(), soil(**HUNGRY), *clover(), straights()[1])
    assert "buy-no-blend" in messages(made, "ask")
    # 50 lb of P2O5 / 46 % = 109 lb: three bags
    assert buying(made).purchases["tsp"].packages.value == 3


def test_a_little_short_where_the_person_allows_it():
    made = plan(plot(acres=0.5), soil(p=8, k=200, extractant="bray1"), *clover(), straights()[1])
    # 25 lb of P2O5 are 54.3 lb of TSP, two bags; 5 lb an acre less (a judgement of ours), one
    assert buying(made).purchases["tsp"].packages.value == 2
    assert buying(made).compared.lenient_saves.value == 37
    short = plan(plot(acres=0.5), soil(p=8, k=200, extractant="bray1"), *clover(), straights()[1],
                 may_fall_short=True)  # fmt: skip
    assert buying(short).purchases["tsp"].packages.value == 1
    assert buying(short).compared.short["p"]["p2o5"].value == pytest.approx(25 - 23)


def test_the_runner_up_and_the_common_habit_stand_beside_the_order():
    triple = offer("19-19-19", n_pct=19, p2o5_pct=19, k2o_pct=19, price_usd=31)
    dap = offer("DAP", n_pct=18, p2o5_pct=46, price_usd=45)
    made = plan(plot(), soil(**HUNGRY), *clover(), *straights(), triple, dap)
    found = buying(made).compared
    assert found.gap.value == 0
    assert found.other_cost.value == pytest.approx(found.cost.value + found.other_more.value)
    assert found.other_more.value > 0
    # 300 lb/ac of 19-19-19: 57 lb of each on a clover that asks for 0, 50 and 80
    assert {n: f.value for n, f in found.habit.over.items()} == {
        "n": pytest.approx(57),
        "p2o5": pytest.approx(7),
    }
    assert found.habit.under["k2o"].value == pytest.approx(80 - 57)
    assert found.habit.cost.value == 6 * 31
    assert found.habit.cost.basis.unchecked


def test_a_habit_that_nobody_sells_has_no_price():
    found = buying(plan(plot(), soil(**HUNGRY), *clover(), *straights())).compared
    assert (found.habit.name, found.habit.cost) == ("13-13-13", None)
    # 300 lb/ac of 13-13-13 are 39 lb of each
    assert found.habit.under["p2o5"].value == pytest.approx(11)


def test_the_same_lot_for_two_sowings_of_a_plot_is_bought_for_both():
    lot = thing("seed-lot", "l", species="clover_white", name="Lot", purity_pct=100,
                germination_pct=100, bag_lb=5, price_usd=30)  # fmt: skip
    again = thing("planting", "s2", place="p", blend="b", sow_on="2027-04-15")
    one = buying(plan(plot(), soil(), *clover(), lot)).purchases["l"].need.value
    both = buying(plan(plot(), soil(), *clover(), again, lot)).purchases["l"].need.value
    assert both == pytest.approx(2 * one)


# ---- at the counter, and as a CSV


def at_the_counter(made):
    return [s for s in sheets(made) if s.id.startswith("counter.")]


def words_of(sheet):
    return " ".join([sheet.title, str(sheet.under), *(str(s.message) for s in sheet.said),
                     *(c for t in sheet.tables for row in t.rows for c in row)])  # fmt: skip


def test_the_counters_page_has_what_to_ask_for_and_names_no_place():
    secret = [plot("p", name="Hidden Hollow"), soil(**HUNGRY), *clover()]
    made = plan(*secret, *(thing("material", e.subject, **{**e.body, "supplier": "the co-op"})
                           for e in straights()))  # fmt: skip
    (sheet,) = at_the_counter(made)
    said = words_of(sheet)
    assert sheet.title == "At the counter: the co-op"
    assert "Hidden" not in said
    assert {"3 bags of 50 lb", "TSP", "0-46-0", "Aug 15, 2027"} <= set(sheet.tables[0].rows[-2])


def test_a_page_for_each_supplier():
    made = plan(plot(), soil(**HUNGRY), *clover(), offer("tsp", p2o5_pct=46, supplier="North"),
                offer("mop", k2o_pct=60, supplier="South"))  # fmt: skip
    assert [s.title for s in at_the_counter(made)] == [
        "At the counter: North",
        "At the counter: South",
    ]


def test_the_csv_holds_every_purchase_and_no_formula():
    made = plan(plot(), soil(**HUNGRY), *clover(), offer("tsp", p2o5_pct=46, name="=1+1"),
                offer("mop", k2o_pct=60, supplier="South"))  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(order_csv(made))))
    assert tuple(rows[0]) == COLUMNS
    by_item = {row["item"]: row for row in rows}
    assert set(by_item) == {"'=1+1", "mop"}
    assert sum(float(row["cost_usd"]) for row in rows) == buying(made).total.value
    assert by_item["mop"]["supplier"] == "South"
    assert by_item["mop"]["order_by"] == "2027-07-25"  # 21 days before Aug 15

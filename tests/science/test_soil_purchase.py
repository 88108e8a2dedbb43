"""The purchase for a whole tract: what is on hand, least orders, delivery, passes, what stands
beside it. Held against brute force, and against what each rule means."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_soil_blending import DAP, MOP, SHOP, TSP, UREA, shareable

from fencerow.science.soil.blending import (
    Offer,
    PlotNeed,
    flat_rate,
    least_cost_bags,
    next_best,
)

COMPLETE = SHOP[-1]
LB = st.sampled_from([0.0, 5.0, 12.0, 20.0, 33.0, 46.0])
NEED = st.builds(lambda n, p, k: PlotNeed("a", n, p, k), LB, LB, LB)


def usd(packages, offers):
    return sum(n * o.price_usd + o.delivery_usd * (n > 0)
               for n, o in zip(packages, offers, strict=True))  # fmt: skip


def every_purchase(offers, most):
    """Every purchase of no more than so many packages of each, with its cost, cheapest first."""
    ranges = [[0, *range(o.least, most + 1)] for o in offers]
    return sorted((usd(packages, offers), packages) for packages in product(*ranges))


# ---- least orders and delivery


@settings(max_examples=15, deadline=None)
@given(NEED, st.integers(1, 3), st.sampled_from([0.0, 8.0, 25.0]), st.permutations(SHOP))
def test_least_orders_and_delivery_against_brute_force(plot, least, delivery, offers):
    offers = [replace(o, least=least, delivery_usd=delivery) for o in offers[:3]]
    answer = least_cost_bags([plot], offers)
    tried = [
        (c, p) for c, p in every_purchase(offers, 8) if not answer.found or c < answer.cost_usd
    ]
    if answer.found:
        counts = [answer.packages.get(o.offer, 0) for o in offers]
        assert all(n == 0 or n >= least for n in counts)
        assert answer.cost_usd == pytest.approx(usd(counts, offers))
        tried = [(c, p) for c, p in tried if c < answer.cost_usd - 0.01][-20:]
    else:
        tried = tried[-5:]
    assert not any(shareable([plot], offers, packages) for _, packages in tried)


def test_a_ton_that_comes_no_fewer_than_three():
    bulk = Offer("urea ton", "urea", 46, 0, 0, 2000, 500, least=3)
    bags = replace(UREA, price_usd=20)
    # 3,000 lb of urea: 60 bags at $20 are $1,200; three tons at $500 are $1,500
    plot = PlotNeed("a", n_lb=0.46 * 3000)
    assert least_cost_bags([plot], [bags, bulk]).packages == {"urea bag": 60}
    # at $380 a ton three tons, a third of it left over, are cheaper than the bags
    cheap = replace(bulk, price_usd=380)
    answer = least_cost_bags([plot], [bags, cheap])
    assert answer.packages == {"urea ton": 3}
    assert answer.left_lb["urea"] == pytest.approx(3000)


def test_delivery_is_paid_once_and_turns_the_choice():
    near, far = replace(UREA, price_usd=30), Offer("far", "urea2", 46, 0, 0, 50, 28, delivery_usd=9)
    assert least_cost_bags([PlotNeed("a", n_lb=69)], [near, far]).packages == {"urea bag": 3}
    # five bags: 150 near, 140 + 9 far
    answer = least_cost_bags([PlotNeed("a", n_lb=115)], [near, far])
    assert (answer.packages, answer.cost_usd) == ({"far": 5}, 149)


# ---- what is on hand


@settings(max_examples=12, deadline=None)
@given(NEED, st.floats(0, 120), st.floats(0, 60))
def test_what_is_on_hand_never_raises_the_cost(plot, urea, complete):
    offers = [replace(UREA, on_hand_lb=urea), DAP, MOP, replace(COMPLETE, on_hand_lb=complete)]
    assert least_cost_bags([plot], offers).cost_usd <= (
        least_cost_bags([plot], [UREA, DAP, MOP, COMPLETE]).cost_usd + 1e-6
    )


@settings(max_examples=12, deadline=None)
@given(NEED, st.floats(0.3, 1.0))
def test_a_cheaper_material_never_raises_the_cost(plot, share):
    cheaper = [replace(DAP, price_usd=DAP.price_usd * share), *(o for o in SHOP if o != DAP)]
    assert least_cost_bags([plot], cheaper).cost_usd <= (
        least_cost_bags([plot], SHOP).cost_usd + 1e-6
    )


def test_an_open_bag_is_used_first_in_pounds():
    answer = least_cost_bags([PlotNeed("a", n_lb=0.46 * 80)], [replace(UREA, on_hand_lb=31)])
    assert answer.packages == {"urea bag": 1}
    assert answer.from_hand_lb["urea"] == pytest.approx(31)
    # 80 lb are spread, 31 of them from the open bag, 49 out of the new one
    assert answer.left_lb["urea"] == pytest.approx(1)


def test_what_is_no_longer_sold_is_used_up_and_not_bought():
    old = replace(TSP, most=0, on_hand_lb=40)
    answer = least_cost_bags([PlotNeed("a", p2o5_lb=0.46 * 40)], [old, DAP])
    assert (answer.packages, answer.cost_usd) == ({}, 0)


# ---- passes, tolerance, places that bar a material, traces


def test_passes_are_limited_where_the_person_says_so():
    plot = PlotNeed("a", 19, 19, 19)
    dear = replace(COMPLETE, price_usd=200)
    free = least_cost_bags([plot], [UREA, DAP, MOP, dear])
    assert len(free.spread_lb["a"]) == 3
    once = least_cost_bags([replace(plot, passes=1)], [UREA, DAP, MOP, dear])
    assert (once.packages, once.passes) == ({"19 bag": 2}, 1)
    assert not least_cost_bags([replace(plot, passes=1)], [UREA, DAP, MOP]).found


def test_between_equal_costs_the_fewer_loads():
    """A bag of each is bought in any case. The fewest lb are DAP and urea on one plot and urea on
    the other; DAP alone on the one and urea alone on the other is a load less."""
    answer = least_cost_bags([PlotNeed("a", 5, 5, 0), PlotNeed("b", 5, 0, 0)], [DAP, UREA])
    assert answer.packages == {"dap bag": 1, "urea bag": 1}
    assert {p: set(s) for p, s in answer.spread_lb.items()} == {"a": {"dap"}, "b": {"urea"}}


def test_a_load_is_what_the_spreader_carries():
    """At equal cost, 110 lb that go on in one load, rather than 50 lb in five."""
    weak = Offer("weak", "21-0-0", 21, 0, 0, 50, 10, load_lb=700)
    strong = Offer("strong", "46-0-0", 46, 0, 0, 50, 30, load_lb=10)
    assert least_cost_bags([PlotNeed("a", n_lb=23)], [weak, strong]).packages == {"weak": 3}
    even = replace(strong, load_lb=700)
    assert least_cost_bags([PlotNeed("a", n_lb=23)], [weak, even]).packages == {"strong": 1}


def test_a_plot_may_fall_short_where_it_is_allowed_and_no_further_than_it_must():
    plots = [PlotNeed(p, p2o5_lb=12.5, short_lb={"p2o5": 2.5}) for p in ("a", "b")]
    # 25 lb of P2O5 are 54.3 lb of TSP; 20 lb would do, and one bag brings 23
    answer = least_cost_bags(plots, [TSP])
    assert answer.packages == {"tsp bag": 1}
    lacks = sum(short["p2o5"] for short in answer.short_lb.values())
    assert lacks == pytest.approx(25 - 23)
    assert least_cost_bags([replace(p, short_lb={}) for p in plots], [TSP]).packages == {
        "tsp bag": 2
    }


def test_what_may_not_go_on_a_plot_stays_off_it_and_the_rest_is_shared():
    meal = Offer("meal bag", "meal", 7, 0, 0, 50, 40)
    plots = [PlotNeed("a", n_lb=3, not_of=("urea",)), PlotNeed("b", n_lb=3)]
    answer = least_cost_bags(plots, [UREA, meal])
    assert set(answer.spread_lb["a"]) == {"meal"}
    # the bag of meal that the first has to have feeds both: 6 lb / 7 % = 86 lb, two bags at $80
    # against one of meal and one of urea at $68
    assert answer.packages == {"meal bag": 1, "urea bag": 1}


def test_sulfur_and_boron_are_met_and_boron_keeps_its_cap():
    sulfate = Offer("ams bag", "ams", 21, 0, 0, 50, 18, s_pct=24)
    borate = Offer("borate bag", "borate", 0, 0, 0, 5, 20, b_pct=14)
    plot = PlotNeed("a", n_lb=30, s_lb=10, b_lb=1.0, b_cap_lb=1.5)
    answer = least_cost_bags([plot], [UREA, sulfate, borate])
    assert answer.spread_lb["a"]["ams"] * 0.24 >= 10 - 1e-6
    assert 1 - 1e-6 <= answer.spread_lb["a"]["borate"] * 0.14 <= 1.5 + 1e-6


# ---- what stands beside it


@settings(max_examples=15, deadline=None)
@given(NEED.filter(lambda p: sum(p.needs) > 0), st.permutations(SHOP))
def test_the_runner_up_against_brute_force(plot, offers):
    offers = offers[:3]
    best = least_cost_bags([plot], offers)
    if not best.found:
        return
    other = next_best([plot], offers, sorted(best.packages and [o.material for o in offers
                                             if o.offer in best.packages]))  # fmt: skip
    without = [
        (cost, packages)
        for cost, packages in every_purchase(offers, 6)
        if any(n == 0 and o.offer in best.packages for n, o in zip(packages, offers, strict=True))
    ]
    if other is None:
        assert not any(shareable([plot], offers, packages) for _, packages in without[-4:])
        return
    assert other.cost_usd >= best.cost_usd - 1e-6
    assert set(best.packages) - set(other.packages)
    cheaper = [p for cost, p in without if cost < other.cost_usd - 0.01][-15:]
    assert not any(shareable([plot], offers, packages) for packages in cheaper)


def test_nothing_bought_has_no_runner_up():
    assert next_best([PlotNeed("a")], SHOP, []) is None


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 60), st.floats(0, 60), st.floats(0.1, 3))
def test_the_common_habit_goes_over_and_under_by_definition(n, k, acres):
    plots = [PlotNeed("a", n_lb=n, k2o_lb=k)]
    habit = flat_rate(plots, COMPLETE, 300, {"a": acres})
    brought = 300 * acres * 0.19
    over, under = habit.over_lb.get, habit.under_lb.get
    assert over("n", 0) - under("n", 0) == pytest.approx(brought - n, abs=1e-5)
    assert over("p2o5", 0) == pytest.approx(brought)
    assert habit.packages * 50 >= 300 * acres - 1e-3 > (habit.packages - 1) * 50 - 1e-3
    assert habit.cost_usd == habit.packages * 32


def test_one_plots_plenty_makes_up_for_no_others_lack():
    plots = [PlotNeed("a", n_lb=0), PlotNeed("b", n_lb=114)]
    habit = flat_rate(plots, COMPLETE, 300, {"a": 1, "b": 1})
    assert (habit.over_lb["n"], habit.under_lb["n"]) == (pytest.approx(57), pytest.approx(57))


# ---- proof


def test_a_small_purchase_is_proved():
    answer = least_cost_bags([PlotNeed("a", 30, 20, 40)], SHOP)
    assert answer.gap_pct == 0
    assert answer.bound_usd == pytest.approx(answer.cost_usd, abs=0.01)


def test_a_large_tract_is_within_what_it_says():
    """Many plots: within a part in a thousand, and of the same cost as each need alone implies."""
    plots = [PlotNeed(f"p{i:02}", 7 * i % 50, 11 * i % 60, 13 * i % 90) for i in range(40)]
    answer = least_cost_bags(plots, SHOP)
    assert answer.gap_pct <= 0.1 + 1e-6
    assert answer.bound_usd <= answer.cost_usd
    for plot in plots:
        spread = answer.spread_lb[plot.plot]
        for k, need in enumerate(plot.needs[:3]):
            grade = {o.material: o.shares[k] for o in SHOP}
            assert sum(lb * grade[m] for m, lb in spread.items()) >= need - 1e-3

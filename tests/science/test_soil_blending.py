"""The buying program against brute force: no cheaper whole purchase exists, and none is missed."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.science.soil.blending import (
    NoBlend,
    Offer,
    PlotNeed,
    Purchase,
    least_cost_bags,
)
from fencerow.words import BadInput

UREA = Offer("urea bag", "urea", 46, 0, 0, 50, 28)
DAP = Offer("dap bag", "dap", 18, 46, 0, 50, 38)
TSP = Offer("tsp bag", "tsp", 0, 46, 0, 50, 40)
MOP = Offer("mop bag", "mop", 0, 0, 60, 50, 30)
COMPLETE = Offer("19 bag", "19-19-19", 19, 19, 19, 50, 32)
GRADES = {"urea": (46, 0, 0), "dap": (18, 46, 0), "tsp": (0, 46, 0), "mop": (0, 0, 60),
          "19-19-19": (19, 19, 19)}  # fmt: skip
SHOP = [UREA, DAP, TSP, MOP, COMPLETE]


# ---- an independent answer: every purchase that costs less, each tried by all corners of its space


def shareable(plots, offers, packages):
    """Whether some split of these packages meets all needs within all caps.

    If the polytope of splits is not empty, one of its corners is a split; a corner is where as
    many bounds hold as there are amounts. No linear program is used.
    """
    names = sorted({o.material for o in offers})
    grade = np.array([next(o.shares for o in offers if o.material == m) for m in names])
    have = np.array(
        [
            sum(n * o.package_lb for n, o in zip(packages, offers, strict=True) if o.material == m)
            for m in names
        ]
    )
    size, rows, most = len(plots) * len(names), [], []
    for i, plot in enumerate(plots):
        for k in range(3):
            row = np.zeros(size)
            row[i * len(names) : (i + 1) * len(names)] = grade[:, k]
            rows.append(-row)
            most.append(-plot.needs[k])
            if np.isfinite(plot.caps[k]):
                rows.append(row)
                most.append(plot.caps[k])
    for m in range(len(names)):
        row = np.zeros(size)
        row[m :: len(names)] = 1
        rows.append(row)
        most.append(have[m])
    rows, most = np.vstack([rows, -np.eye(size)]), np.append(most, np.zeros(size))
    useful = np.abs(rows).sum(axis=1) > 0
    if (most[~useful] < -1e-7).any():
        return False
    rows, most = rows[useful], most[useful]
    corners = np.array(list(combinations(range(len(rows)), size)))
    matrices, sides = rows[corners], most[corners]
    solvable = np.abs(np.linalg.det(matrices)) > 1e-9
    points = np.linalg.solve(matrices[solvable], sides[solvable][..., None])[..., 0]
    return bool((points @ rows.T <= most + 1e-6).all(axis=1).any())


def cheaper(offers, cost):
    """Every purchase that costs less, by at least a cent."""
    ranges = [range(int((cost - 0.01) // o.price_usd) + 1) for o in offers]
    for packages in product(*ranges):
        if sum(n * o.price_usd for n, o in zip(packages, offers, strict=True)) < cost - 0.01:
            yield packages


def carried(plot, purchase, k):
    spread = purchase.spread_lb[plot.plot]
    return sum(lb * GRADES[m][k] / 100 for m, lb in spread.items())


def assert_meets(plots, offers, purchase):
    bought = {}
    for offer in offers:
        n = purchase.packages.get(offer.offer, 0)
        bought[offer.material] = bought.get(offer.material, 0) + n * offer.package_lb
    for plot in plots:
        for k, nutrient in enumerate(("n", "p2o5", "k2o")):
            given_ = carried(plot, purchase, k)
            assert plot.needs[k] - 1e-3 <= given_ <= plot.caps[k] + 1e-3
            over = purchase.surplus_lb[plot.plot].get(nutrient, 0)
            assert given_ - plot.needs[k] == pytest.approx(over, abs=1e-3)
    for material, lb in bought.items():
        used = sum(s.get(material, 0) for s in purchase.spread_lb.values())
        assert used + purchase.left_lb.get(material, 0) == pytest.approx(lb, abs=1e-3)
    price = {o.offer: o.price_usd for o in offers}
    assert purchase.cost_usd == pytest.approx(
        sum(n * price[o] for o, n in purchase.packages.items())
    )


LB = st.sampled_from([0.0, 5.0, 12.0, 20.0, 33.0, 46.0])
CAP = st.sampled_from([None, 0.0, 8.0, 60.0])


@st.composite
def shops(draw, most_offers):
    names = draw(st.permutations(sorted(GRADES)))[: draw(st.integers(1, most_offers))]
    return [
        Offer(
            f"{name} bag",
            name,
            *GRADES[name],
            package_lb=draw(st.sampled_from([20.0, 40.0, 50.0])),
            price_usd=draw(st.integers(10, 60)),
        )
        for name in names
    ]


def one_plot(name):
    return st.builds(
        lambda n, p, k, cap: PlotNeed(name, n, p, k, n_cap_lb=cap), LB, LB, LB, CAP
    ).filter(lambda plot: plot.n_cap_lb is None or plot.n_cap_lb >= plot.n_lb)


def assert_cheapest(plots, offers):
    answer = least_cost_bags(plots, offers)
    if isinstance(answer, NoBlend):
        plenty = [40] * len(offers)
        assert not shareable(plots, offers, plenty)
        return
    assert_meets(plots, offers, answer)
    packages = [answer.packages.get(o.offer, 0) for o in offers]
    assert shareable(plots, offers, packages)
    for other in cheaper(offers, answer.cost_usd):
        assert not shareable(plots, offers, other), f"{other} costs less than {packages}"


@settings(max_examples=120, deadline=None)
@given(one_plot("a"), shops(3))
def test_no_cheaper_purchase_for_one_plot(plot, offers):
    assert_cheapest([plot], offers)


@settings(max_examples=80, deadline=None)
@given(one_plot("a"), one_plot("b"), shops(2))
def test_no_cheaper_purchase_for_two_plots_that_share_bags(a, b, offers):
    assert_cheapest([a, b], offers)


@settings(max_examples=12, deadline=None)
@given(st.permutations([UREA, DAP, TSP, MOP, COMPLETE]), st.randoms())
def test_the_order_of_plots_and_offers_makes_no_difference(offers, random):
    plots = [PlotNeed("a", 30, 20, 40), PlotNeed("b", 0, 33, 25, n_cap_lb=8)]
    first = least_cost_bags(plots, SHOP)
    random.shuffle(plots)
    assert least_cost_bags(plots, offers) == first


@settings(max_examples=25, deadline=None)
@given(one_plot("a"), shops(3), st.floats(0, 20))
def test_a_larger_need_never_costs_less(plot, offers, more):
    larger = PlotNeed("a", plot.n_lb, plot.p2o5_lb + more, plot.k2o_lb, n_cap_lb=plot.n_cap_lb)
    small, large = least_cost_bags([plot], offers), least_cost_bags([larger], offers)
    if large.found:
        assert small.found
        assert small.cost_usd <= large.cost_usd + 1e-6


# ---- what a person would check


def test_a_legume_gets_tsp_where_dap_would_pass_the_cap():
    answer = least_cost_bags([PlotNeed("clover", 0, 60, 60, n_cap_lb=15)], [DAP, TSP, MOP])
    assert answer.found
    assert carried(PlotNeed("clover"), answer, 0) <= 15
    assert answer.spread_lb["clover"]["tsp"] > 0


def test_plots_share_the_last_bag():
    """Two plots of 12 lb of urea each: one bag, not two."""
    plots = [PlotNeed("a", n_lb=5.5), PlotNeed("b", n_lb=5.5)]
    assert least_cost_bags(plots, [UREA]).packages == {"urea bag": 1}


def test_bulk_and_bags_of_one_material_go_together():
    """2,300 lb of urea: a bulk ton and six bags cost less than 46 bags or two tons."""
    bulk = Offer("urea ton", "urea", 46, 0, 0, 2000, 620)
    answer = least_cost_bags([PlotNeed("a", n_lb=0.46 * 2300)], [UREA, bulk])
    assert answer.packages == {"urea bag": 6, "urea ton": 1}


def test_bags_on_hand_are_used_first_and_no_more_than_there_are():
    shelf = Offer("urea shelf", "urea", 46, 0, 0, 50, 0, most=2)
    answer = least_cost_bags([PlotNeed("a", n_lb=69)], [UREA, shelf])
    assert answer.packages == {"urea bag": 1, "urea shelf": 2}


def test_equal_costs_are_settled_by_fewer_lb_then_fewer_materials():
    strong = Offer("46 bag", "46-0-0", 46, 0, 0, 50, 30)
    weak = Offer("21 bag", "21-0-0", 21, 0, 0, 50, 30)
    assert least_cost_bags([PlotNeed("a", n_lb=10)], [weak, strong]).packages == {"46 bag": 1}
    one = Offer("mixed bag", "10-10-0", 10, 10, 0, 100, 60)
    two = [Offer("n bag", "20-0-0", 20, 0, 0, 50, 30), Offer("p bag", "0-20-0", 0, 20, 0, 50, 30)]
    answer = least_cost_bags([PlotNeed("a", 10, 10)], [*two, one])
    assert answer.packages == {"mixed bag": 1}


def test_free_bags_are_not_carried_home_for_nothing():
    free = Offer("free bag", "urea", 46, 0, 0, 50, 0)
    assert least_cost_bags([PlotNeed("a", n_lb=10)], [free]).packages == {"free bag": 1}


@pytest.mark.parametrize(
    ("plot", "offers", "nutrient", "short", "says"),
    [
        (PlotNeed("a", k2o_lb=60), [DAP], "k2o", 60, "carries any"),
        (PlotNeed("a", p2o5_lb=60, n_cap_lb=0), [DAP], "p2o5", 60, "over its cap"),
        (PlotNeed("a", p2o5_lb=60, n_cap_lb=9), [DAP], "p2o5", 37, "over its cap"),
        (
            PlotNeed("a", n_lb=60),
            [Offer("urea", "urea", 46, 0, 0, 50, 28, most=2)],
            "n",
            14,
            "too little",
        ),
        (PlotNeed("a", n_lb=10, n_cap_lb=5), [UREA], "n", 5, "over its cap"),
        (PlotNeed("a", n_lb=10), [], "n", 10, "carries any"),
    ],
)
def test_where_no_blend_does_it_the_need_is_named(plot, offers, nutrient, short, says):
    answer = least_cost_bags([plot, PlotNeed("b")], offers)
    assert isinstance(answer, NoBlend)
    assert not answer.found
    (unmet,) = answer.unmet
    assert (unmet.plot, unmet.nutrient) == ("a", nutrient)
    assert unmet.short_lb == pytest.approx(short, abs=1e-4)
    assert says in str(unmet.reason)


def test_nothing_needed_is_nothing_bought():
    nothing = Purchase(
        packages={}, spread_lb={"a": {}}, surplus_lb={"a": {}}, left_lb={}, cost_usd=0
    )
    assert least_cost_bags([PlotNeed("a")], SHOP) == nothing
    assert least_cost_bags([PlotNeed("a")], []) == nothing
    assert least_cost_bags([], SHOP).packages == {}


def test_twelve_plots_and_seven_offers_are_settled():
    plots = [PlotNeed(f"p{i:02}", 7 * i % 50, 11 * i % 60, 13 * i % 90) for i in range(12)]
    bulk = [
        Offer("urea ton", "urea", 46, 0, 0, 2000, 620),
        Offer("mop ton", "mop", 0, 0, 60, 2000, 700),
    ]
    answer = least_cost_bags(plots, [*SHOP, *bulk])
    assert answer.found
    assert_meets(plots, [*SHOP, *bulk], answer)


@pytest.mark.parametrize(
    ("plots", "offers", "says"),
    [
        ([PlotNeed("a", n_lb=-1)], SHOP, "a, n_lb"),
        ([PlotNeed("a", n_lb=float("nan"))], SHOP, "a, n_lb"),
        ([PlotNeed("a"), PlotNeed("a")], SHOP, "stands twice"),
        ([PlotNeed("a")], [Offer("x", "x", 146, 0, 0, 50, 10)], "x, n_pct"),
        ([PlotNeed("a")], [Offer("x", "x", 46, 0, 0, 0, 10)], "x, package_lb"),
        ([PlotNeed("a")], [Offer("x", "x", 46, 0, 0, 50, -1)], "x, price_usd"),
        ([PlotNeed("a")], [UREA, UREA], "stands twice"),
        ([PlotNeed("a")], [UREA, Offer("y", "urea", 40, 0, 0, 50, 9)], "two grades"),
    ],
)
def test_a_wrong_number_is_named(plots, offers, says):
    with pytest.raises(BadInput, match=says):
        least_cost_bags(plots, offers)

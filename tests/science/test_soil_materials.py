"""Materials and their tables, the plain hand blend, packages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.figure import Basis
from fencerow.science.soil import materials

TABLES = Tables.shipped()
GRADES = {
    name: [TABLES["materials"].row(name).number(f"{n}_pct") for n in ("n", "p2o5", "k2o")]
    for name in ("urea", "dap", "tsp", "mop")
}
NEED = st.floats(0, 200)


@given(NEED, st.floats(1, 100))
def test_nutrient_to_product_and_back(nutrient, grade):
    product = materials.product_for_nutrient(nutrient, grade)
    assert materials.nutrient_in_product(product, grade) == pytest.approx(nutrient)
    rate = materials.rate_of_product(nutrient, grade)
    assert materials.rate_of_nutrient(rate, grade) == pytest.approx(nutrient)


@given(st.floats(0, 10_000), st.sampled_from([40, 50, 2000]))
def test_whole_packages_hold_the_amount_and_no_package_is_spare(lb, package):
    count = materials.packages_for(lb, package)
    assert count == int(count)
    assert count * package >= lb - 1e-4
    assert (count - 1) * package < lb


@given(NEED, NEED, NEED)
def test_the_hand_blend_meets_every_need_and_never_overshoots_nitrogen(n, p2o5, k2o):
    blend = materials.straight_blend(n, p2o5, k2o, GRADES)
    for i, need in enumerate((n, p2o5, k2o)):
        given_ = sum(lb * GRADES[m][i] / 100 for m, lb in blend.items())
        assert given_ == pytest.approx(need, abs=1e-6)


@given(NEED, NEED)
def test_under_a_nitrogen_cap_dap_stays_out_where_it_would_pass_it(p2o5, cap):
    blend = materials.straight_blend(0, p2o5, 0, GRADES, n_cap_lb_ac=cap)
    assert sum(lb * GRADES[m][0] / 100 for m, lb in blend.items()) <= cap + 1e-9


def test_a_clover_need_is_not_met_with_dap():
    """60 lb of P2O5 as DAP would carry 23.5 lb of nitrogen."""
    assert materials.straight_blend(0, 60, 60, GRADES) == pytest.approx(
        {"dap": 0, "tsp": 130.4, "urea": 0, "mop": 100}, abs=0.05
    )


def test_the_tables_hold_together():
    known = set(TABLES["materials"].rows)
    assert {row.text("material") for row in TABLES["bulk_density"]} == known
    assert {row.text("material") for row in TABLES["packages"]} == known
    assert {row.text("material") for row in TABLES["nitrogen_acidity"]} <= known | {"uan"}
    for row in TABLES["bulk_density"]:
        assert 40 <= row.number("low_lb_ft3") <= row.number("high_lb_ft3") <= 110
    for row in TABLES["materials"]:
        parts = [row.number(c) or 0 for c in row.cells if c.endswith("_pct")]
        assert sum(parts) <= 100


def test_bulk_density_is_not_particle_density():
    """One page prints urea at 1,220 to 1,300 kg/m3, which is the grain, not the heap."""
    urea = TABLES["bulk_density"].row("urea")
    assert urea.number("high_lb_ft3") == 48
    assert urea.basis is Basis.SEEN


def test_the_cap_for_legumes_lets_map_through_and_keeps_dap_out():
    cap = TABLES["nitrogen_caps"].row("legume").number("n_cap_lb_ac")
    table = TABLES["materials"]
    with_60_p2o5 = {
        m: 60 / table.row(m).number("p2o5_pct") * table.row(m).number("n_pct")
        for m in ("map", "dap")
    }
    assert with_60_p2o5["map"] < cap < with_60_p2o5["dap"]

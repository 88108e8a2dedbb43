"""What holds of every rate, whatever its coefficients: richer soil is never given more."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.science.ground.measure import distance_yd, gap_ft
from fencerow.science.soil import equations, nitrogen, nutrients, residue, seed_row, urea

TEST = st.floats(0, 400)
MORE = st.floats(0, 100)


@given(TEST, MORE, st.floats(0, 50), st.floats(0, 2), st.floats(0.5, 8))
def test_linear(test, more, intercept, slope, yield_):
    rich = equations.linear(test + more, yield_, intercept, slope)
    assert 0 <= rich <= equations.linear(test, yield_, intercept, slope)


@given(TEST, MORE, st.floats(0.001, 0.1), st.floats(0, 20), st.floats(0, 900))
def test_quadratic_never_turns_up_again(test, more, curve, slope, intercept):
    rich = equations.quadratic(test + more, curve, slope, intercept)
    assert 0 <= rich <= equations.quadratic(test, curve, slope, intercept) + 1e-6


@given(TEST, MORE, st.floats(0, 400), st.integers(1, 20))
def test_square_root(test, more, target, years):
    rich = equations.square_root(test + more, target, 110, years)
    assert 0 <= rich <= equations.square_root(test, target, 110, years)


def build_maintain(test, critical, limit, carried):
    if test >= limit:
        return equations.enough(test, limit)
    if test >= critical:
        return equations.maintain(carried, 20)
    return equations.build_up(test, critical, 1, carried, 0.05, 12, 20)


@given(TEST, MORE, st.floats(0, 200), st.floats(0, 100), st.floats(0, 200))
def test_build_up_and_maintenance(test, more, critical, span, carried):
    limit = critical + span
    rich = build_maintain(test + more, critical, limit, carried)
    assert 0 <= rich <= build_maintain(test, critical, limit, carried)


@given(st.floats(0, 400), st.floats(0, 100), st.sampled_from([None, 5, 10]))
def test_rounding_keeps_the_order(rate, more, step):
    low = equations.as_given(rate, step, 10, 250)
    assert low <= equations.as_given(rate + more, step, 10, 250) <= 250


@given(st.floats(0, 10_000))
def test_ppm_to_lb_an_acre_and_back(ppm):
    assert nutrients.ppm_of_lb_ac(nutrients.lb_ac_of_ppm(ppm)) == pytest.approx(ppm)


@given(st.floats(0, 300))
def test_element_to_oxide_and_back(pounds):
    assert nutrients.p_of_p2o5(nutrients.p2o5_of_p(pounds)) == pytest.approx(pounds)
    assert nutrients.k_of_k2o(nutrients.k2o_of_k(pounds)) == pytest.approx(pounds)


@given(st.floats(0, 20_000), st.floats(8, 180), st.floats(0, 20))
def test_woodier_residue_ties_up_more(pounds, ratio, more):
    for method in (residue.tied_up_quarter, residue.tied_up_third):
        assert method(pounds, ratio + more) >= method(pounds, ratio)
    assert residue.tied_up_third(pounds, ratio) >= residue.tied_up_quarter(pounds, ratio)


@given(st.floats(0, 150), st.floats(0, 100), st.floats(0, 100))
def test_more_legume_never_asks_more_nitrogen(need, share, other):
    low, high = sorted((share, other))
    assert nitrogen.blend_nitrogen(need, high) <= nitrogen.blend_nitrogen(need, low) <= need


@given(st.dictionaries(st.sampled_from("abc"), st.floats(1, 100), min_size=1))
def test_shares_of_a_blend(shares):
    assert nitrogen.legume_share(shares, {}) == 100
    assert nitrogen.legume_share({}, shares) == 0
    needs = dict.fromkeys(shares, 50.0)
    assert nitrogen.nitrogen_of_others(shares, needs) == pytest.approx(50)


@given(st.floats(0, 300), st.floats(0.2, 5), st.floats(6, 36))
def test_a_wider_furrow_spares_the_stand(product, slope, row):
    narrow = seed_row.stand_lost(product, slope, row, 1, 1)
    assert seed_row.stand_lost(product, slope, row, 2, 1) <= narrow <= 100


@given(st.floats(0, 300))
def test_urea_with_an_inhibitor_loses_less(pounds):
    alone, kept = (Tables.shipped()["urea_loss"].row(t) for t in ("urea", "urea_nbpt"))
    for end in ("low_pct", "mean_pct", "high_pct"):
        with_it = urea.urea_lost(pounds, kept.number(end))
        assert with_it <= urea.urea_lost(pounds, alone.number(end))


@given(st.floats(-0.02, 0.02), st.floats(-0.02, 0.02), st.floats(-60, 60))
def test_the_gap_of_two_points_is_their_distance(east, north, lat):
    a, b = [-90.0, lat], [-90.0 + east, lat + north]
    points = [{"type": "Point", "coordinates": p} for p in (a, b)]
    assert gap_ft(*points) == pytest.approx(3 * distance_yd(a, b), rel=1e-6, abs=1e-6)


def test_manitobas_table_bears_more_in_heavier_soil_and_a_wider_band():
    rows = {row.key: row.number("most_lb_ac") for row in Tables.shipped()["seed_row_urea"]}
    assert len(rows) == 27
    for width in ("6.0", "9.0", "12.0"):
        for spread in ("1.0", "2.0", "3.0"):
            light, medium, heavy = (rows[f"{s}/{width}/{spread}"]
                                    for s in ("light", "medium", "heavy"))  # fmt: skip
            assert light <= medium <= heavy
        for soil in ("light", "medium", "heavy"):
            across = [rows[f"{soil}/{width}/{s}"] for s in ("1.0", "2.0", "3.0")]
            assert across == sorted(across)

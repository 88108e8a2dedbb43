"""Units and extractants, equations, CEC; the printed tables are tested with their system."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.soil import cec, extractants, nutrients
from fencerow.words import OutsideRange

# Standard atomic weights, IUPAC 2021, abridged
P, K, O = 30.974, 39.098, 15.999  # noqa: E741
AMOUNT = st.floats(0, 1000)


def test_oxide_factors_from_the_standard_atomic_weights():
    assert nutrients.p2o5_of_p(1) == pytest.approx((2 * P + 5 * O) / (2 * P), abs=1e-4)
    assert nutrients.k2o_of_k(1) == pytest.approx((2 * K + O) / (2 * K), abs=1e-4)


@given(AMOUNT)
def test_there_and_back(amount):
    assert nutrients.p_of_p2o5(nutrients.p2o5_of_p(amount)) == pytest.approx(amount)
    assert nutrients.k_of_k2o(nutrients.k2o_of_k(amount)) == pytest.approx(amount)
    assert nutrients.ppm_of_lb_ac(nutrients.lb_ac_of_ppm(amount)) == pytest.approx(amount)


def test_the_three_conversions_of_phosphorus_part_at_low_tests():
    readings = [
        extractants.bray_p_ohio(20),
        extractants.bray_p_tri_state(20),
        extractants.bray_p_commercial(20),
    ]
    assert readings == pytest.approx([8.6, 14.8, 14.0], abs=0.05)


@pytest.mark.parametrize("name", ["bray_p_ohio", "bray_p_tri_state", "bray_p_commercial"])
def test_below_15_ppm_no_conversion_is_made(name):
    with pytest.raises(OutsideRange):
        getattr(extractants, name)(14.9)


def test_conversions_as_the_laboratory_prints_them_in_lb():
    assert nutrients.lb_ac_of_ppm(extractants.bray_p_commercial(30)) == pytest.approx(42, abs=0.1)
    assert nutrients.lb_ac_of_ppm(extractants.acetate_k_commercial(120)) == pytest.approx(
        201.6, abs=0.2
    )


@given(st.floats(0, 100), st.floats(2, 5))
def test_the_equation_never_asks_for_less_than_nothing(test, yield_):
    bray = nutrients.clover_p2o5_by_bray(test, yield_)
    assert 0 <= nutrients.clover_p2o5_by_olsen(test, yield_) <= bray <= 20 * yield_


@given(st.floats(20, 200), st.floats(0, 500), st.floats(0, 200))
def test_nitrogen_in_the_soil_is_never_added_to_the_rate(bu, nitrate, credit):
    assert 0 <= nutrients.oat_nitrogen(bu, nitrate, credit) <= nutrients.oat_nitrogen(bu, 0, 0)
    assert nutrients.wheat_nitrogen(bu, nitrate, credit) >= nutrients.oat_nitrogen(
        bu, nitrate, credit
    )


@given(st.floats(0, 200), st.integers(0, 100), st.integers(0, 50))
def test_a_test_is_in_the_class_that_it_rounds_into(test, low, width):
    inside = low - 0.5 <= test < low + width + 0.5
    try:
        rate = nutrients.rate_by_ppm(test, low, 40, low + width)
    except OutsideRange:
        assert not inside
    else:
        assert (inside, rate) == (True, 40)


def test_the_row_of_another_yield_is_refused():
    row = {"class_low_ppm": 6, "rate_lb_ac": 50, "class_high_ppm": 10}
    span = {"yield_low_ton_ac": 4, "yield_high_ton_ac": 4}
    assert nutrients.rate_by_ppm(8, **row, **span, yield_ton_ac=3.6) == 50
    with pytest.raises(OutsideRange, match="yield"):
        nutrients.rate_by_ppm(8, **row, **span, yield_ton_ac=3.4)


@given(*[st.floats(0, 3000)] * 4, st.floats(4.5, 8))
def test_the_exchange_capacity_is_never_below_its_bases(k, mg, ca, na, buffer_ph):
    bases = cec.clemson_bases(k, mg, ca, na)
    whole = cec.clemson_cec(cec.clemson_acidity(buffer_ph), bases)
    assert whole >= bases
    assert cec.commercial_cec(k, mg, ca, buffer_ph) >= k / 780 + mg / 240 + ca / 400
    if whole > 0.1:
        assert 0 <= cec.base_saturation(bases, whole) <= 100 + 1e-9


def test_two_laboratories_do_not_agree_on_one_soil():
    """C01 of Clemson, with its buffer read as the other laboratory's: not portable."""
    clemson = cec.clemson_cec(cec.clemson_acidity(7.7), cec.clemson_bases(221, 28, 400, 12))
    assert clemson == pytest.approx(3.83, abs=0.01)
    assert cec.commercial_cec(221, 28, 400, 7.7) == pytest.approx(1.40, abs=0.01)

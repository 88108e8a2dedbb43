"""Lime: needs stay on their own basis, materials meet them by their own value."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.figure import FORMULAS, Basis, Entered, Figure, work
from fencerow.science.soil import lime, lime_use, lime_value, lime_worth
from fencerow.words import OutsideRange

TABLES = Tables.shipped()
PH = st.floats(4.0, 6.5)


def measured(value, unit):
    return Figure(value, unit, Entered("e1", "field", "measured"))


@given(st.floats(4.0, 6.5), st.floats(0, 1))
def test_more_acid_by_the_buffer_never_needs_less(buffer_ph, step):
    lower = max(4.0, buffer_ph - step)
    assert lime.mehlich_acidity(lower) >= lime.mehlich_acidity(buffer_ph)


@given(PH, st.floats(5.0, 6.5))
def test_lifting_to_the_buffers_own_ph_takes_the_whole_acidity(soil_ph, target_ph):
    assert 0 <= lime.share_to_lift(soil_ph, target_ph) <= 1


@given(st.floats(0, 10), st.integers(0, 40))
def test_organic_soil_uses_up_its_credit_sooner(applied, months):
    mineral = lime.residual_credit(applied, months)
    assert 0 <= lime.residual_credit_organic(applied, months) <= mineral <= applied


@given(st.floats(0, 20))
def test_the_report_rounds_to_tenths_and_drops_small_rates(rate):
    reported = lime.ncda_reported(rate)
    if rate < 0.3:
        assert reported == 0
    else:
        assert abs(reported - rate) <= 0.05 + 1e-9
        assert reported * 10 == pytest.approx(round(reported * 10))


@given(st.floats(0, 30), st.floats(0, 5), st.floats(4, 8))
def test_penn_state_more_acidity_never_needs_less(acidity, more, soil_ph):
    higher = min(30, acidity + more)
    assert lime.penn_state_to_6_5(higher, soil_ph) >= lime.penn_state_to_6_5(acidity, soil_ph)
    assert lime.penn_state_to_7_0(higher) >= lime.penn_state_to_7_0(acidity)


@given(st.floats(0, 30_000), st.floats(40, 180), st.floats(5, 100))
def test_the_tons_carry_exactly_the_need(need, cce, fineness):
    tons = lime_worth.tons_for_effective(need, lime_worth.effective_pct(cce, fineness))
    assert tons * 2000 * cce / 100 * fineness / 100 == pytest.approx(need)


@given(st.floats(0, 10_000), st.floats(40, 180), st.floats(10, 100))
def test_a_better_lime_is_never_more_tons(need, cce, fineness):
    enm = lime_value.enm_of_lime(cce, fineness)
    if enm < 50:
        return
    assert lime_value.tons_for_enm(need, enm) >= lime_value.tons_for_enm(need, min(1440, enm + 10))


@given(st.lists(st.floats(0, 100), min_size=3, max_size=3))
def test_a_fineness_is_a_share(passing):
    coarse, middle, fine = sorted(passing, reverse=True)
    for fineness in (lime_value.missouri_fineness, lime_value.new_york_fineness):
        assert -1e-9 <= fineness(coarse, middle, fine) <= 100 + 1e-9


@given(st.floats(0, 30), st.floats(0.25, 10))
def test_now_and_later_make_the_whole(rate, cap):
    now, later = lime_use.lime_now(rate, cap), lime_use.lime_later(rate, cap)
    assert now + later == pytest.approx(rate)
    assert now <= cap
    assert lime_use.lime_applications(rate, cap) * cap >= rate - 1e-6


def test_bases_are_apart_in_every_name():
    """A parameter for lb of ENP, ENM or CCE never passes for one of the others, nor for tons."""
    for name, described in FORMULAS.items():
        if ".soil.lime" not in name:
            continue
        bases = {
            b for b in ("enp", "enm", "cce_lb") for p in described.params if b in p.split("_lb")[0]
        }
        assert len(bases) <= 1, name


@pytest.mark.parametrize(
    ("function", "wrong"),
    [
        (lime_value.tons_for_enm, {"need_enm_lb_ac": measured(3000, "enp_lb_ac")}),
        (lime_value.tons_for_enp, {"need_enp_lb_ac": measured(1600, "enm_lb_ac")}),
        (lime_worth.tons_for_effective, {"need_cce_lb_ac": measured(3000, "enp_lb_ac")}),
        (lime_value.tons_for_aglime, {"rate_ton_ac": measured(3000, "enp_lb_ac")}),
        (lime_value.tons_for_enp, {"need_enp_lb_ac": measured(3000, "lb_ac")}),
    ],
)
def test_a_need_on_another_basis_is_refused(function, wrong):
    with pytest.raises(ValueError, match="per area"):
        work(function, **wrong)


def test_three_thousand_is_lb_of_enp_and_not_of_lime():
    need = work(lime.clover_enp, soil_ph=measured(5.7, "ph"))
    assert (need.value, need.unit) == (3000, "enp_lb_ac")
    average = TABLES["lime_reference"].row("minnesota-aglime").figure("enp_lb_ton")
    tons = work(lime_value.tons_for_enp, need_enp_lb_ac=need, enp_lb_ton=average)
    assert (tons.value, tons.unit) == (3.0, "ton_ac")


def test_the_lime_that_a_report_means_is_an_assumption_and_shows_as_one():
    reference = TABLES["lime_reference"].row("ncda-aglime").figure("cce_pct")
    other = work(
        lime_value.tons_for_aglime,
        rate_ton_ac=measured(2, "ton_ac"),
        reference_cce_pct=reference,
        cce_pct=measured(100, "pct"),
    )
    assert other.value == pytest.approx(1.8)
    assert other.basis is Basis.FROM_MEMORY


def test_a_depth_that_was_not_read_leaves_the_rate_open():
    rate = work(
        lime.rate_for_depth,
        rate_ton_ac=measured(2, "ton_ac"),
        depth_in=measured(4, "in"),
        assumed_depth_in=TABLES["buffer_methods"]
        .row("north-carolina", "any")
        .figure("assumed_depth_in"),
    )
    assert not rate.known


@pytest.mark.parametrize(("reading", "row"), [(6.44, 6.4), (6.45, 6.5), (6.549, 6.5), (6.0, 6.0)])
def test_a_buffer_index_is_rounded_half_up_to_the_printed_tenth(reading, row):
    assert lime.plot_enp(5.4, 2500, reading, row) == 2500
    with pytest.raises(OutsideRange):
        lime.plot_enp(5.4, 2500, reading, row + 0.1)


def test_without_a_buffer_index_an_acid_soil_has_no_printed_rate():
    with pytest.raises(OutsideRange, match="buffer"):
        lime.plot_enp(5.4, 2500)
    assert lime.plot_enp(6.0, 2500) == 0


def test_caps_and_waits_stand_in_the_table_with_their_basis():
    surface, tilled = (TABLES["lime_caps"].row(p) for p in ("surface", "tilled"))
    assert (surface.number("cap_ton_ac"), surface.basis) == (2, Basis.SEEN)
    assert tilled.basis is Basis.FROM_MEMORY
    window = TABLES["lime_reaction"].row("window")
    assert (window.number("after_low_months"), window.number("after_high_months")) == (3, 12)

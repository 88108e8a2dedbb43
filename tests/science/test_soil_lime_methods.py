"""Buffers, tickets and applications: what holds over their whole range, and the tables' ranges."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.figure import Basis, formula_of
from fencerow.science.soil import buffers, lime, lime_use, lime_value, lime_worth

TABLES = Tables.shipped()
pcts = st.floats(0, 100)
SMP = (buffers.smp_to_6_0, buffers.smp_to_6_5, buffers.smp_to_6_8)


def two(low, high):
    return st.tuples(st.floats(low, high), st.floats(low, high)).map(sorted)


def adams_evans(soil_ph, buffer_ph, target_ph):
    return buffers.adams_evans_requirement(
        buffers.adams_evans_acidity(buffer_ph),
        buffers.acid_share(soil_ph),
        buffers.acid_share(target_ph),
    )


@given(two(6.0, 7.5))
def test_a_lower_smp_reading_never_asks_for_less(readings):
    sour, sweet = readings
    for rule in SMP:
        assert rule(sour) >= rule(sweet) >= 0


@given(st.floats(6.0, 6.87))  # above it the equations cross, below half a ton
def test_a_higher_target_never_asks_for_less_by_smp(reading):
    to_6_0, to_6_5, to_6_8 = (rule(reading) for rule in SMP)
    assert to_6_0 <= to_6_5 + 1e-9
    assert to_6_5 <= to_6_8 + 1e-9


@given(two(4.5, 6.4), two(6.4, 8.0), st.floats(5.5, 7.0))
def test_adams_evans_asks_for_more_the_sourer_the_soil(soil, reading, target):
    (sour, sweet), (low, high) = soil, reading
    assert adams_evans(sour, low, target) >= adams_evans(sweet, high, target) - 1e-9
    assert adams_evans(target, low, target) == pytest.approx(0, abs=1e-9)


@given(two(3.5, 6.4), two(4.0, 6.6), st.floats(5.0, 6.5))
def test_mehlich_asks_for_more_the_sourer_the_soil(soil, reading, target):
    def need(soil_ph, buffer_ph):
        share = lime.share_to_lift(soil_ph, target)
        return lime.mehlich_requirement(lime.mehlich_acidity(buffer_ph), share, 0)

    (sour, sweet), (low, high) = soil, reading
    assert need(sour, low) >= need(sweet, high) - 1e-9


@given(two(0, 30), two(3.5, 9.0))
def test_penn_state_asks_for_more_the_sourer_the_soil(acidity, soil):
    (little, much), (sour, sweet) = acidity, soil
    assert lime.penn_state_to_7_0(much) >= lime.penn_state_to_7_0(little)
    assert lime.penn_state_to_6_5(much, sour) >= lime.penn_state_to_6_5(little, sweet)


@given(st.floats(4.5, 7.5))
def test_the_curve_of_adams_and_evans_comes_back(soil_ph):
    acid = buffers.acid_share(soil_ph)
    assert 7.79 - 5.55 * acid + 2.27 * acid**2 == pytest.approx(soil_ph, abs=1e-9)
    assert 0 < acid < 1.02


SCHEMES = sorted({row.text("scheme") for row in TABLES["fineness_schemes"]})


def steps(scheme):
    rows = [r for r in TABLES["fineness_schemes"] if r.text("scheme") == scheme]
    rows.sort(key=lambda r: int(r.text("passes")))
    return [r.number("counts_share") for r in rows]


@pytest.mark.parametrize("scheme", SCHEMES)
@given(st.lists(pcts, min_size=3, max_size=3), st.lists(pcts, min_size=3, max_size=3))
def test_a_finer_lime_is_never_worth_less(scheme, one, other):
    counts = steps(scheme)
    coarse = sorted((min(p) for p in zip(one, other, strict=True)), reverse=True)[: len(counts)]
    fine = sorted((max(p) for p in zip(one, other, strict=True)), reverse=True)[: len(counts)]
    worth = [lime_worth.fineness(passed, counts) for passed in (coarse, fine)]
    assert 0 <= worth[0] <= worth[1] + 1e-9
    assert worth[1] <= 100 + 1e-9


@given(st.lists(pcts, min_size=3, max_size=3).map(lambda p: sorted(p, reverse=True)))
def test_the_tables_sieves_are_the_publications(passed):
    missouri = lime_worth.fineness(passed, steps("missouri"))
    assert missouri == pytest.approx(lime_value.missouri_fineness(*passed))
    new_york = lime_worth.fineness(passed, steps("new-york"))
    assert new_york == pytest.approx(lime_value.new_york_fineness(*passed))


@given(two(40, 180), two(6, 100), two(0, 60), st.floats(0, 25_000))
def test_a_purer_finer_drier_lime_never_needs_more_tons(purity, fine, water, need):
    poor = lime_worth.effective_pct(purity[0], fine[0], water[1])
    good = lime_worth.effective_pct(purity[1], fine[1], water[0])
    if poor < 5:
        return
    tons = [lime_worth.tons_for_effective(need, share) for share in (poor, good)]
    assert tons[1] <= tons[0] + 1e-9
    enp = [lime_value.tons_for_enp(need, lime_worth.enp_of(share)) for share in (poor, good)]
    assert enp[1] <= enp[0] + 1e-9


@given(st.floats(0, 180))
def test_values_go_there_and_back(share):
    assert lime_worth.effective_of_enp(lime_worth.enp_of(share)) == pytest.approx(share)
    assert lime_worth.effective_of_enm(lime_worth.enm_of(share)) == pytest.approx(share)


@given(st.floats(0.01, 25), st.floats(0.25, 10))
def test_the_applications_sum_to_the_rate(rate, cap):
    times = int(lime_use.lime_applications(rate, cap))
    parts = [lime_use.lime_of_application(rate, cap, n) for n in range(1, times + 1)]
    assert sum(parts) == pytest.approx(rate)
    assert max(parts) <= cap
    assert lime_use.lime_of_application(rate, cap, times + 1) == pytest.approx(0, abs=1e-6)


RULES = {
    "penn_state_to_6_5": (lime.penn_state_to_6_5, "exchangeable_meq_100g"),
    "penn_state_to_7_0": (lime.penn_state_to_7_0, "exchangeable_meq_100g"),
    "mehlich_requirement": (lime.mehlich_acidity, "buffer_ph"),
    "smp_to_6_0": (buffers.smp_to_6_0, "buffer_ph"),
    "smp_to_6_5": (buffers.smp_to_6_5, "buffer_ph"),
    "smp_to_6_8": (buffers.smp_to_6_8, "buffer_ph"),
    "adams_evans_requirement": (buffers.adams_evans_acidity, "buffer_ph"),
}


@pytest.mark.parametrize("row", list(TABLES["buffer_methods"]), ids=lambda r: r.key)
def test_a_methods_row_says_what_its_function_holds(row):
    if row.text("rule") in ("system", "ask"):
        return
    function, reading = RULES[row.text("rule")]
    assert formula_of(function).valid[reading] == (
        row.number("low_reading"),
        row.number("high_reading"),
    )
    if formula_of(function).basis is Basis.FROM_MEMORY:
        assert row.basis is Basis.FROM_MEMORY

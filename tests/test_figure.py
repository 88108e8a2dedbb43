"""The one door to science keeps the working, converts units, and says 'not known' with a reason."""

import pytest

from fencerow.figure import Basis, Entered, Figure, Worked, assume, formula, work
from fencerow.science.soil import lime


def measured(value, unit):
    return Figure(value, unit, Entered("e1", "field", "measured"))


def test_work_records_function_inputs_and_source():
    answer = work(lime.mehlich_acidity, buffer_ph=measured(6.2, "ph"))
    assert answer.value == pytest.approx(1.6)
    assert answer.unit == "meq_100cm3"
    assert isinstance(answer.origin, Worked)
    assert answer.origin.formula.function == "fencerow.science.soil.lime.mehlich_acidity"
    assert answer.sources() == ("ncda-lime",)
    assert answer.basis is Basis.SEEN


def test_an_input_in_another_unit_is_converted():
    answer = work(
        lime.residual_credit,
        applied_ton_ac=measured(3000, "lb_ac"),
        age_months=measured(5, "months"),
    )
    assert answer.value == pytest.approx(0.9)


def test_outside_the_range_the_answer_is_not_known_and_says_why():
    answer = work(lime.mehlich_acidity, buffer_ph=measured(8.9, "ph"))
    assert not answer.known
    assert "8.9 is outside 4.0 to 6.6" in str(answer.reason)
    after = work(
        lime.mehlich_requirement,
        acidity_meq_100cm3=answer,
        share_to_lift=measured(0.5, ""),
        credit_ton_ac=measured(0, "ton_ac"),
    )
    assert not after.known
    assert after.reason == answer.reason


def test_the_weakest_support_shows():
    deep = work(
        lime.rate_for_depth,
        rate_ton_ac=measured(2, "ton_ac"),
        depth_in=assume(4, "in", "input-not-known", name="depth"),
        assumed_depth_in=measured(8, "in"),
    )
    assert deep.basis is Basis.FROM_MEMORY
    assert deep.basis.unchecked
    assert [f.value for f in deep.assumed()] == [4]


def test_a_function_without_formula_has_no_door():
    with pytest.raises(TypeError, match="cannot be explained"):
        work(abs, x=measured(1, ""))


def test_a_range_for_no_parameter_is_refused():
    with pytest.raises(KeyError, match="no parameters"):
        formula("x", unit="", source="definition", valid={"y": (0, 1)})(lambda x: x)


def test_other_quantities_are_refused():
    with pytest.raises(ValueError, match="mass"):
        work(
            lime.residual_credit, applied_ton_ac=measured(2, "lb"), age_months=measured(5, "months")
        )

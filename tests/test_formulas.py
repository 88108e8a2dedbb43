"""The text that stands on a formula says what the function does, and every name in it is known."""

import importlib
import math
import pkgutil

import pytest
from how_often import often
from hypothesis import given, settings
from hypothesis import strategies as st

import fencerow.science
from fencerow.data import sources
from fencerow.figure import FORMULAS, Formula
from fencerow.words import OutsideRange, has_name

for _module in pkgutil.walk_packages(fencerow.science.__path__, "fencerow.science."):
    importlib.import_module(_module.name)

SPOKEN = {
    n: getattr(math, n)
    for n in (
        "ceil",
        "floor",
        "exp",
        "log",
        "sqrt",
        "cos",
        "sin",
        "acos",
        "atan",
        "tan",
        "radians",
        "pi",
    )
} | {"min": min, "max": max, "abs": abs, "round": round}
WRITTEN = [f for f in FORMULAS.values() if not f.lookup]


def _function(formula: Formula):
    module, _, name = formula.function.rpartition(".")
    return getattr(importlib.import_module(module), name)


@pytest.mark.parametrize("formula", WRITTEN, ids=lambda f: f.function.removeprefix("fencerow."))
@settings(max_examples=often(15), deadline=None)
@given(data=st.data())
def test_text_and_function_agree(formula, data):
    values = {}
    for name in formula.params:
        low, high = formula.valid.get(name, (0.01, 100.0))
        values[name] = data.draw(st.floats(low, high), label=name)
    try:
        answer = _function(formula)(**values)
    except OutsideRange:
        return
    said = eval(formula.text, {"__builtins__": {}}, SPOKEN | values)
    assert answer == pytest.approx(said, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("formula", FORMULAS.values(), ids=lambda f: f.function)
def test_names_and_sources_are_known(formula):
    assert [p for p in formula.params if not has_name(p)] == []
    assert [s for s in formula.sources if s not in sources()] == []


@pytest.mark.parametrize("formula", FORMULAS.values(), ids=lambda f: f.function)
def test_docstring_says_what_and_what_is_raised(formula):
    doc = _function(formula).__doc__ or ""
    assert len(doc.splitlines()[0]) > 20
    if formula.valid:
        assert "Raises:" in doc
        assert "OutsideRange" in doc


@pytest.mark.parametrize(
    "formula", [f for f in FORMULAS.values() if f.valid], ids=lambda f: f.function
)
def test_just_outside_its_range_there_is_no_answer(formula):
    middle = {n: (a + b) / 2 for n, (a, b) in formula.valid.items()}
    middle = {n: middle.get(n, 1.0) for n in formula.params}
    for name, (low, high) in formula.valid.items():
        for wrong in (math.nextafter(low, -math.inf), math.nextafter(high, math.inf), math.nan):
            with pytest.raises(OutsideRange):
                _function(formula)(**(middle | {name: wrong}))

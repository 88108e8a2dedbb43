"""Every published case that ships, run as `fencerow verify` runs it."""

import importlib
import pkgutil
from pathlib import Path

import pytest

import fencerow.science
from fencerow.exchange import checks
from fencerow.exchange.checked import checked_document
from fencerow.figure import FORMULAS

CASES = [case for file in checks.shipped_files() for case in checks.read_cases(file)]

for _module in pkgutil.walk_packages(fencerow.science.__path__, "fencerow.science."):
    importlib.import_module(_module.name)


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c.file}: {c.name}")
def test_case(case):
    outcome = checks.run(case)
    assert outcome.passed, f"{outcome.got} for {case.expect} ({case.source})"


def test_every_formula_has_an_outside_case():
    called = {f"fencerow.science.{case.call}" for case in CASES}
    assert sorted(set(FORMULAS) - called) == []


def test_every_formula_with_a_range_has_a_case_at_its_edge():
    at_edge = set()
    for case in CASES:
        name = f"fencerow.science.{case.call}"
        ranges = FORMULAS[name].valid if name in FORMULAS else {}
        if (
            any(case.given.get(p) in edge for p, edge in ranges.items())
            or case.expect == "outside range"
        ):
            at_edge.add(name)
    ranged = {name for name, formula in FORMULAS.items() if formula.valid}
    assert sorted(ranged - at_edge) == []


def test_the_document_of_what_is_checked_is_what_comes_out():
    kept = (Path(__file__).parents[1] / "docs/checked.md").read_text(encoding="utf-8")
    assert kept == checked_document(checks.run_shipped()), "run: fencerow verify --docs"

"""The recipe for adding a state holds: a test does its walk, file by file, command by command."""

import re
import shlex
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.data.systems import load_system
from fencerow.plan.order.published import checked, outcomes
from fencerow.plan.plan import make_plan
from fencerow.store.given import given_of
from fencerow.store.record import Store

ROOT = Path(__file__).parents[2]
DOC = (ROOT / "docs/recipes/add-a-state.md").read_text(encoding="utf-8")
TRACT = "recipe-ground.tract"
AS_OF = date(2027, 2, 10)


def step(number):
    """One numbered step of the recipe."""
    return DOC.split(f"\n## {number}. ")[1].split("\n## ")[0]


def write_files(text):
    """Writes each file that a step names and shows."""
    for name, block in re.findall(r"`(systems/[^`]+)`:\n\n```\w+\n(.*?)```", text, re.DOTALL):
        path = Path(TRACT) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(block, encoding="utf-8")


def run_commands(text):
    """Runs the commands of a step; what they printed."""
    said = ""
    for line in re.findall(r"^    (fencerow .*)$", text, flags=re.MULTILINE):
        result = CliRunner().invoke(app, shlex.split(line)[1:])
        assert result.exit_code == 0, (line, result.output, result.exception)
        said = " ".join(result.output.split())
    return said


def asked_for(text):
    """The figures that a step says will be seen: place -> nutrient -> lb/ac."""
    place, listed = re.search(r"\*\*(\w+ Field) asks for (.*?)\*\*", text, re.DOTALL).groups()
    pairs = re.findall(r"(N|P2O5|K2O) ([\d.]+) lb/ac", listed)
    return place, {nutrient.lower(): float(value) for nutrient, value in pairs}


def worked(place):
    """The nutrients of a place, and the messages of the plan, as the plan works them."""
    made = make_plan(given_of(Store.open(Path(TRACT)), AS_OF))
    order = next(o for o in made.sections["order"].body.values() if o.name == place)
    (planting,) = order.plantings.values()
    return planting.nutrients.each(), [s.message for s in made.said()]


@pytest.fixture
def at_home(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "300")


def holds(text, printed):
    """The figures that a step names are worked, and printed as it names them."""
    place, expected = asked_for(text)
    figures, said = worked(place)
    assert expected == {n: pytest.approx(figures[n].value) for n in expected}
    for nutrient, value in expected.items():
        assert f"{nutrient.upper()} {value} lb/ac" in printed
    return figures, said


def test_the_walk(at_home):
    assert "no table of recommendations here is made for ZZ" in run_commands(step(1))

    for number in (2, 3, 4):
        write_files(step(number))
    printed = run_commands(step(5))
    figures, said = holds(step(5), printed)
    assert "Example State, food plots: clovers (made for ZZ)" in printed
    assert "has not been checked" in printed
    assert "example-state" in figures["p2o5"].sources()
    assert "nutrients-unchecked" in [m.id for m in said]

    write_files(step(6))
    assert "has not been checked" not in run_commands(step(6))
    system = load_system(Path(TRACT) / "systems/example-state")
    assert checked(system)
    assert len(outcomes(system)) == 5

    (row,) = re.findall(r"```csv\n(.*?)```", step(7), re.DOTALL)
    rates = Path(TRACT) / "systems/example-state/rates.csv"
    before = rates.read_text(encoding="utf-8")
    old = next(line for line in before.splitlines() if line.startswith("clover,p2o5,,,medium"))
    rates.write_text(before.replace(old, row.strip()), encoding="utf-8")
    printed = run_commands(step(7))
    _, said = holds(step(7), printed)
    assert "clover phosphorus 40: 45, 50" in printed
    assert "nutrients-checks-fail" in [m.id for m in said]
    rates.write_text(before, encoding="utf-8")

    write_files(step(8))
    holds(step(8), run_commands(step(8)))

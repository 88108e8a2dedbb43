"""The documents hold: their commands run, their recipes work, they name no path of a machine."""

import re
import runpy
import shlex
from pathlib import Path

import pytest
from makers import clover, given, plot, soil, thing
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.data import Tables
from fencerow.exchange import checks
from fencerow.plan.plan import make_plan

ROOT = Path(__file__).parents[1]
CONTRIBUTING = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")


def recipe(title):
    """The fenced blocks of one recipe."""
    part = CONTRIBUTING.split(f"## Recipe: {title}\n")[1].split("\n## ")[0]
    return re.findall(r"```\w+\n(.*?)```", part, flags=re.DOTALL)


def test_recipe_for_a_table_row(tmp_path):
    (block,) = recipe("change a table row")
    (tmp_path / "species_ph.csv").write_text(block)
    tables = Tables.shipped().with_folder(tmp_path)
    order = make_plan(given(plot(), soil(), *clover(), tables=tables)).sections["order"].body["p"]
    assert order.target_ph.value == 6.2


def test_recipe_for_a_species(tmp_path):
    for name, block in zip(("species", "seeding_rates"), recipe("add a species"), strict=True):
        (tmp_path / f"{name}.csv").write_text(block)
    tables = Tables.shipped().with_folder(tmp_path)
    sown = [
        thing("blend", "b", name="Bees", components=[{"species": "phacelia", "share_pct": 100}]),
        thing("planting", "s", place="p", blend="b", sow_on="2027-05-01"),
    ]
    order = make_plan(given(plot(), *sown, tables=tables)).sections["order"].body["p"]
    line = order.plantings["s"].seed.species["phacelia"]
    assert (line.common, line.rate.value) == ("lacy phacelia", 10)


def test_recipe_for_a_case(tmp_path):
    (block,) = recipe("add a case")
    (tmp_path / "mine.toml").write_text(block)
    assert [o.passed for o in checks.run_all([tmp_path / "mine.toml"])] == [True]


def test_recipe_for_a_file_format(tmp_path):
    (block,) = recipe("read another file format")
    room = {}
    exec(block, room)
    (tmp_path / "pins.txt").write_text("Spring;water;-90.1;47.2\n")
    (draft,) = room["read_pins"](tmp_path / "pins.txt")
    assert draft.body["name"] == "Spring"


def test_recipe_for_a_formula():
    (block,) = recipe("add a formula")
    room = {"__name__": "fencerow.science.example"}
    exec(block.replace("@formula", "@formula"), room)
    from fencerow.figure import FORMULAS

    found = FORMULAS.pop("fencerow.science.example.example")
    assert eval(found.text, {"rate_oz": 2.0, "swath_ft": 10.0}) == room["example"](2.0, 10.0)


def test_the_readmes_tract_of_ones_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lines = re.findall(r"^    (fencerow [a-z]+ .*)$", README, flags=re.MULTILINE)
    assert len(lines) == 9
    for line in lines:
        result = CliRunner().invoke(app, shlex.split(line)[1:])
        assert result.exit_code == 0, (line, result.output, result.exception)
    assert (tmp_path / "heron-slough-packet.pdf").exists()


def test_every_command_is_in_the_readme():
    for command in app.registered_commands:
        name = command.name or command.callback.__name__
        assert f"fencerow {name}" in README or f"`{name}`" in README, name
    for group in app.registered_groups:
        for command in group.typer_instance.registered_commands:
            assert f"fencerow {group.name} {command.name}" in README, (group.name, command.name)


@pytest.mark.parametrize("picture", re.findall(r"\]\((docs/[^)]+\.png)\)", README))
def test_pictures_are_there(picture):
    assert (ROOT / picture).stat().st_size > 10_000


def test_no_address_of_a_registry_or_a_machine_is_in_the_lock_files():
    for path in (ROOT / "requirements").iterdir():
        assert "://" not in path.read_text()


@pytest.mark.parametrize(
    "script", sorted((ROOT / "docs/examples").glob("*.py")), ids=lambda p: p.name
)
def test_examples_run(script, capsys):
    runpy.run_path(str(script), run_name="__main__")
    said = capsys.readouterr().out
    assert len(said.splitlines()) > 5
    assert "nan" not in said


def test_links_in_the_documents_lead_somewhere():
    for page in (ROOT / "docs").rglob("*.md"):
        for link in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / link).exists(), (page.name, link)


def test_the_commands_of_the_tour_run(demo_folder):
    tour = (ROOT / "docs/README.md").read_text(encoding="utf-8")
    lines = re.findall(r"^    (fencerow .*?)(?:   .*)?$", tour, flags=re.MULTILINE)
    assert len(lines) == 7
    for line in lines:
        words = shlex.split(line.replace("demo/plover-bench.tract", "TRACT"))[1:]
        if words[0] in ("log", "packet"):
            continue
        tract = str(demo_folder / "plover-bench.tract")
        done = CliRunner().invoke(app, [tract if w == "TRACT" else w for w in words])
        assert done.exit_code == 0, (line, done.exception)

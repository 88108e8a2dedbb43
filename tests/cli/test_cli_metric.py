"""The terminal in metric, by an option or by the environment; what is kept and JSON stay."""

import json

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from fencerow.cli import app

RUN = CliRunner()
AS_OF = ("--as-of", "2027-01-12")


@pytest.fixture(scope="module")
def tract(demo_folder):
    return str(demo_folder / "plover-bench.tract")


def said(*words, **env):
    result = RUN.invoke(app, list(words), env=env)
    assert result.exit_code == 0, result.output
    return result.output


def test_a_plan_by_option_and_by_environment(tract):
    us = said("plan", tract, *AS_OF)
    metric = said("plan", tract, *AS_OF, "--units", "metric")
    assert "1.65 ac" in us
    assert "0.67 ha" not in us
    assert "0.67 ha" in metric
    assert "1.65 ac" not in metric


def test_the_option_is_stronger_than_the_environment(tract):
    asked = ("why", tract, "order.harrow-field.lime", *AS_OF)
    us, metric = said(*asked), said(*asked, "--units", "metric")
    assert us != metric
    assert said(*asked, FENCEROW_UNITS="metric") == metric
    assert said(*asked, "--units", "us", FENCEROW_UNITS="metric") == us


def test_json_stays_in_the_trades_units(tract):
    metric = said("plan", tract, *AS_OF, "--json", FENCEROW_UNITS="metric")
    assert json.loads(metric) == json.loads(said("plan", tract, *AS_OF, "--json"))


def test_a_working_shows_both(tract):
    why = said("why", tract, "order.harrow-field.lime", *AS_OF, "--units", "metric")
    assert "6.94 t (7.65 tons)" in why


def test_the_record_is_shown_as_it_is_kept_with_metric_beside(tract):
    assert "bag_lb=25.0 (11.3 kg)" in said("show", tract, "seed-lot", "--units", "metric")
    assert "kg" not in said("show", tract, "seed-lot")
    us = said("show", tract, "seed-lot", "--json")
    assert said("show", tract, "seed-lot", "--json", "--units", "metric") == us


def test_the_packet(tmp_path):
    tract, out = str(tmp_path / "heron-slough.tract"), tmp_path / "packet.pdf"
    said("new", "Heron Slough", "--folder", str(tmp_path))
    said("log", tract, "place", "kind=plot", "name=Goose Neck", "stated_ac=1.65")
    said("packet", tract, *AS_OF, "--out", str(out), "--units", "metric")
    assert "0.67 ha" in "".join(page.extract_text() for page in PdfReader(out).pages)


def test_units_that_are_not_there_are_refused(tract):
    assert RUN.invoke(app, ["plan", tract, "--units", "ells"]).exit_code == 2

"""Hours and forecasts at the door: kept under their role, told by content, shown in words."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.store import Store

RUN = CliRunner()
GRID = Path(__file__).parents[1] / "data" / "weather" / "nws-gridpoint-2022-02-03.json"
RING = [[-90.62, 47.31], [-90.61, 47.31], [-90.61, 47.32], [-90.62, 47.31]]


@pytest.fixture
def tract(tmp_path):
    run("new", "Door", "--folder", tmp_path)
    ground = tmp_path / "ground.json"
    shape = {"type": "Polygon", "coordinates": [RING]}
    ground.write_text(json.dumps({"type": "FeatureCollection", "features": [
        {"type": "Feature", "geometry": shape, "properties": {"kind": "plot", "name": "North"}},
    ]}))  # fmt: skip
    run("import", tmp_path / "door.tract", ground)
    return tmp_path / "door.tract"


def run(*words):
    done = RUN.invoke(app, [str(w) for w in words], catch_exceptions=False)
    assert done.exit_code == 0
    return done.output


def test_a_forecast_from_a_file(tract):
    said = run("import", tract, GRID)
    assert "forecast kept, issued 2022-02-04 03:15 UTC" in said
    assert "far from the tract at 47.31, -90.62" in said
    (kept,) = Store.open(tract).tract().datasets.values()
    assert (kept.body.role, kept.body.format) == ("forecast", "weather service grid")
    assert str(kept.body.issued_at) == "2022-02-04 03:15:41+00:00"
    assert Store.open(tract).verify() == ()
    shown = run("weather", "show", tract, "--as-of", "2022-02-05")
    assert "rain until 2022-02-10T12:00 UTC" in shown
    assert "No forecast" in run("weather", "show", tract, "--as-of", "2027-02-05")


def test_hours_and_a_gauge(tract, tmp_path):
    path = tmp_path / "station.psv"
    path.write_text("STATION|DATE|temperature\nX|2026-05-01T00:51:00|9\nX|2026-05-01T02:51:00|8\n")
    assert "2026-05-01T01:00 to 2026-05-01T03:00" in run("import", tract, path)
    RUN.invoke(app, ["log", str(tract), "note", "about=rain", "amount=0.5", "unit=in"])
    shown = run("weather", "show", tract)
    assert "air temperature: not known in 1 of 3 hours" in shown
    assert "Own gauge: 1 readings" in shown

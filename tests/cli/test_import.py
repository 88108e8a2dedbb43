"""Files at the door: what comes in whole, what is refused with one paragraph and exit code 2."""

import io
import json
import sys
import zipfile
from pathlib import Path

import matplotlib
import numpy as np
import pyogrio
import pytest
import rasterio
from rasterio.transform import Affine
from typer.testing import CliRunner

from fencerow.cli import app, main
from fencerow.store import Store

RUN = CliRunner()
COLUMNS = "place,sampled_on,ph,buffer_ph,buffer_method\n"
POINTS = [[-90.62, 47.31], [-90.619, 47.31], [-90.619, 47.311], [-90.62, 47.311], [-90.62, 47.31]]


def collection(*features):
    return json.dumps({"type": "FeatureCollection", "features": list(features)})


def feature(coordinates, **properties):
    geometry = {"type": "Polygon", "coordinates": [coordinates]}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def write_raster(path, heights, transform):
    rows, columns = heights.shape
    with rasterio.open(
        path, "w", driver="GTiff", width=columns, height=rows, count=1, dtype="float32",
        crs="EPSG:4326", transform=transform,
    ) as file:  # fmt: skip
        file.write(heights, 1)


def raster(path, west, north):
    write_raster(path, np.full((40, 40), 250, "float32"), Affine(1e-4, 0, west, 0, -1e-4, north))


@pytest.fixture
def tract(tmp_path):
    RUN.invoke(app, ["new", "Door", "--folder", str(tmp_path)], catch_exceptions=False)
    made = tmp_path / "door.tract"
    ground = tmp_path / "ground.geojson"
    ground.write_text(collection(feature(POINTS, kind="plot", name="North Bench")))
    bring(made, ground)
    return made


def bring(tract, *words):
    done = RUN.invoke(app, ["import", str(tract), *map(str, words)], catch_exceptions=False)
    assert done.exit_code == 0
    return done.output


def vrt(folder):
    path = folder / "sly.geojson"
    path.write_text("<OGRVRTDataSource><OGRVRTLayer name='x'><SrcDataSource>/etc/passwd"
                    "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>")  # fmt: skip
    return path, "sly.geojson"


def bow_tie(folder):
    path = folder / "bow.geojson"
    cross = [POINTS[0], POINTS[2], POINTS[1], POINTS[3], POINTS[0]]
    path.write_text(collection(feature(cross, kind="plot", name="Bow Tie")))
    return path, "Bow Tie"


def ph_56(folder):
    path = folder / "tests.csv"
    path.write_text(COLUMNS + "North Bench,2026-11-02,56,,\n")
    return path, "row 2"


def wrong_columns(folder):
    path = folder / "tests.csv"
    path.write_text("place,sampled,acidity_ph\nNorth Bench,2026-11-02,5.6\n")
    return path, "sampled_on"


def wrong_encoding(folder):
    path = folder / "tests.csv"
    path.write_bytes((COLUMNS + "North Bench,2026-11-02,5.6,6.3,smp\n").encode() + b"\xe9")
    return path, "UTF-8"


def elsewhere(folder):
    raster(folder / "far.tif", -80.0, 36.0)
    return folder / "far.tif", "far.tif"


def kmz_bomb(folder):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", b"<kml>" + b" " * 200_000_000)
    (folder / "bomb.kmz").write_bytes(packed.getvalue())
    return folder / "bomb.kmz", "bomb.kmz"


def entity_bomb(folder):
    lines = ['<!ENTITY a0 "ha">']
    lines += [f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 10)]
    path = folder / "bomb.kml"
    path.write_text(f'<?xml version="1.0"?><!DOCTYPE kml [{"".join(lines)}]><kml>&a9;</kml>')
    return path, "bomb.kml"


def empty(folder):
    path = folder / "empty.geojson"
    path.write_text(collection())
    return path, "empty.geojson"


def no_weather(folder):
    path = folder / "station.dly"
    path.write_text("this is no station\n")
    return path, "station.dly"


BAD = [vrt, bow_tie, ph_56, wrong_columns, wrong_encoding, elsewhere, kmz_bomb, entity_bomb, empty,
       no_weather]  # fmt: skip


@pytest.mark.parametrize("make", BAD, ids=lambda f: f.__name__)
def test_a_bad_file_ends_in_one_paragraph_and_leaves_the_record_alone(
    tract, tmp_path, capsys, monkeypatch, make
):
    path, named = make(tmp_path)
    before = Store.open(tract).entries()
    monkeypatch.setattr(sys, "argv", ["fencerow", "import", str(tract), str(path)])
    with pytest.raises(SystemExit) as ended:
        main()
    said = capsys.readouterr().err
    assert ended.value.code == 2
    assert named in said
    assert "Traceback" not in said
    assert "\n\n" not in said.strip()
    assert Store.open(tract).entries() == before


def test_a_month_missing_is_counted_and_said_and_never_filled(tract):
    extract = Path(__file__).parents[1] / "data/weather/ghcnd-USC00368449-2000-no-may.dly"
    assert "2000-05" in bring(tract, extract)
    kept = Store.open(tract).tract().datasets
    assert [d.body.role for d in kept.values()] == ["weather"]


def test_a_whole_tract_from_files(tract, tmp_path):
    raster(tmp_path / "near.tif", -90.622, 47.3125)
    (tmp_path / "tests.csv").write_text(COLUMNS + "North Bench,2026-11-02,5.6,6.3,sikora\n")
    bring(tract, tmp_path / "tests.csv", tmp_path / "near.tif", "--vertical-unit", "m")
    said = RUN.invoke(app, ["plan", str(tract), "--as-of", "2027-02-10"], catch_exceptions=False)
    assert "North Bench" in said.output
    assert "0 %" in said.output


def test_countries_as_plots(tmp_path):
    """A Shapefile that we did not make: Natural Earth (public domain), as pyogrio ships it."""
    folder = Path(pyogrio.__file__).parent / "tests/fixtures/naturalearth_lowres"
    with zipfile.ZipFile(tmp_path / "countries.zip", "w") as archive:
        for part in folder.iterdir():
            archive.write(part, part.name)
    RUN.invoke(app, ["new", "World", "--folder", str(tmp_path)], catch_exceptions=False)
    world = tmp_path / "world.tract"
    bring(world, tmp_path / "countries.zip", "--map", "*=plot")
    made = RUN.invoke(app, ["plan", str(world), "--json"], catch_exceptions=False)
    nodes = json.loads(made.output)["nodes"]
    acres = [
        n["value"] for p, n in nodes.items() if p.startswith("ground.") and p.endswith("acres")
    ]
    # the land of the earth is close to 147 million square kilometres (CIA World Factbook 148.9
    # with inland water); a coarse coast gives some
    assert sum(acres) * 0.0040468564224 == pytest.approx(147e6, rel=0.01)


def test_real_terrain(tmp_path):
    """Jacksboro, Tennessee, as matplotlib ships it; of its wrong labels, north is ymax."""
    data = np.load(Path(matplotlib.get_data_path()) / "sample_data/jacksboro_fault_dem.npz")
    heights = data["elevation"].astype("float32")
    step = float(data["dx"])
    corner = Affine(step, 0, float(data["xmin"]), 0, -step, float(data["ymax"]))
    write_raster(tmp_path / "jacksboro.tif", heights, corner)
    west, north = float(data["xmin"]) + 0.1, float(data["ymax"]) - 0.1
    ring = [[west, north], [west + 0.05, north], [west + 0.05, north - 0.05], [west, north]]
    (tmp_path / "ground.geojson").write_text(collection(feature(ring, kind="cover", name="Slope")))
    RUN.invoke(app, ["new", "Hill", "--folder", str(tmp_path)], catch_exceptions=False)
    hill = tmp_path / "hill.tract"
    bring(hill, tmp_path / "ground.geojson", tmp_path / "jacksboro.tif", "--vertical-unit", "m")
    made = json.loads(RUN.invoke(app, ["plan", str(hill), "--json"]).output)
    slopes = [n["value"] for p, n in made["nodes"].items() if p.endswith(".slope")]
    # Horn slope of the whole sheet: mean 12.8 deg, largest 34.3 deg (23 % and 68 %)
    assert 5 < slopes[0] < 68

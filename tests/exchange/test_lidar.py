"""Bare earth out of lidar points: made ground whose heights are known, and files that are wrong."""

import json
from datetime import date

import numpy as np
import pytest
from pyproj import CRS, Transformer
from scipy.stats import binned_statistic_2d
from shapely.geometry import box, mapping

from fencerow.exchange.elevation import read_elevation
from fencerow.exchange.ground.child import FileError
from fencerow.exchange.ground.points import bare_earth, filled
from fencerow.store import create
from fencerow.store.bring import bring
from fencerow.store.given import given_of
from fencerow.store.record import utc_now
from fencerow.tract.bodies import About
from fencerow.words import BadInput

laspy = pytest.importorskip("laspy", reason="laspy is not installed: no points are read")
TRACT = box(-79.9522, 36.0990, -79.9505, 36.1003)
"""Some 150 m a side."""
MIDDLE = (-79.95135, 36.09965)
UNIT_M = {"m": 1.0, "us-ft": 1200 / 3937}


def plane(x, y, at):
    """Ground that falls 12 m in 100 to the north-east [m]."""
    return 250 - 0.12 * ((x - at[0]) + (y - at[1])) / np.sqrt(2)


def points(epsg=32617, unit="m", ground=60_000, trees=20_000, wide_m=320.0, seed=3):
    """Ground with 5 cm of noise, under it nothing, and trees of 3 to 20 m on it; metres from the
    middle, and what is written into the file."""
    dice, unit_m = np.random.default_rng(seed), UNIT_M[unit]
    at = np.array(Transformer.from_crs(4326, epsg, always_xy=True).transform(*MIDDLE)) * unit_m
    x, y = (a + dice.uniform(-wide_m / 2, wide_m / 2, ground + trees) for a in at)
    z = plane(x, y, at) + dice.normal(0, 0.05, x.size)
    z[ground:] += dice.uniform(3, 20, trees)
    kind = np.where(np.arange(x.size) < ground, 2, 5).astype(np.uint8)
    return x, y, z, kind, at


def written(path, x, y, z, kind, epsg=32617, unit="m"):
    header = laspy.LasHeader(point_format=6, version="1.4")
    scale = UNIT_M[unit]
    header.scales, header.offsets = [0.001] * 3, [np.floor(a.min() / scale) for a in (x, y, z)]
    if epsg:
        header.add_crs(CRS.from_epsg(epsg))
    las = laspy.LasData(header)
    las.x, las.y, las.z, las.classification = x / scale, y / scale, z / scale, kind
    las.write(path)
    return path


def read(path, **more):
    return read_elevation(path, [TRACT], margin_m=30.0, **more)


def asked(path):
    """What the child is asked about a file; the tests read it without a process of its own."""
    flat = Transformer.from_crs(4326, 32617, always_xy=True).transform_bounds(*TRACT.bounds)
    return {
        "path": str(path), "crs": 32617, "box": flat, "margin_m": 30.0, "cell_m": None,
        "finest_m": 3.0, "most_cells": 10_000, "folder": str(path.parent),
    }  # fmt: skip


def refused(path):
    """The message that the reading of points ends in."""
    with pytest.raises(FileError) as caught:
        bare_earth(asked(path), FileError)
    return caught.value.answer["problem"]


def test_a_cell_is_the_mean_of_its_ground_points(tmp_path):
    """The means by SciPy, and the plane that the points were scattered about."""
    *columns, at = points()
    path = written(tmp_path / "ground.las", *columns)
    facts, las = bare_earth(asked(path), FileError), laspy.read(path)
    heights = np.load(tmp_path / "heights.npy")
    low = np.asarray(las.classification) == 2
    down, right = (facts["y0"] - np.asarray(las.y))[low], (np.asarray(las.x) - facts["x0"])[low]
    edges = [3.0 * np.arange(n + 1) for n in heights.shape]
    means = binned_statistic_2d(down, right, np.asarray(las.z)[low], "mean", edges).statistic
    held = np.isfinite(means)
    assert facts["cell_m"] == 3.0
    assert held.mean() > 0.95
    assert heights[held] == pytest.approx(means[held], abs=1e-3)
    i, j = np.indices(heights.shape) + 0.5
    true = plane(facts["x0"] + 3 * j, facts["y0"] - 3 * i, at)
    # five points to a cell: 5 cm of noise, and where they happen to lie on the slope
    assert np.abs(heights - true).mean() < 0.1


def test_what_grows_is_the_highest_point_that_may_be_a_plant(tmp_path):
    """The highest of each cell by SciPy, above the mean of its ground."""
    *columns, _ = points()
    path = written(tmp_path / "ground.las", *columns)
    facts, las = bare_earth(asked(path), FileError), laspy.read(path)
    canopy, heights = (np.load(tmp_path / f"{n}.npy") for n in ("canopy", "heights"))
    high = np.asarray(las.classification) != 2
    down, right = (facts["y0"] - np.asarray(las.y))[high], (np.asarray(las.x) - facts["x0"])[high]
    edges = [3.0 * np.arange(n + 1) for n in canopy.shape]
    top = binned_statistic_2d(down, right, np.asarray(las.z)[high], "max", edges).statistic
    grown = np.isfinite(top)
    assert canopy[grown] == pytest.approx((top - heights)[grown], abs=1e-6)
    assert not np.nan_to_num(canopy[~grown]).any()
    assert 3 < np.median(canopy[grown]) < 21


@pytest.mark.parametrize("kind", [6, 7, 9, 17, 18])
def test_roofs_noise_water_and_bridges_are_no_plants(tmp_path, kind):
    """Classes of LAS 1.4 (ASPRS)."""
    *columns, classes, _ = points()
    path = written(tmp_path / "roofs.las", *columns, np.where(classes == 5, kind, 2))
    bare_earth(asked(path), FileError)
    assert not np.nan_to_num(np.load(tmp_path / "canopy.npy")).any()


def test_a_gap_is_filled_along_the_slope_and_a_wide_one_in_part():
    i, j = np.indices((60, 60))
    true, far = 3.0 * i - 2.0 * j, np.hypot(i - 20, j - 20)
    narrow, wide = far < 4, np.hypot(i - 40, j - 40) < 12
    heights = np.where(narrow | wide, np.nan, true)
    made = filled(heights, np.isfinite(heights), 5.0)
    assert made[narrow] == pytest.approx(true[narrow])
    known = np.isfinite(made)
    assert made[known] == pytest.approx(true[known])
    middle = np.hypot(i - 40, j - 40)
    assert not known[middle < 6].any()
    assert known[middle >= 8].all()
    line = np.where(i == 5, true, np.nan)
    assert np.isfinite(filled(line, np.isfinite(line), 5.0)).sum() == 60


def test_points_in_feet_come_into_a_tract_as_heights_in_metres(tmp_path):
    """EPSG 2264 is in feet of the United States' survey, and says nothing of heights."""
    path = written(tmp_path / "feet.laz", *points(2264, "us-ft")[:4], 2264, "us-ft")
    plot = {"type": "Feature", "properties": {"kind": "plot"}, "geometry": mapping(TRACT)}
    (tmp_path / "plot.geojson").write_text(json.dumps(plot))
    store = create(tmp_path / "t", About("Made", zone="America/New_York"), author="me")
    bring(store, tmp_path / "plot.geojson", [], "", "me", utc_now)
    said = bring(store, path, [], "us-ft", "me", utc_now)
    assert "bare earth made of" in said[1]
    kept = {d.body.role: (d.body.name, d.body.format) for d in store.tract().datasets.values()}
    assert kept == {
        "elevation": ("feet bare earth.tif", "GeoTIFF m"),
        "canopy": ("feet plants.tif", "GeoTIFF m"),
    }
    made = given_of(store, date(2027, 1, 1))
    grid, tall = made.grid, made.grown.canopy.elevation_m
    assert made.grown.classes is None
    assert 3 < np.nanmedian(tall[tall > 0]) < 21
    row, column = (int(v) for v in grid.cell(*grid.xy(*MIDDLE)))
    assert grid.elevation_m[row, column] == pytest.approx(250, abs=0.5)


def test_points_that_cannot_be_ground_are_refused_by_name(tmp_path):
    x, y, z, kind, _ = points(ground=3000, trees=100)
    few = (x, y, z, kind)
    assert refused(written(tmp_path / "a.las", *few, epsg=None)) == "lidar-no-crs"
    assert refused(written(tmp_path / "b.las", *few[:3], kind * 0 + 1)) == "lidar-no-ground"
    assert refused(written(tmp_path / "c.las", *few, epsg=4326)) == "lidar-geographic"
    assert refused(written(tmp_path / "d.las", x + 5000, y, z, kind)) == "lidar-misses"


@pytest.mark.parametrize("ending", ["las", "laz"])
def test_a_file_that_is_cut_short_or_lies_is_refused(tmp_path, ending):
    x, y, z, kind, _ = points(ground=20_000, trees=100)
    whole = written(tmp_path / f"a.{ending}", x, y, z, kind).read_bytes()
    many = (10**15).to_bytes(8, "little")
    for content, expect in (
        (whole[: len(whole) // 2], {"lidar-cut", "lidar-unreadable"}),
        (whole[:200], {"lidar-unreadable"}),
        (whole[:247] + many + whole[255:], {"lidar-too-many"}),
    ):
        path = tmp_path / f"wrong.{ending}"
        path.write_bytes(content)
        assert refused(path) in expect


@pytest.mark.nightly
def test_noise_for_points_ends_in_words(tmp_path):
    path = written(tmp_path / "a.laz", *points(ground=20_000, trees=100)[:4])
    whole = path.read_bytes()
    path.write_bytes(whole[:2000] + np.random.default_rng(1).bytes(len(whole) - 2000))
    with pytest.raises(BadInput, match=r"again|no ground has|class 2"):
        read(path)

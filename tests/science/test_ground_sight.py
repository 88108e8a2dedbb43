"""Sight against geometry, GDAL, and a line walked one by one."""

import math
import shutil
import subprocess

import numpy as np
import pytest
import rasterio
from hypothesis import given, settings
from hypothesis import strategies as st
from rasterio import Affine

from fencerow.science.ground.sight import fall_per_m2, in_sight
from fencerow.science.ground.sight_lines import (
    Land,
    Look,
    brush_kappa,
    lines_of_sight,
    summed_sight,
)

CELL = 5.0
GDAL_FALL = fall_per_m2(0.85714, 6_378_137.0)
"""As GDAL has it: the equator's radius, and the share left of its curve."""


def hills(rows, columns, seed=0, high=12.0):
    dice = np.random.default_rng(seed)
    i, j = np.mgrid[:rows, :columns]
    waves = np.sin(i / 2.9 + dice.random() * 6) + np.cos(j / 3.7 + dice.random() * 6)
    return (300 + high / 2 * waves + high / 8 * dice.random((rows, columns))).astype(np.float32)


def level_round(z, row, column):
    """GDAL 3.6 takes the cells above and below the eye's for no lower than its ground; GDAL 3.13
    takes them as they are. On level ground around the eye the two are one."""
    z[row - 1 : row + 2, column - 1 : column + 2] = z[row, column]
    return z


def test_a_berm_hides_what_the_sight_line_over_it_passes_over():
    """From 6 m, over 3 m at 50 m, a line falls 3 m in 50 m: 1 m is hidden to 83.3 m."""
    z = np.zeros((1, 95), np.float32)
    z[:, 50] = 3
    quick = in_sight(z, 1.0, 0, 0, 6, 1, fall=0.0)[0]
    exact = lines_of_sight(Land.of(z, 1.0), 0, 0, Look(6, 1, 94, 0.0))[0]
    assert np.flatnonzero(~quick).tolist() == list(range(51, 84))
    assert np.flatnonzero(exact == 0).tolist() == list(range(51, 84))


SMALL = """
16 17 16 13 12 12  8  8  7  6  6  6  7  8 10 12 14 15 16 17 15 15 15 12
17 17 17 16 14 13 11  9  7  7  8  7  9  9 12 13 14 17 17 18 18 18 15 15
19 20 18 17 15 14 12 10 10  9 10 10 11 12 13 14 16 17 18 18 20 18 18 16
21 20 18 18 17 15 13 11 10 11 10 10 12 13 14 15 17 18 18 21 20 19 18 17
19 19 18 17 17 15 13 12 11 10 10 11 11 13 14 16 16 19 18 20 20 19 18 18
18 19 19 17 16 14 12 11  9  9 10 10 10 11 14 15 17 18 19 20 20 19 18 17
18 19 16 16 14 14 11 10  9  9  8  9  9 10 11 13 15 17 18 17 18 17 17 15
16 17 15 14 13 11  9  8  8 12 12 12  8 10 11 12 14 14 15 15 16 15 14 14
14 15 13 13 10  9  9  7  6 12 12 12  6  6  9 11 13 12 14 14 14 14 14 11
14 14 11 12 10  7  7  5  4 12 12 12  5  6  7  9 11 12 12 12 13 12 12 11
12 12 11 10  8  7  5  4  4  2  2  3  3  4  6  8  9 11 12 12 11 12 10  9
11 11 12  9  8  7  5  3  3  3  2  3  2  5  7  8 10 10 11 12 12 11 10  9
13 13 11 10  9  8  6  5  4  3  3  3  4  4  7  9 10 11 12 12 11 13 11  9
14 14 12 12 11  8  6  6  5  3  4  5  6  5  7 10 10 11 13 13 14 12 13 10
16 14 14 12 11 10  9  7  5  6  6  6  6  8  9 10 11 14 14 15 16 15 13 13
16 17 16 15 14 12 10  9  8  6  6  7  9 10 10 14 14 15 16 18 16 16 16 13
"""
SMALL_BY_GDAL = """
.##..#.#.......###......
..######......######....
.########.#########.....
##################.#....
##################.##...
.####################...
.#######.....########...
.#######.###.########...
.######..###..#########.
#######..###..#######...
######........########..
######........########..
#######.......########..
#########.#############.
########################
#######################.
"""


def test_a_small_ground_as_gdal_sees_it():
    """The picture is the answer of GDAL 3.6.2, gdal_viewshed, cells of 5 m, run once."""
    z = np.array([line.split() for line in SMALL.split("\n") if line], np.float32)
    seen = in_sight(z, CELL, 8, 10, 2.0, 1.0, GDAL_FALL)
    assert "\n".join("".join(".#"[int(c)] for c in row) for row in seen) == SMALL_BY_GDAL.strip()


@pytest.mark.skipif(not shutil.which("gdal_viewshed"), reason="gdal-bin is not installed")
@pytest.mark.parametrize(("row", "column"), [(60, 70), (2, 2), (117, 90)])
def test_whole_ground_as_gdal_sees_it(tmp_path, row, column):
    z = level_round(hills(120, 150, seed=3, high=20), row, column)
    where = {"crs": "EPSG:32616", "transform": Affine(CELL, 0, 500_000, 0, -CELL, 4_000_600)}
    shape = {"height": 120, "width": 150, "count": 1, "dtype": "float32"}
    with rasterio.open(tmp_path / "z.tif", "w", driver="GTiff", **shape, **where) as raster:
        raster.write(z, 1)
    x, y = 500_000 + CELL * (column + 0.5), 4_000_600 - CELL * (row + 0.5)
    subprocess.run(
        ["gdal_viewshed", "-q", "-ox", str(x), "-oy", str(y), "-oz", "6", "-tz", "1",
         tmp_path / "z.tif", tmp_path / "seen.tif"], check=True, capture_output=True,
    )  # fmt: skip
    with rasterio.open(tmp_path / "seen.tif") as raster:
        theirs = raster.read(1) > 0
    ours = in_sight(z, CELL, row, column, 6, 1, GDAL_FALL)
    assert 0.02 < theirs.mean() < 0.98
    assert (ours != theirs).sum() <= 1  # single and double precision part at a tie


def walked(land, row, column, look, to_row, to_column):
    """One line of sight, walked a step at a time in plain Python."""
    if (row, column) == (to_row, to_column):
        return 1.0
    di, dj = to_row - row, to_column - column
    steps = max(abs(di), abs(dj))
    length = land.cell_m * math.hypot(di, dj)
    sink = look.fall * length**2
    start = float(land.ground[row, column]) + look.eye_m
    stop = float(land.ground[to_row, to_column]) - sink + look.target_m
    deep = 0.0
    for s in range(steps + 1):
        part = s / steps
        line = start + (stop - start) * part
        y, x = row + di * part, column + dj * part
        weights = {}
        for k in {math.floor(y + 1e-9), math.ceil(y - 1e-9)}:
            for m in {math.floor(x + 1e-9), math.ceil(x - 1e-9)}:
                weights[k, m] = max(0.0, 1 - abs(y - k) - abs(x - m))
        ground = sum(w * float(land.ground[c]) for c, w in weights.items())
        if 0 < s < steps and ground - sink * part**2 > line:
            return 0.0
        for c, w in weights.items():
            if line < land.top[c] - sink * part**2:
                deep += w * land.kappa[c] * (0.5 if s in (0, steps) else 1.0)
    return math.exp(-deep * length / steps)


LAND = Land.of(hills(16, 19, 5), CELL, np.random.default_rng(1).random((16, 19)) * 2, 0.03)
LOOK = Look(1.2, 1.5, 60.0)


def test_every_line_is_as_walked_one_by_one():
    seen = lines_of_sight(LAND, 7, 9, LOOK)
    near = [
        (i, j) for i in range(16) for j in range(19) if math.hypot(i - 7, j - 9) * CELL <= 60
    ]  # fmt: skip
    assert [seen[c] for c in near] == pytest.approx([walked(LAND, 7, 9, LOOK, *c) for c in near])
    assert seen.sum() == pytest.approx(sum(seen[c] for c in near))
    assert 0.05 < (seen > 0).mean() < 0.9


def test_many_eyes_are_their_sum():
    eyes = [(3, 4, 1.0), (9, 2, 0.5), (12, 15, 2.0)]
    rows, columns, weights = zip(*eyes, strict=True)
    one_by_one = sum(w * lines_of_sight(LAND, i, j, LOOK) for i, j, w in eyes)
    assert summed_sight(LAND, rows, columns, weights, LOOK) == pytest.approx(one_by_one)


def test_a_line_goes_both_ways():
    there = lines_of_sight(LAND, 3, 4, Look(1.0, 1.5, 60.0, 0.0))
    for to in ((9, 9), (3, 12), (10, 4), (5, 1)):
        back = lines_of_sight(LAND, *to, Look(1.5, 1.0, 60.0, 0.0))
        assert back[3, 4] == pytest.approx(there[to])


def test_hiding_cover_hides_nine_tenths_at_61_m():
    """Thomas and others 1979; the eye, the target and all between are below the top."""
    kappa = brush_kappa(90, 61)
    seen = lines_of_sight(Land.of(np.zeros((3, 80)), 1.0, 2.0, kappa), 1, 5, Look(1, 1, 70, 0.0))
    assert seen[1, 66] == pytest.approx(0.1, abs=1e-6)
    assert seen[1, 25] == pytest.approx(0.470, abs=1e-3)


@settings(max_examples=15)
@given(st.integers(0, 99), st.integers(0, 15), st.integers(0, 18))
def test_turned_and_mirrored_ground_shows_the_same(seed, row, column):
    z = hills(16, 19, seed)
    seen = in_sight(z, CELL, row, column, 2, 1)
    assert (in_sight(z[:, ::-1], CELL, row, 18 - column, 2, 1) == seen[:, ::-1]).all()
    assert (in_sight(np.rot90(z), CELL, 18 - column, row, 2, 1) == np.rot90(seen)).all()
    land = Land.of(z, CELL, 1.0, 0.02)
    turned = Land.of(np.rot90(z), CELL, 1.0, 0.02)
    exact = lines_of_sight(turned, 18 - column, row, LOOK)
    assert exact == pytest.approx(np.rot90(lines_of_sight(land, row, column, LOOK)))


@settings(max_examples=15)
@given(st.integers(0, 99), st.floats(0, 3), st.floats(0, 0.2))
def test_more_cover_never_shows_more(seed, higher_m, thicker):
    z, dice = hills(14, 14, seed), np.random.default_rng(seed)
    screen, kappa = dice.random((14, 14)), 0.05 * dice.random((14, 14))
    before = lines_of_sight(Land.of(z, CELL, screen, kappa), 6, 6, LOOK)
    more = dice.random((14, 14)) < 0.5
    land = Land.of(z, CELL, screen + higher_m * more, kappa + thicker * more)
    assert (lines_of_sight(land, 6, 6, LOOK) <= before + 1e-12).all()


def test_unknown_ground_hides_nothing_and_is_not_seen():
    z = np.zeros((5, 40), np.float32)
    z[:, 20] = 9
    z[2, 20] = np.nan
    assert not in_sight(z, 1.0, 2, 2, 2, 1)[2, 20]
    assert in_sight(z, 1.0, 2, 2, 2, 1)[2, 21:].any()
    seen = lines_of_sight(Land.of(z, 1.0), 2, 2, Look(2, 1, 60))
    assert seen[2, 20] == 0
    assert (seen[2, 21:] == 1).all()
    for look in (in_sight, lambda z, c, i, j, *_: lines_of_sight(Land.of(z, c), i, j, LOOK)):
        with pytest.raises(ValueError, match="under the eye"):
            look(z, 1.0, 2, 20, 2, 1)

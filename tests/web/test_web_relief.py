"""Relief: level ground is paper, and everything lies where it is."""

import io

import numpy as np
import pytest
from asking import client_of
from PIL import Image
from pyproj import Transformer

from fencerow.science.ground.grid import LocalGrid, utm_epsg
from fencerow.web.relief import PAPER, draw_relief

CELL_M = 10.0
LON, LAT = -90.2, 47.3
"""Far from the middle of its zone (93 W): north of the grid is two degrees off north."""


def grid_of(elevation_m):
    x, y = Transformer.from_crs(4326, utm_epsg(LON, LAT), always_xy=True).transform(LON, LAT)
    return LocalGrid(np.asarray(elevation_m, "float32"), x, y, CELL_M, utm_epsg(LON, LAT))


def pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)))


def test_level_ground_is_paper():
    drawn = pixels(draw_relief(grid_of(np.full((40, 50), 200.0))).png)
    assert drawn.shape == (40, 50, 3)
    assert (drawn == PAPER).all()


def test_unknown_ground_is_paper():
    heights = np.add.outer(np.arange(60.0), np.arange(60.0))
    heights[20:40, 20:40] = np.nan
    drawn = pixels(draw_relief(grid_of(heights)).png)
    assert (drawn[25:35, 25:35] == PAPER).all()
    assert (drawn[5:15, 45:55] != PAPER).any()


def test_the_side_toward_the_light_is_the_lighter_one():
    rise = np.arange(60.0)[None, :].repeat(60, axis=0)
    faces_west, faces_east = (pixels(draw_relief(grid_of(h)).png)[30, 30] for h in (rise, -rise))
    assert faces_west.sum() > faces_east.sum()


def cone(row, column, size=200):
    i, j = np.mgrid[:size, :size]
    return 200 + np.clip(40 - 4 * np.hypot(i - row, j - column), 0, None)


@pytest.mark.parametrize(("row", "column"), [(20, 20), (20, 180), (180, 20), (180, 180)])
def test_a_hill_is_drawn_where_it_stands(row, column):
    grid = grid_of(cone(row, column))
    relief = draw_relief(grid)
    x, y = grid.x0 + (column + 0.5) * CELL_M, grid.y0 - (row + 0.5) * CELL_M
    i, j = np.nonzero((pixels(relief.png) != PAPER).any(axis=2))
    west, south, east, north = relief.bounds
    rows, columns = grid.elevation_m.shape
    lon, lat = west + (j.mean() + 0.5) * (east - west) / columns, 0.0
    lat = north - (i.mean() + 0.5) * (north - south) / rows
    drawn_x, drawn_y = grid.xy(lon, lat)
    assert np.hypot(drawn_x - x, drawn_y - y) < CELL_M
    for line in relief.contours:
        ring = np.array(line["geometry"]["coordinates"])
        assert (ring[0] == ring[-1]).all()
        at = np.column_stack(grid.xy(*ring.T)) - (x, y)
        metres = 40 - (line["properties"]["feet"] * 0.3048 - 200)
        assert np.hypot(*at.T) == pytest.approx(metres / 4 * CELL_M, abs=0.6 * CELL_M)


def test_contours_are_every_ten_feet_and_every_fifth_is_heavier():
    drawn = draw_relief(grid_of(cone(100, 100))).contours
    feet = sorted({line["properties"]["feet"] for line in drawn})
    assert feet == list(range(660, 761, 10))  # the rings at its tip are too small to draw
    heavy = {line["properties"]["feet"] for line in drawn if line["properties"]["index"]}
    assert heavy == {700, 750}


def test_the_tracts_own_relief(seen):
    relief = seen.get("/api/relief.json").json()
    west, south, east, north = relief["bounds"]
    assert west < -90.62 < east
    assert south < 47.31 < north
    assert len({f["properties"]["feet"] for f in relief["contours"]["features"]}) > 3
    image = seen.get(relief["image"])
    assert image.headers["content-type"] == "image/png"
    assert image.content[1:4] == b"PNG"


def test_relief_is_drawn_once_for_the_same_ground(page, monkeypatch, entry, post):
    drawn = []
    monkeypatch.setattr(
        "fencerow.web.desk.draw_relief", lambda g: drawn.append(g) or draw_relief(g)
    )
    page.get("/api/relief.json")
    post(page, "/api/entries", entries=[entry()])
    page.get("/api/relief.png")
    assert len(drawn) == 1


def test_a_tract_without_elevation_has_no_relief(bare):
    page = client_of(bare)
    assert page.get("/api/state").json()["places"] == []
    for path in ("/api/relief.json", "/api/relief.png"):
        answer = page.get(path)
        assert answer.status_code == 404
        assert "no elevation" in answer.json()["text"]

"""Classes of land cover and heights of plants in: what is read, and what is refused in words."""

import json
from datetime import date

import numpy as np
import pytest
from shapely.geometry import mapping
from test_elevation import TRACT, UTM, from_origin, write

from fencerow.data import Tables
from fencerow.exchange.land_cover import read_canopy, read_classes
from fencerow.store import create
from fencerow.store.bring import bring
from fencerow.store.given import given_of
from fencerow.store.record import utc_now
from fencerow.tract.bodies import About
from fencerow.words import BadInput

ROWS = Tables.shipped()["land_cover"]
X, Y = UTM.transform(-79.95, 36.10)
CORNER = from_origin(X - 3000, Y + 3000, 30.0, 30.0)
"""Squares of 30 m around the tract."""


def halves(path, west, east, dtype="uint8"):
    """One thing to the west of the tract's middle, another to the east of it."""
    held = np.where(np.arange(200) < 100, west, east) * np.ones((200, 200))
    return write(path, held.astype(dtype), CORNER, "EPSG:32617")


def test_a_position_has_the_class_of_its_square(tmp_path):
    found = read_classes(halves(tmp_path / "cover.tif", 41, 52), [TRACT], ROWS)
    lon, lat = np.array([-79.953, -79.947]), np.array([36.1, 36.1])
    assert found.nearest(lon, lat).tolist() == [41, 52]
    assert np.isnan(found.nearest(-79.0, 36.1))
    # two classes beside each other are never averaged into a third
    assert set(np.unique(found.elevation_m[found.known])) == {41, 52}


def test_classes_that_have_no_row_are_named(tmp_path):
    with pytest.raises(BadInput, match="classes 151, 152 have no row in the table land_cover"):
        read_classes(halves(tmp_path / "c.tif", 151, 152), [TRACT], ROWS)


def test_shares_are_no_classes(tmp_path):
    path = halves(tmp_path / "s.tif", 0.25, 0.5, "float32")
    with pytest.raises(BadInput, match="whole numbers"):
        read_classes(path, [TRACT], ROWS)


def test_heights_of_plants_come_in_metres_whatever_they_are_in(tmp_path):
    found, unit, notes = read_canopy(halves(tmp_path / "h.tif", 0, 50, "float32"), [TRACT], "ft")
    assert (unit, notes) == ("ft", ())
    assert found.nearest(-79.946, 36.1) == pytest.approx(15.24, abs=1e-4)


@pytest.mark.parametrize("height", [250.0, -40.0])
def test_elevation_is_no_height_of_plants(tmp_path, height):
    path = halves(tmp_path / "z.tif", height, height, "float32")
    with pytest.raises(BadInput, match="as no plant has; is it elevation"):
        read_canopy(path, [TRACT])


def test_a_tract_keeps_both_and_plans_read_them(tmp_path):
    store = create(tmp_path / "t", About("Made", zone="America/New_York"), author="me")
    plot = {"type": "Feature", "properties": {"kind": "plot"}, "geometry": mapping(TRACT)}
    (tmp_path / "plot.geojson").write_text(json.dumps(plot))
    bring(store, tmp_path / "plot.geojson", [], "", "me", utc_now)
    cover, tall = (tmp_path / name for name in ("cover.tif", "tall.tif"))
    (said,) = bring(store, halves(cover, 41, 52), [], "", "me", utc_now, holds="cover")
    assert "land cover kept, 30 m cells" in said
    bring(store, halves(tall, 0, 9, "float32"), [], "m", "me", utc_now, holds="canopy")
    grown = given_of(store, date(2027, 1, 1)).grown
    assert grown.classes.nearest(-79.947, 36.1) == 52
    assert grown.canopy.nearest(-79.946, 36.1) == pytest.approx(9)
    assert store.verify() == ()


@pytest.mark.parametrize(("name", "holds"), [("a.laz", "cover"), ("a.tif", "trees")])
def test_what_a_file_cannot_hold_is_refused(tmp_path, name, holds):
    store = create(tmp_path / "t", About("Made", zone="America/New_York"), author="me")
    (tmp_path / name).write_bytes(b"")
    with pytest.raises(BadInput, match="cover, canopy"):
        bring(store, tmp_path / name, [], "", "me", utc_now, holds=holds)
    assert not store.tract().datasets

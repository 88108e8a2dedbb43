"""Sketches lie where the ground lies; what siting found leaves as it was found."""

import json
from itertools import pairwise
from math import atan2, degrees, hypot, pi

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pyproj import Transformer
from rasterio.io import MemoryFile

from fencerow.exchange.siting_tif import NODATA, siting_tif
from fencerow.packet.sketch import set_sketch
from fencerow.plan.show import Told
from fencerow.plan.sits.footprints import Wind, _print
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.season_hours import season_hours
from fencerow.plan.sits.spots import Scene, Spots
from fencerow.plan.sits.surface import HEIGHT_FT, MOST_SQUARES, Wide, exposed_min
from fencerow.plan.sits.tract_ground import tract_ground
from fencerow.plan.sits.walkers import STILL, STIRRED
from fencerow.plan.sketch import AIM, ARM, REACHED, RING, SPREAD, Sketch, plain_sketch
from fencerow.plan.view import sheets
from fencerow.science.ground.judging import Why, judge
from fencerow.science.ground.stability import D
from fencerow.tract.places import Treestand
from fencerow.units import convert
from fencerow.web.export import ground_geojson

REACH_M = convert(220, "yd", "m")


@pytest.fixture(scope="module")
def drawn(demo_plan):
    found = ((s.id, d) for s in sheets(demo_plan) for d in s.drawings)
    return {(i, d.title): d for i, d in found if isinstance(d, Sketch)}


@pytest.fixture(scope="module")
def tract_map(drawn):
    return drawn["siting", "Map of sits"]


@pytest.fixture(scope="module")
def scene(demo_given):
    frame = Frame(demo_given)
    return Scene(tract_ground(frame), REACH_M, season_hours(frame))


@pytest.fixture(scope="module")
def surface(demo_plan):
    return demo_plan.sections["siting"].body.surface


def lonlat(place):
    point = place.body.shape.geometry().representative_point()
    return point.x, point.y


def around(a, b):
    """Metres and degrees from one place to another on the ellipsoid."""
    found = Geodesic.WGS84.Inverse(a[1], a[0], b[1], b[0])
    return found["s12"], found["azi1"] % 360


# ---- where things lie


def test_signs_of_the_map_lie_as_far_apart_as_their_places(demo_plan, tract_map):
    """Against geodesics of GeographicLib; a sketch is in whole metres of UTM."""
    places = {k.body.name: lonlat(k) for k in demo_plan.given.tract.places.values() if k.body.shape}
    spots = [s for s in tract_map.base.spots if s.name]
    assert len(spots) >= 6
    for a, b in pairwise(spots):
        far, _ = around(places[a.name], places[b.name])
        assert hypot(a.x - b.x, a.y - b.y) == pytest.approx(far, abs=1.6, rel=1e-3)


def test_all_of_a_sketch_lies_within_its_rim_and_is_explained(drawn):
    for sketch in drawn.values():
        explained = {k.look for k in sketch.key}
        for view in (sketch.base, *sketch.views):
            for outline in view.outlines:
                assert outline.look in explained | {RING}, sketch.title
                for run in outline.runs:
                    assert min(run) >= 0
                    assert max(run[::2]) <= sketch.wide
                    assert max(run[1::2]) <= sketch.high
            assert {s.kind for s in view.spots} <= explained | {"treestand", "blind"}
        assert all(v.told.endswith(".") for v in sketch.views)


def test_numbers_of_a_sketchs_table_open(drawn):
    cells = [
        cell
        for d in drawn.values()
        for row in d.table.rows
        for column, cell in zip(d.table.columns, row, strict=True)
        if column.number and cell
    ]
    assert len(cells) > 20
    assert all(isinstance(c, Told) for c in cells)


def test_a_packed_outline_unpacks_to_the_same_points(tract_map):
    made = plain_sketch(tract_map)
    for outline, told in zip(tract_map.base.outlines, made["base"]["outlines"], strict=True):
        steps = [list(map(int, run.split())) for run in told["runs"].split(";")]
        points = [np.cumsum(np.reshape(s, (-1, 2)), axis=0).ravel().tolist() for s in steps]
        assert points == [list(r) for r in outline.runs]


def test_on_paper_it_is_the_same_picture(drawn):
    for sketch in drawn.values():
        paper = set_sketch(sketch)
        mm = paper["width"] / sketch.wide
        for view, told in zip(sketch.views, paper["views"], strict=True):
            spots = [[round(s.x * mm, 2), round(s.y * mm, 2)]
                     for s in (*sketch.base.spots, *view.spots)]  # fmt: skip
            assert [s["at"] for s in told["spots"]] == spots
            assert len(told["outlines"]) == len(sketch.base.outlines) + len(view.outlines)


def test_on_a_range_card_the_way_it_faces_is_up(demo_plan, drawn):
    body = demo_plan.sections["sits"].body
    turned = 0
    for id_, place in body.items():
        card = drawn.get((f"sit.{id_}", "Range card"))
        if card is None:
            continue
        facing = place.facing.number() if place.facing.known else 0.0
        assert (card.north_deg + facing) % 360 == pytest.approx(0)
        aims = [o for o in card.views[0].outlines if o.look in (AIM, ARM)]
        for outline, line in zip(aims, place.lines.values(), strict=True):
            x0, y0, x, y = outline.runs[0]
            if hypot(x - x0, y - y0) > 60:
                clock = degrees(atan2(x - x0, y0 - y))
                assert (clock + facing - line.bearing.number() + 180) % 360 - 180 == pytest.approx(
                    0, abs=1.0
                )
                turned += 1
    assert turned >= 4


# ---- scent


@pytest.mark.parametrize("from_deg", [0, 45, 90, 180, 270, 315])
def test_scent_is_drawn_as_far_as_the_reach_and_downwind(scene, from_deg):
    """The reach is the person's figure for just this day; directions are GeographicLib's."""
    kept = next(k for k in scene.ground.frame.sits() if isinstance(k.body, Treestand))
    found = _print(scene, kept, Wind(float(from_deg), 3.0, D))
    here = lonlat(kept)
    ends = [around(here, p) for p in found.middle.exterior.coords]
    far, way = max(ends)
    assert far == pytest.approx(REACH_M, abs=6)
    # north of the grid is not true north: within a degree on an invented tract in Minnesota
    assert (way - from_deg - 180 + 180) % 360 - 180 == pytest.approx(0, abs=4)
    wide = [around(here, p) for p in found.spread.exterior.coords]
    sides = [(w - from_deg - 180 + 180) % 360 - 180 for f, w in wide if f > 0.9 * REACH_M]
    assert -25 < min(sides) < -12
    assert 12 < max(sides) < 25


def test_in_a_calm_scent_is_a_disc_of_half_the_reach(scene):
    kept = next(k for k in scene.ground.frame.sits())
    found = _print(scene, kept, Wind(123.0, 0.0, D))
    flat = scene.ground.grid.project(found.middle)
    assert found.from_deg is None
    assert flat.area == pytest.approx(pi * (REACH_M / 2) ** 2, rel=0.04)


def test_each_wind_that_is_drawn_is_one_that_the_sit_wants(demo_plan):
    body = demo_plan.sections["siting"].body
    assert set(body.prints) == set(body.places)
    for id_, prints in body.prints.items():
        spans = body.places[id_].wants.value.spans
        assert 1 <= len(prints) <= 4
        for found in prints.values():
            assert any((found.from_deg - start) % 360 <= width for start, width in spans)


# ---- squares all over the tract


def test_the_way_in_of_every_square_is_that_of_one(scene):
    scattered = np.argwhere(scene.ground.inside)[::397]
    compared = 0
    for air, sector in ((STIRRED, 0), (STIRRED, 5), (STILL, 2)):
        everywhere = exposed_min(scene, air, sector)
        for row, column in scattered.tolist():
            way = scene.walkers.way((row, column), air, sector)
            if way is None:
                assert everywhere[row, column] == np.inf
            else:
                assert everywhere[row, column] == pytest.approx(way.exposed_min, rel=1e-6, abs=1e-9)
                compared += 1
    assert compared > 30


def test_scent_of_a_square_is_judged_as_that_of_a_sit(scene, surface):
    pick = slice(20, None, 130)
    cells = tuple(part[pick] for part in surface.cells)
    up, turn = [7.0] * cells[0].size, np.zeros(cells[0].size)
    one = Spots(scene, cells, up, turn, hidden_ways=False).ledger.chance.mean(axis=2)
    none = np.zeros(scene.ground.grid.known.shape)
    open_ways = dict.fromkeys(scene.hours.way_classes, none)
    wide = Wide(scene, cells, up, turn, in_view=none, minutes=open_ways)
    assert judge(**wide.judged).chance.mean(axis=2) == pytest.approx(one)
    share = surface.share[tuple(part[pick] for part in surface.at)]
    assert (share <= one[Why.RIGHT] + 1e-9).all()


def test_squares_are_few_enough_and_all_inside(surface, scene):
    assert surface.at[0].size <= MOST_SQUARES
    assert HEIGHT_FT > 0
    assert scene.ground.inside[surface.cells].all()
    known = surface.share[np.isfinite(surface.share)]
    assert ((known >= 0) & (known <= 1)).all()
    assert known.size == surface.at[0].size


def test_the_geotiff_reads_back_as_it_was_found(surface, scene):
    """By GDAL, with the coordinates of two squares from PROJ."""
    with MemoryFile(siting_tif(surface)) as memory, memory.open() as found:
        assert found.crs.to_epsg() == surface.grid.crs == 32615
        assert found.nodata == NODATA
        assert found.descriptions[0].startswith("season hours that are right")
        assert "2 scent on cover" in found.tags(2)["LEGEND"]
        share, first, travel = found.read()
        sat = np.isfinite(surface.share)
        assert share[sat] == pytest.approx(100 * surface.share[sat], rel=1e-5)
        assert (share[~sat] == NODATA).all()
        assert (first[sat] == surface.first[sat]).all()
        assert set(np.unique(first[sat])) <= {float(w) for w in Why}
        assert travel[sat].max() == pytest.approx(100)
        to_grid = Transformer.from_crs(4326, 32615, always_xy=True)
        for n in (0, surface.at[0].size - 1):
            row, column = (int(part[n]) for part in surface.cells)
            lon, lat = scene.ground.lonlat(row, column)[0]
            x, y = to_grid.transform(lon, lat)
            west, north, side = found.transform.c, found.transform.f, found.transform.a
            at = int((north - y) // side), int((x - west) // side)
            assert at == (surface.at[0][n], surface.at[1][n])
            middle = west + (at[1] + 0.5) * side, north - (at[0] + 0.5) * side
            assert middle == pytest.approx((x, y), abs=0.01)
            assert share[at] == pytest.approx(100 * surface.share[at], rel=1e-5)


def test_scent_leaves_only_with_the_sits(demo_plan):
    tract, siting = demo_plan.given.tract, demo_plan.sections["siting"].body
    without = json.loads(ground_geojson(tract))["features"]
    with_sits = json.loads(ground_geojson(tract, True, siting))["features"]
    kinds = [f["properties"]["kind"] for f in with_sits]
    count = sum(len(p) for p in siting.prints.values())
    assert kinds.count("scent") == kinds.count("scent, may reach") == count > 4
    assert not {"scent", "way in", "treestand"} & {f["properties"]["kind"] for f in without}


def test_looks_of_scent_are_told_apart_without_colour(drawn):
    for sketch in drawn.values():
        looks = {o.look for v in sketch.views for o in v.outlines if o.area}
        assert looks <= {REACHED, SPREAD, "share-1", "share-2", "share-3", "ruled"}

"""Ground files in: every format gives the same places, by the stated rule, mended as stated."""

import json
import math
import zipfile
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyogrio.raw import read as ogr_read
from pyogrio.raw import write as ogr_write
from pyproj import Transformer
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box, mapping, shape

from fencerow.exchange.ground import Mapping, read_ground
from fencerow.exchange.ground.feature import Feature
from fencerow.exchange.ground.mapping import kinds_in
from fencerow.exchange.ground.outline import outline_for
from fencerow.science.ground.measure import area_ac
from fencerow.tract.entry import counted_ids
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import check
from fencerow.words import BadInput

FIXTURES = Path(pyogrio.__file__).parent / "tests" / "fixtures"
PLOT = Polygon(
    [(-79.95, 36.10), (-79.94, 36.10), (-79.94, 36.11), (-79.95, 36.11)],
    [[(-79.947, 36.103), (-79.947, 36.106), (-79.944, 36.106), (-79.944, 36.103)]],
)
WALK = LineString([(-79.951, 36.09), (-79.9505, 36.098), (-79.95, 36.10)])
CAMERA = Point(-79.9412, 36.1033)
GROUND = (("Home", "plot", PLOT), ("Way in", "access route", WALK), ("Ridge", "camera", CAMERA))


def feature(geometry, **properties):
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def write_geojson(path, features, **more):
    whole = {"type": "FeatureCollection", **more, "features": features}
    path.write_text(json.dumps(whole), encoding="utf-8")
    return path


def write_layers(path, driver, crs):
    """The ground in a coordinate system, one file or layer for each type of geometry."""
    to = Transformer.from_crs(4326, crs, always_xy=True)
    for name, kind, geometry in GROUND:
        there = shapely.transform(
            geometry, lambda p: np.column_stack(to.transform(p[:, 0], p[:, 1]))
        )
        layer = kind.replace(" ", "_")
        ogr_write(
            path / f"{layer}.shp" if driver == "ESRI Shapefile" else path,
            np.array([there.wkb], dtype=object),
            [np.array([name], dtype=object), np.array([kind], dtype=object)],
            fields=["name", "kind"],
            layer=layer,
            driver=driver,
            crs=crs,
            geometry_type=geometry.geom_type,
            append=path.is_file(),
        )
    return path


def zipped(folder, out):
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted(folder.iterdir()):
            archive.write(file, f"export/{file.name}")
    return out


def assert_is_the_ground(found):
    by_name = {d.body["name"]: d.body for d in found.drafts}
    assert {name: body["kind"] for name, body in by_name.items()} == {n: k for n, k, _ in GROUND}
    for name, _, geometry in GROUND:
        got = shape(by_name[name]["shape"])
        assert got.normalize().equals_exact(geometry.normalize(), 1e-7)


def test_geojson(tmp_path):
    features = [feature(mapping(g), name=n, kind=k) for n, k, g in GROUND]
    found = read_ground(write_geojson(tmp_path / "g.geojson", features))
    assert_is_the_ground(found)
    assert found.report.systems == ("EPSG:4326",)


@pytest.mark.parametrize(
    ("crs", "name"),
    [
        ("EPSG:26917", "urn:ogc:def:crs:EPSG::26917"),
        ("EPSG:2264", "EPSG:2264"),
        ("EPSG:3857", "urn:ogc:def:crs:EPSG:6.18:3857"),
        ("EPSG:4326", "urn:ogc:def:crs:OGC:1.3:CRS84"),
    ],
)
def test_geojson_that_names_its_crs(tmp_path, crs, name):
    to = Transformer.from_crs(4326, crs, always_xy=True)
    features = [
        feature(
            mapping(
                shapely.transform(g, lambda p: np.column_stack(to.transform(p[:, 0], p[:, 1])))
            ),
            name=n,
            kind=k,
        )
        for n, k, g in GROUND
    ]
    named = {"type": "name", "properties": {"name": name}}
    found = read_ground(write_geojson(tmp_path / "g.geojson", features, crs=named))
    assert_is_the_ground(found)


@pytest.mark.parametrize("crs", ["EPSG:26917", "EPSG:4326"])
def test_geopackage(tmp_path, crs):
    found = read_ground(write_layers(tmp_path / "g.gpkg", "GPKG", crs))
    assert_is_the_ground(found)
    assert found.report.format == "GeoPackage"


@pytest.mark.parametrize("crs", ["EPSG:2264", "EPSG:3857"])
def test_zipped_shapefiles_one_for_each_kind(tmp_path, crs):
    """State plane in US survey feet, and a web map, whose metres no area is measured in."""
    folder = tmp_path / "export"
    folder.mkdir()
    write_layers(folder, "ESRI Shapefile", crs)
    found = read_ground(zipped(folder, tmp_path / "g.zip"))
    assert_is_the_ground(found)
    home = next(d.body for d in found.drafts if d.body["name"] == "Home")
    hole = Polygon(PLOT.interiors[0])
    # the box without its hole is 246.8921 ac by GeographicLib
    assert area_ac(home["shape"]) == pytest.approx(246.8921 - area_ac(hole), abs=0.002)


KML = """<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>My ground</name>
<Folder><name>Food plots</name>
  <Placemark><name>Home</name><description>&lt;b&gt;Clover&lt;/b&gt; since 2024</description>
  <Polygon><outerBoundaryIs><LinearRing><coordinates>
    -79.95,36.10,210 -79.94,36.10,211 -79.94,36.11,212 -79.95,36.11,213 -79.95,36.10,210
  </coordinates></LinearRing></outerBoundaryIs>
  <innerBoundaryIs><LinearRing><coordinates>-79.947,36.103 -79.944,36.103 -79.944,36.106
    -79.947,36.106 -79.947,36.103</coordinates></LinearRing></innerBoundaryIs></Polygon></Placemark>
</Folder>
<Folder><name>Walking</name><Folder><name>Trails</name>
  <Placemark><name>Way in</name><LineString><coordinates>
    -79.951,36.09 -79.9505,36.098 -79.95,36.10</coordinates></LineString></Placemark>
</Folder></Folder>
<Placemark><name>Ridge</name><ExtendedData><Data name="kind"><value>trail camera</value></Data>
  <Data name="facing_deg"><value>330</value></Data></ExtendedData>
  <Point><coordinates>-79.9412, 36.1033, 0</coordinates></Point></Placemark>
</Document></kml>
"""


@pytest.fixture
def kml(tmp_path):
    path = tmp_path / "g.kml"
    path.write_text(KML, encoding="utf-8")
    return path


def test_kml_kinds_from_folders_and_data(kml):
    found = read_ground(kml)
    assert_is_the_ground(found)
    bodies = {d.body["name"]: d.body for d in found.drafts}
    assert bodies["Home"]["note"] == "Clover  since 2024"
    assert bodies["Ridge"]["facing_deg"] == 330


def test_kmz_is_the_same_and_its_pictures_are_left(kml, tmp_path):
    path = tmp_path / "g.kmz"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("files/photo.jpg", b"\xff\xd8 no picture")
        archive.write(kml, "doc.kml")
    assert_is_the_ground(read_ground(path))


def test_kml_collections_and_tracks(tmp_path):
    ring = "-79.95,36.10 -79.94,36.10 -79.94,36.11 -79.95,36.10"
    text = f"""<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">
    <Placemark><name>Two plots</name><MultiGeometry>
      <Polygon><outerBoundaryIs><LinearRing><coordinates>{ring}</coordinates></LinearRing>
      </outerBoundaryIs></Polygon><Polygon><outerBoundaryIs><LinearRing><coordinates>
      -79.93,36.10 -79.92,36.10 -79.92,36.11 -79.93,36.10</coordinates></LinearRing>
      </outerBoundaryIs></Polygon></MultiGeometry></Placemark>
    <Placemark><name>Gates</name><MultiGeometry><Point><coordinates>-79.95,36.10</coordinates></Point>
      <Point><coordinates>-79.94,36.10</coordinates></Point></MultiGeometry></Placemark>
    <Placemark><name>Trail</name><gx:Track><when>2026-01-01T00:00:00Z</when>
      <gx:coord>-79.95 36.10 200</gx:coord><gx:coord>-79.94 36.10 201</gx:coord>
      </gx:Track></Placemark>
    <NetworkLink><Link><href>file:///etc/hosts</href></Link></NetworkLink></kml>"""
    path = tmp_path / "c.kml"
    path.write_text(text, encoding="utf-8")
    found = read_ground(path)
    assert [(d.body["name"], d.body["kind"], d.body["shape"]["type"]) for d in found.drafts] == [
        ("Two plots", "plot", "MultiPolygon"),
        ("Gates 1", "gate", "Point"),
        ("Gates 2", "gate", "Point"),
        ("Trail", "access route", "LineString"),
    ]
    assert any("not followed" in str(m) for m in found.report.remarks)


GPX = """<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="36.1033" lon="-79.9412"><ele>210</ele><name>Ridge</name><sym>Trail Camera</sym></wpt>
<wpt lat="36.1010" lon="-79.9440"><name>Stand 4</name><sym>Flag, Blue</sym></wpt>
<rte><name>Way in</name><type>access</type><rtept lat="36.09" lon="-79.951"/>
  <rtept lat="36.098" lon="-79.9505"/><rtept lat="36.10" lon="-79.95"/></rte>
<trk><name>Clover plot edge</name><trkseg>
  <trkpt lat="36.1000" lon="-79.9500"><time>2026-03-01T15:00:00Z</time></trkpt>
  <trkpt lat="36.1000" lon="-79.9480"/><trkpt lat="36.1000" lon="-79.9480"/>
  <trkpt lat="36.1015" lon="-79.9480"/><trkpt lat="36.1015" lon="-79.9500"/>
  <trkpt lat="36.10005" lon="-79.95002"/></trkseg></trk>
<trk><name>Empty plot</name><trkseg/></trk></gpx>
"""


@pytest.fixture
def gpx(tmp_path):
    path = tmp_path / "g.gpx"
    path.write_text(GPX, encoding="utf-8")
    return path


def test_gpx_points_lines_and_a_plot_walked_around(gpx):
    found = read_ground(gpx)
    bodies = {d.body["name"]: d.body for d in found.drafts}
    assert {n: (b["kind"], b["shape"]["type"]) for n, b in bodies.items()} == {
        "Ridge": ("camera", "Point"),
        "Way in": ("access route", "LineString"),
        "Clover plot edge": ("plot", "Polygon"),
    }
    assert area_ac(bodies["Clover plot edge"]["shape"]) == pytest.approx(7.4, abs=0.1)
    said = " / ".join(str(m) for m in found.report.messages())
    assert "came back to its start within 6 yd and was closed" in said
    assert "1 doubled points were dropped" in said
    assert "'Stand 4': left out: 'Stand 4': a treestand, or a count of plants?" in said
    assert "'Empty plot': left out: it has no outline" in said


# pyogrio adds bare integers to NumPy times when it reads GPX; NumPy 2.5 warns of it
@pytest.mark.filterwarnings("ignore:The 'generic' unit:DeprecationWarning")
def test_our_kml_and_gpx_readers_agree_with_ogr(kml, gpx):
    """Against GDAL's own readers of the two formats."""
    for path, layers in ((kml, None), (gpx, ("waypoints", "routes", "tracks"))):
        theirs = []
        for layer in layers or [name for name, _ in pyogrio.list_layers(path)]:
            meta, _, wkb, columns = ogr_read(path, layer=layer, force_2d=True)
            names = columns[[f.lower() for f in meta["fields"]].index("name")]
            theirs += list(zip(names, shapely.from_wkb(wkb), strict=True))
        rules = ["*=boundary", "*=road", "*=camera", "Stand 4:x=plot"][:3]
        ours = read_ground(path, mapping=Mapping.parse(rules)).drafts
        by_name = dict(theirs)
        assert len(ours) == sum(not g.is_empty for _, g in theirs)
        for draft in ours:
            line = by_name[draft.body["name"]]
            got = shape(draft.body["shape"])
            if got.geom_type == "Polygon" and line.geom_type != "Polygon":
                got = got.exterior
            assert got.hausdorff_distance(line) < 1e-4


def test_attributes_of_the_kind_are_carried_and_held_to_its_form(tmp_path):
    features = [
        feature(mapping(PLOT), name="Home", kind="plot", Texture="silt loam", last_crop="oats",
                drainage="drains slowly", mixing_depth_in="4", acres=12, note="stony"),
        feature(mapping(CAMERA), name="Ridge", kind="camera", facing_deg=None, texture="clay"),
        feature(mapping(CAMERA), name="Oak", kind="treestand", height_ft=18,
                last_inspe="2026-01-05"),
        feature(mapping(PLOT), name="Old field", kind="NWSG", species="big bluestem; indiangrass"),
    ]  # fmt: skip
    found = read_ground(write_geojson(tmp_path / "g.geojson", features))
    home, ridge, oak, grass = (d.body for d in found.drafts)
    assert {k: v for k, v in home.items() if k not in ("kind", "name", "shape")} == {
        "texture": "silt loam", "last_crop": "oats", "drainage": "drains slowly",
        "mixing_depth_in": 4.0, "note": "stony",
    }  # fmt: skip
    assert set(ridge) == {"kind", "name", "shape"}
    assert (oak["last_inspection"], oak["height_ft"]) == ("2026-01-05", 18)
    assert list(grass["species"]) == ["big bluestem", "indiangrass"]
    assert found.report.ignored_columns == ("acres", "texture")


def test_a_place_without_a_name_is_counted(tmp_path):
    features = [feature(mapping(CAMERA), kind="camera"), feature(mapping(CAMERA), kind="camera")]
    found = read_ground(write_geojson(tmp_path / "g.geojson", features))
    assert [d.body["name"] for d in found.drafts] == ["camera 1", "camera 2"]


def test_ids_come_from_the_caller_and_names_that_are_taken_are_told(tmp_path):
    features = [feature(mapping(g), name=n, kind=k) for n, k, g in GROUND]
    path = write_geojson(tmp_path / "g.geojson", [*features, features[2]])
    first = read_ground(path, ids=counted_ids("x"), known_names=["home"])
    again = read_ground(path, ids=counted_ids("x"))
    assert [d.subject for d in first.drafts] == [d.subject for d in again.drafts]
    assert len({d.subject for d in first.drafts}) == 4
    told = [str(m) for m in first.report.remarks]
    assert [t.split("'")[1] for t in told] == ["Home", "Ridge"]


def test_rules_of_the_person_go_first(tmp_path):
    features = [
        feature(mapping(PLOT), LABEL="North", LANDUSE="food"),
        feature(mapping(PLOT), LABEL="South", LANDUSE="Bedding"),
        feature(mapping(PLOT), LABEL="East plot", LANDUSE="other"),
        feature(mapping(WALK), LABEL="West", LANDUSE="other"),
    ]
    path = write_geojson(tmp_path / "g.geojson", features)
    rules = Mapping.parse(["name=label", "kind=LANDUSE", "landuse:FOOD=plot", "*=cover", "*=road"])
    found = read_ground(path, mapping=rules)
    kinds = {d.body["name"]: d.body["kind"] for d in found.drafts}
    assert kinds == {"North": "plot", "South": "cover", "East plot": "plot", "West": "road"}
    whys = [str(t.why) for t in found.report.taken]
    assert whys[:2] == [
        "for its column landuse says 'FOOD'",
        "for its column LANDUSE says 'Bedding'",
    ]
    with pytest.raises(BadInput, match=r"(?s)1 can't be mapped.*feature 4"):
        read_ground(path, mapping=Mapping.parse(["name=LABEL", "*=cover"]), strict=True)


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("North food plot", {"plot"}), ("FoodPlot_3", {"plot"}), ("trail cam 2", {"camera"}),
        ("Cam07", {"camera"}), ("creek", {"water"}), ("Pond plot", {"plot", "water"}),
        ("ladder stand", {"treestand"}), ("stand", set()), ("Tree-Stand", {"treestand"}),
        ("mock scrapes", {"mock scrape"}), ("scrape line", set()), ("fire break", {"firebreak"}),
        ("native-grass field", {"native-grass field"}), ("NWSG 2019", {"native-grass field"}),
        ("right-of-way", {"right-of-way"}), ("shooting lane", {"lane"}), ("Outstanding", set()),
        ("plotter", set()), ("", set()), ("cover crop", set()), ("Soil map unit 4B", {"soil zone"}),
    ],
)  # fmt: skip
def test_words_that_name_a_kind(text, kinds):
    assert kinds_in(text) == kinds


@pytest.mark.parametrize("kind", PLACE_KINDS)
def test_every_kind_is_named_by_its_own_name(kind):
    assert kinds_in(kind) == {kind}
    assert kinds_in(kind.upper() + "S") == {kind}


def test_a_name_that_says_two_kinds_is_asked_about_unless_its_outline_says_which():
    rule = Mapping()
    with pytest.raises(BadInput, match="two kinds: plot or water"):
        rule.kind_of(Feature(1, PLOT, {"name": "Pond plot"}), PLOT)
    assert rule.kind_of(Feature(1, CAMERA, {"name": "Plot gate"}), CAMERA)[0] == "gate"


def test_the_kind_column_is_held_to_its_word():
    with pytest.raises(BadInput, match="treestand: should be drawn as Point; this is a Polygon"):
        Mapping().kind_of(Feature(1, PLOT, {"kind": "treestand", "name": "North plot"}), PLOT)


@pytest.mark.parametrize(
    ("rule", "said"),
    [("kind", "write it as"), ("colour=RED", "write it as"), ("*=castle", "no kind of place"),
     ("LANDUSE:food=stand", "no kind of place"), ("a=b=c", "write it as")],
)  # fmt: skip
def test_rules_that_are_none(rule, said):
    with pytest.raises(BadInput, match=said):
        Mapping.parse([rule])


def test_a_rule_on_a_column_that_is_not_there(tmp_path):
    path = write_geojson(tmp_path / "g.geojson", [feature(mapping(PLOT), name="x", use="plot")])
    with pytest.raises(BadInput, match="column 'LANDUSE', and there is none; there are name, use"):
        read_ground(path, mapping=Mapping.parse(["kind=LANDUSE"]))


# ---- outlines


def spun(points):
    return Polygon([(-80 + x / 1000, 36 + y / 1000) for x, y in points])


SQUARE = spun([(0, 0), (10, 0), (10, 10), (0, 10)])


@pytest.mark.parametrize(
    "broken",
    [
        spun([(0, 0), (10, 0), (10, 10), (0, 10), (0, 15), (0, 10)]),  # a spike
        spun([(0, 0), (10, 0), (10, 10), (5.1, 10), (4.9, 10.2), (5.1, 10.2), (4.9, 10), (0, 10)]),
        spun([(0, 0), (5, 0), (5, 0.0), (10, 0), (10, 10), (0, 10), (0, 0)]),  # a doubled point
    ],
    ids=["spike", "small loop", "doubled"],
)
def test_mended_where_there_is_one_way_to_read_it(broken):
    outline, said = outline_for("plot", broken)
    assert outline.is_valid
    assert outline.geom_type == "Polygon"
    assert len(said) >= 1
    assert area_ac(outline) == pytest.approx(area_ac(SQUARE), rel=0.01)


@pytest.mark.parametrize(
    "broken",
    [
        spun([(0, 0), (10, 10), (10, 0), (0, 10)]),  # a figure of eight
        # a ring wound around part of its ground twice: a hole, or none?
        spun([(0, 0), (10, 0), (10, 10), (2, 10), (2, 2), (8, 2), (8, 12), (0, 12)]),
    ],
    ids=["figure of eight", "wound twice"],
)
def test_refused_where_there_are_two(broken):
    with pytest.raises(BadInput, match=r"crosses itself at longitude -79\.99\d+, latitude 36\.0"):
        outline_for("plot", broken)


def test_polygons_that_overlap_become_one_ground():
    two = MultiPolygon([SQUARE, spun([(5, 5), (15, 5), (15, 15), (5, 15)])])
    outline, said = outline_for("plot", two)
    assert outline.geom_type == "Polygon"
    assert outline.equals(two.buffer(0))
    assert len(said) == 1


def test_outer_rings_turn_counterclockwise_and_heights_are_dropped():
    clockwise = Polygon([(x, y, 200.0) for x, y in SQUARE.reverse().exterior.coords])
    outline, said = outline_for("plot", clockwise)
    assert outline.exterior.is_ccw
    assert not outline.has_z
    assert said == []


@pytest.mark.parametrize(
    ("kind", "geometry", "said"),
    [
        ("plot", spun([(0, 0), (10, 10), (20, 20)]), "encloses no ground"),
        ("road", LineString([(-80, 36), (-80, 36)]), "no length"),
        ("camera", Point(math.nan, 36), "not all numbers"),
    ],
)
def test_outlines_that_are_none(kind, geometry, said):
    with pytest.raises(BadInput, match=said):
        outline_for(kind, geometry)


def test_a_long_gap_is_not_closed():
    walk = LineString([(-80, 36), (-79.998, 36), (-79.998, 36.002), (-80, 36.0003)])
    with pytest.raises(BadInput, match="no column, folder"):
        Mapping().kind_of(Feature(1, walk, {"name": "Clover plot"}), walk)


@st.composite
def stars(draw):
    lon, lat = draw(st.floats(-170, 170)), draw(st.floats(-70, 70))
    reach = draw(st.lists(st.floats(1e-4, 0.01), min_size=3, max_size=9))
    turn = [2 * math.pi * i / len(reach) for i in range(len(reach))]
    return Polygon(
        [(lon + r * math.cos(t), lat + r * math.sin(t)) for r, t in zip(reach, turn, strict=True)]
    )


@given(stars(), st.booleans())
def test_a_sound_outline_is_left_as_it_is(star, backwards):
    if not star.is_valid or star.area < 1e-8:
        return
    outline, _ = outline_for("plot", star.reverse() if backwards else star)
    assert outline.normalize().equals_exact(star.normalize(), 0)


_JUNK = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=5)
    | st.sampled_from(["Point", "Polygon", "LineString", "GeometryCollection", "Feature"]),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(
        st.sampled_from(["type", "coordinates", "geometry", "geometries", "properties", "name"]),
        inner,
        max_size=4,
    ),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(_JUNK, st.sampled_from(["Point", "LineString", "Polygon", "MultiPolygon", "Feature"]))
def test_whatever_the_geometry_the_answer_is_places_or_bad_input(tmp_path_factory, junk, kind):
    path = tmp_path_factory.getbasetemp() / "junk.geojson"
    geometry = {"type": kind, "coordinates": junk, "geometry": junk}
    write_geojson(path, [feature(geometry, name="x"), junk])
    try:
        found = read_ground(path, mapping=Mapping.parse(["*=water"]))
    except BadInput as error:
        said = str(error)
    else:
        said = found.report.file
    assert said.startswith("junk.geojson")


# ---- files that we did not make


def test_countries_that_ship_with_pyogrio(tmp_path):
    """Natural Earth, public domain: 177 countries, some in several parts, one on the date line."""
    path = zipped(FIXTURES / "naturalearth_lowres", tmp_path / "countries.zip")
    rules = Mapping.parse(["*=boundary"])
    found = read_ground(path, mapping=rules, ids=counted_ids("countries"))
    assert len(found.drafts) == 177
    assert found.report.format == "zipped Shapefile"
    for draft in found.drafts:
        check("place", draft.body, "countries")
    acres = {d.body["name"]: area_ac(d.body["shape"]) for d in found.drafts}
    # the land of the earth is close to 147 million square kilometres; a coarse coast gives some
    assert sum(acres.values()) * 0.0040468564224 == pytest.approx(147e6, rel=0.01)
    assert acres["Lesotho"] * 0.0040468564224 == pytest.approx(30_355, rel=0.12)
    assert "continent" in found.report.ignored_columns


@pytest.mark.parametrize(
    ("name", "outline", "count"),
    [
        ("curvepolygon", "Polygon", 1),
        ("multisurface", "Polygon", 1),
        ("curve", "LineString", 1),
        ("line_zm", "LineString", 1),
        ("test_gpkg_nulls", "Point", 4),
    ],
)
def test_geopackages_that_ship_with_pyogrio(name, outline, count):
    """Curves drawn in QGIS, lines with heights and measures, and columns full of nulls."""
    rules = Mapping.parse(["*=water"])
    found = read_ground(FIXTURES / f"{name}.gpkg", mapping=rules)
    assert [d.body["shape"]["type"] for d in found.drafts] == [outline] * count


def test_box_and_geometry_alone(tmp_path):
    """A bare geometry is GeoJSON too."""
    path = tmp_path / "bare.json"
    path.write_text(json.dumps(mapping(box(-80, 36, -79.99, 36.01))), encoding="utf-8")
    found = read_ground(path, mapping=Mapping.parse(["*=plot"]))
    assert found.drafts[0].body["name"] == "plot 1"

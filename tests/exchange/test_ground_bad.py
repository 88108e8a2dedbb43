"""Ground files that are wrong, or made to do harm: one paragraph, and nothing is taken."""

import json
import re
import zipfile
from pathlib import Path

import numpy as np
import pytest
import shapely
from pyogrio.raw import write as ogr_write
from shapely.geometry import Polygon, box

from fencerow.exchange.ground import Mapping, archive, guard, read_ground
from fencerow.words import BadInput

PLOT = {"type": "Polygon", "coordinates": [[[-80, 36], [-79.99, 36], [-79.99, 36.01], [-80, 36]]]}
ALL_PLOTS = Mapping.parse(["*=plot"])


def collection(*features, **more):
    return json.dumps({"type": "FeatureCollection", "features": list(features), **more})


def feature(geometry, **properties):
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def refusal(path, mapping=ALL_PLOTS):
    """What is said of a file that is refused: one paragraph that names the file."""
    with pytest.raises(BadInput) as caught:
        read_ground(path, mapping=mapping)
    said = str(caught.value)
    assert said.startswith(path.name)
    assert "\n\n" not in said
    return said


def written(path, content):
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


VRT = (
    '<OGRVRTDataSource><OGRVRTLayer name="x"><SrcDataSource>/etc/passwd</SrcDataSource>'
    "</OGRVRTLayer></OGRVRTDataSource>"
)
BOMB = (
    '<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><kml><Document><name>&c;</name></Document></kml>'
)
OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY f SYSTEM "file:///etc/passwd">]>'
    '<gpx><wpt lat="36" lon="-80"><name>&f;</name></wpt></gpx>'
)
FIGURE_OF_EIGHT = {
    "type": "Polygon",
    "coordinates": [[[-80, 36], [-79.99, 36.01], [-79.99, 36], [-80, 36.01], [-80, 36]]],
}


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("vrt.geojson", VRT, "a GDAL virtual file"),
        ("gpx.geojson", "<rss/>", "<rss>, which is neither KML nor GPX"),
        ("raster.kml", "<VRTDataset rasterXSize='1'/>", "only points to other files"),
        ("page.kml", "<!DOCTYPE html><html><body>Not found</body></html>", "<html>"),
        ("bomb.kml", BOMB, "entities"),
        ("outside.gpx", OUTSIDE, "entities"),
        ("dtd.kml", '<!DOCTYPE kml SYSTEM "http://x.example/k.dtd"><kml/>', "document type"),
        ("cut.gpx", '<gpx><wpt lat="36" lon="-80"></gpx>', "line 1: no XML"),
        ("deep.kml", "<kml>" + "<Folder>" * 200 + "</Folder>" * 200 + "</kml>", "nested more than"),
        ("empty.geojson", "", "the file is empty"),
        ("blank.kml", b"\0\0\n \n", "the file is empty"),
        ("no-places.geojson", collection(), "without a single feature"),
        ("no-places.gpx", "<gpx/>", "without a single feature"),
        ("no-places.kml", "<kml><Document/></kml>", "without a single feature"),
        ("track.geojson", '<gpx><wpt lat="36" lon="-80"/></gpx>', r"content is GPX.*name it .gpx"),
        ("plots.gpx", collection(), "content is GeoJSON"),
        ("plots.txt", collection(), "content is GeoJSON"),
        ("photo.json", b"\xff\xd8\xff\xe0 JFIF", "no ground file that Fencerow reads"),
        ("plots.shp", b"\x00\x00\x27\x0a" + b"\0" * 96, "into one zip"),
        ("cut.geojson", '{"type": "FeatureCollection", "features": [', "line 1: no JSON"),
        ("nan.geojson", collection().replace("[]", "[NaN]"), "NaN is no number"),
        ("deep.json", '{"type":"Feature","geometry":' + "[" * 100_000, "no JSON"),
        ("latin.geojson", '{"type": "Feature", "name": "Cañada"}'.encode("cp1252"), "not UTF-8"),
        ("topology.json", '{"type": "Topology", "objects": {}}', "its type is 'Topology'"),
        ("list.json", "[1, 2]", "its type is 'list'"),
        ("text-crs.geojson", collection(feature(PLOT), crs={"properties": {"name": "+proj=utm"}}),
         r"'\+proj=utm' is no EPSG code"),
        ("no-crs.geojson", collection(feature(PLOT), crs={"properties": {"name": "EPSG:999999"}}),
         "leads nowhere on earth"),
        ("eight.geojson",
         collection(feature(PLOT, name="a"), feature(FIGURE_OF_EIGHT, name="West")),
         r"(?s)1 wrong.*feature 2 'West': its outline crosses itself at longitude -79.99500, "
         r"latitude 36.00500"),
        ("ring.geojson", collection(feature({"type": "Polygon", "coordinates": [[[-80, 36]]]})),
         "feature 1: its geometry can't be read"),
        ("texture.geojson", collection(feature(PLOT, name="North", texture="gumbo")),
         r"feature 1 'North': plot.texture \(got 'gumbo'\): Input should be 'sand'"),
        ("name.geojson", collection(feature(PLOT, name="N" * 90)), "at most 80 characters"),
    ],
)  # fmt: skip
def test_refused(tmp_path, name, content, said):
    path = written(tmp_path / name, content)
    assert re.search(said, refusal(path))


def test_projected_numbers_without_a_crs(tmp_path):
    there = {"type": "Point", "coordinates": [589_000, 3_995_000]}
    path = written(tmp_path / "utm.geojson", collection(feature(there, name="Gate")))
    said = refusal(path, Mapping())
    assert "feature 1: 589000, 3.995e+06 is no longitude and latitude" in said
    assert "export it again in WGS84" in said


def test_all_that_is_wrong_is_said_at_once_up_to_twenty(tmp_path):
    many = [feature(FIGURE_OF_EIGHT, name=f"Plot {n}") for n in range(30)]
    said = refusal(written(tmp_path / "many.geojson", collection(*many)))
    assert "30 wrong" in said
    assert "'Plot 19'" in said
    assert "'Plot 20'" not in said
    assert said.endswith("and 10 more")


def test_no_such_file(tmp_path):
    assert "is the path right" in refusal(tmp_path / "gone.kml")


# ---- archives


def zip_of(path, members, **how):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, **how) as out:
        for name, content in members.items():
            out.writestr(name, content)
    return path


def test_kmz_bomb(tmp_path):
    path = zip_of(tmp_path / "bomb.kmz", {"doc.kml": b"<kml>" + b" " * 50_000_000 + b"</kml>"})
    assert path.stat().st_size < 100_000
    assert "swells to more than 100 times" in refusal(path)


def test_kmz_that_lies_about_its_size(tmp_path):
    path = zip_of(tmp_path / "liar.kmz", {"doc.kml": b"<kml>" + b" " * 3_000_000 + b"</kml>"})
    data = bytearray(path.read_bytes())
    # the size in the table of contents: 24 bytes into the last central record
    at = data.rindex(b"PK\x01\x02") + 24
    data[at : at + 4] = (100).to_bytes(4, "little")
    assert "broken" in refusal(written(path, bytes(data)))


@pytest.mark.parametrize(
    "name", ["../../evil.kml", "/etc/evil.kml", "C:\\evil.kml", "a\\..\\b.kml"]
)
def test_zip_that_climbs(tmp_path, name):
    path = zip_of(tmp_path / "climb.kmz", {"doc.kml": "<kml/>", name: "<kml/>"})
    assert "reaches out of its own folder" in refusal(path)
    assert list(tmp_path.rglob("evil*")) == []


def test_zip_of_too_many(tmp_path):
    members = {"doc.kml": "<kml/>"} | {f"p/{n}.png": "" for n in range(archive.MOST_MEMBERS)}
    assert "more than 2000 files" in refusal(zip_of(tmp_path / "many.kmz", members))


def test_zip_that_is_locked_cut_or_packed_oddly(tmp_path):
    path = zip_of(tmp_path / "locked.kmz", {"doc.kml": "<kml/>"})
    data = bytearray(path.read_bytes())
    for mark, flag_at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + flag_at] |= 1
    assert "password" in refusal(written(path, bytes(data)))
    path = zip_of(tmp_path / "cut.kmz", {"doc.kml": "<kml/>"})
    assert "broken" in refusal(written(path, path.read_bytes()[:-30]))
    with zipfile.ZipFile(tmp_path / "odd.kmz", "w", zipfile.ZIP_BZIP2) as out:
        out.writestr("doc.kml", "<kml/>")
    assert "plain zip" in refusal(tmp_path / "odd.kmz")


def test_zip_of_something_else(tmp_path):
    assert "a zip of .docx" in refusal(zip_of(tmp_path / "letter.zip", {"a.docx": "x"}))
    assert "name it .kmz" in refusal(zip_of(tmp_path / "tour.zip", {"doc.kml": "<kml/>"}))


def test_bomb_inside_a_kmz(tmp_path):
    assert "entities" in refusal(zip_of(tmp_path / "e.kmz", {"doc.kml": BOMB}))


# ---- GDAL behind its door


@pytest.fixture(scope="module")
def shapefile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shape")
    ogr_write(
        folder / "plots.shp",
        np.array([box(0, 0, 90, 90).wkb], dtype=object),
        [np.array(["North"], dtype=object)],
        fields=["name"],
        driver="ESRI Shapefile",
        crs="EPSG:26917",
        geometry_type="Polygon",
    )
    return {file.name: file.read_bytes() for file in folder.iterdir()}


@pytest.mark.parametrize("suffix", [".prj", ".shx", ".dbf"])
def test_shapefile_that_lacks_a_part(tmp_path, shapefile, suffix):
    left = {n: c for n, c in shapefile.items() if not n.endswith(suffix)}
    said = refusal(zip_of(tmp_path / "plots.zip", left))
    assert f"the Shapefile plots lacks {suffix}" in said


def test_shapefile_whose_parts_are_rubbish(tmp_path, shapefile):
    rubbish = shapefile | {"plots.shp": b"\x00\x00\x27\x0a" + b"\xff" * 200}
    assert "feature 1 'North': left out: it has no outline" in refusal(
        zip_of(tmp_path / "plots.zip", rubbish)
    )


def test_shapefile_that_is_a_virtual_file(tmp_path, shapefile):
    """GDAL is shown a .shp that would make it open another file."""
    vrt = shapefile | {"plots.shp": VRT.encode(), "plots.shx": VRT.encode()}
    said = refusal(zip_of(tmp_path / "plots.zip", vrt))
    assert "root:" not in said
    assert "can't be read" in said


def test_shapefile_of_a_made_up_system(tmp_path, shapefile):
    local = shapefile | {"plots.prj": b'LOCAL_CS["site grid",UNIT["Meter",1.0]]'}
    assert "export it again" in refusal(zip_of(tmp_path / "plots.zip", local))


def test_positions_that_their_system_cannot_hold(tmp_path):
    far = tmp_path / "far.geojson"
    ring = [[9e9, 9e9], [9.1e9, 9e9], [9e9, 9.1e9], [9e9, 9e9]]
    shape = {"type": "Polygon", "coordinates": [ring]}
    written(far, collection(feature(shape), crs={"properties": {"name": "EPSG:26917"}}))
    assert "positions lie outside" in refusal(far)


def test_geopackage_that_is_another_database(tmp_path):
    import sqlite3

    path = tmp_path / "notes.gpkg"
    with sqlite3.connect(path) as db:
        db.execute("CREATE TABLE t (x)")
    db.close()
    said = refusal(path)
    assert "can't be read" in said or "without a single feature" in said


def test_geopackage_without_a_system(tmp_path):
    path = tmp_path / "g.gpkg"
    wkb = np.array([shapely.to_wkb(Polygon([(0, 0), (9, 0), (9, 9)]))], dtype=object)
    with pytest.warns(UserWarning, match="crs"):
        ogr_write(path, wkb, [], fields=[], driver="GPKG", geometry_type="Polygon")
    assert "Fencerow doesn't guess" in refusal(path) or "nowhere on earth" in refusal(path)


def test_more_features_than_a_tract_has(tmp_path):
    path = tmp_path / "g.gpkg"
    wkb = np.array([shapely.Point(n % 100, n // 400).wkb for n in range(10_001)], dtype=object)
    ogr_write(path, wkb, [], fields=[], driver="GPKG", crs="EPSG:4326", geometry_type="Point")
    assert "more than 10000 features" in refusal(path)


def child(tmp_path, text):
    return written(tmp_path / "child.py", text)


def test_a_child_that_never_ends_is_stopped(tmp_path):
    script = child(tmp_path, "import time\ntime.sleep(60)")
    with pytest.raises(
        BadInput, match=r"slow\.gpkg: reading took more than 0\.5 s and was stopped"
    ):
        guard.in_child("slow.gpkg", {}, tmp_path, seconds=0.5, script=script)


def test_a_child_that_dies_says_so(tmp_path):
    script = child(tmp_path, "import sys\nsys.exit('segment 7 is damaged')")
    with pytest.raises(BadInput, match=r"broken off.*segment 7 is damaged"):
        guard.in_child("x.gpkg", {}, tmp_path, script=script)


def test_a_child_that_eats_memory_is_stopped(tmp_path):
    """POSIX only: elsewhere the time limit alone holds."""
    pytest.importorskip("resource")
    text = guard.CHILD.read_text(encoding="utf-8").replace(
        '"vector": vector', '"vector": lambda request: {"x": len(bytearray(2 * 10**9))}'
    )
    with pytest.raises(BadInput, match="more than 500 MB of memory"):
        guard.in_child(
            "x.gpkg", {"task": "vector"}, tmp_path, memory_mb=500, script=child(tmp_path, text)
        )


def test_the_child_holds_no_driver_that_reaches_out(tmp_path):
    """What GDAL could reach other files or the network with is struck out before it starts."""
    text = """
import json, sys
request = json.load(sys.stdin)
from pyogrio import list_drivers
json.dump({"drivers": list(list_drivers())}, open(request["answer"], "w"))
"""
    drivers = set(guard.in_child("x", {}, tmp_path, script=child(tmp_path, text))["drivers"])
    assert {"GPKG", "ESRI Shapefile"} <= drivers
    assert drivers & {"OGR_VRT", "HTTP", "WFS", "OAPIF", "CSW", "GDALG", "PDF", "EEDA"} == set()


def test_nothing_is_left_behind(tmp_path, monkeypatch, shapefile):
    """The folder in which a file was unpacked is gone afterwards."""
    import tempfile

    room = tmp_path / "room"
    room.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(room))
    path = zip_of(tmp_path / "plots.zip", shapefile)
    assert len(read_ground(path, mapping=ALL_PLOTS).drafts) == 1
    assert list(Path(room).iterdir()) == []


@pytest.mark.parametrize(
    "rule", ["kind", "=plot", "kind=", "a=b=c", " = plot", " " * 130_000 + "a"]
)
def test_a_rule_of_another_form_is_refused_at_once(rule):
    with pytest.raises(BadInput) as error:
        Mapping.parse([rule])
    assert error.value.message.id == "map-form"

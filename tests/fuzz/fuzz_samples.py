"""Sound files, small, one and more of each kind: what is spoiled on the way to a door.

Nothing here is checked against what it should say; that is done beside each reader's own tests.
"""

import contextlib
import io
import json
import sqlite3
import tempfile
import zipfile
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import numpy as np
import shapely
from pyproj import Transformer

from fencerow.data import HERE
from fencerow.exchange import demo
from fencerow.plan.glance import Glance, Plot
from fencerow.store import shelf
from fencerow.store.bundle import pack
from fencerow.store.record import RECORD, create
from fencerow.tract.bodies import KINDS, About
from fencerow.tract.entry import Draft, counted_ids

DATA = Path(__file__).parents[1] / "data" / "weather"
SAID_AT = datetime(2027, 1, 12, 13, 0, tzinfo=UTC)
PLOT = shapely.Polygon([(-79.951, 36.099), (-79.949, 36.099), (-79.949, 36.101), (-79.951, 36.101)])
WALK = shapely.LineString([(-79.951, 36.098), (-79.9505, 36.0985), (-79.95, 36.1)])
CAMERA = shapely.Point(-79.9495, 36.0995)
GROUND = (("Home", "plot", PLOT), ("Way in", "access route", WALK), ("Ridge", "camera", CAMERA))


def now():
    return SAID_AT


def text(*lines):
    return ("\n".join(lines) + "\n").encode()


def plain(value):
    return json.dumps(value).encode()


# --- the record -----------------------------------------------------------------------------------


def small_tract(folder):
    """A tract of a plot, a route, a camera, a soil test and two visits."""
    store = create(folder / "small.tract", About("Small"), author="Ash", device="d", now=now,
                   ids=counted_ids("small"))  # fmt: skip
    places = [
        Draft("place", id_, {"kind": kind, "name": name, "shape": shapely.geometry.mapping(shape)})
        for id_, (name, kind, shape) in zip(("plot1", "route1", "camera1"), GROUND, strict=True)
    ]
    test = {"place": "plot1", "sampled_on": "2026-02-12", "ph": 5.6, "buffer_ph": 6.3,
            "buffer_method": "mehlich", "p": 38, "p_unit": "ppm", "k": 92, "k_unit": "ppm",
            "extractant": "mehlich3"}  # fmt: skip
    at = "2026-11-0{}T12:0{}:00Z"
    visits = [
        Draft("visit", f"visit{n}", {"camera": "camera1", "began": at.format(n, 0),
                                     "ended": at.format(n, 2), "photos": 2})
        for n in (1, 2)
    ]  # fmt: skip
    store.write([*places, Draft("soil-test", "test1", test), *visits])
    return store


def small(kit):
    """The same in the folder of a kit."""
    return small_tract(kit.folder)


@cache
def entries():
    """One entry of each kind, as a page would send it; the bodies are the invented tract's."""
    with tempfile.TemporaryDirectory() as place:
        ids = counted_ids("fuzz")
        store = create(Path(place) / "x.tract", demo.about(), author="Ash", now=now, ids=ids)
        drafts = ground_drafts(ids)
        store.write(drafts)
        things = demo.things(store.tract(), ids)
    known = {}
    for draft in [*drafts, *things, *_more(drafts[0].subject)]:
        kind = draft.body.get("kind", draft.kind) if draft.kind == "place" else draft.kind
        known.setdefault(kind, row(draft.kind, draft.subject, dict(draft.body)))
    missing = set(KINDS) - {r["kind"] for r in known.values()}
    assert not missing, f"no sound sample of {missing}"
    return tuple(known.values())


def ground_drafts(ids):
    from fencerow.exchange.ground import read_ground

    return list(read_ground(demo.GROUND, ids=ids).drafts)


def _more(place):
    """The kinds that the invented record does not hold."""
    bodies = {
        "about": {"name": "Small", "state": "NC"},
        "note": {"about": "rain", "amount": 0.4, "unit": "in", "text": "gauge"},
        "undo": {"entries": ["e1"]},
        "remove": {"why": "drawn twice"},
        "done": {"task": f"mow.{place}"},
        "card": {"camera": "camera1", "read_on": "2026-11-05", "photos": 3, "kept": 2},
        "visit": {"camera": "camera1", "began": "2026-11-01T12:00:00Z",
                  "ended": "2026-11-01T12:02:00Z", "photos": 2, "does": 1},
        "dataset": {"role": "weather", "name": "days.csv", "sha256": "0" * 64, "format": "x"},
        "soil-test": {"place": "plot1", "sampled_on": "2026-02-12", "ph": 5.6},
        "spending": {"most_usd": 400, "places": [place]},
    }  # fmt: skip
    return [Draft(kind, f"s-{kind}", body) for kind, body in bodies.items()]


def row(kind, subject, body):
    return {
        "id": f"id-{subject}", "kind": kind, "schema": KINDS[kind][0], "subject": subject,
        "parents": [], "author": "Ash", "device": "phone", "said_at": "2027-01-12T15:00:00.250Z",
        "happened_on": "2027-01-12", "batch": f"b-{subject}", "visibility": "all", "body": body,
    }  # fmt: skip


@cache
def bundle():
    with tempfile.TemporaryDirectory() as place:
        store = small_tract(Path(place))
        store.keep_file(b"a,b\n1,2\n", "attachment")
        (store.folder / "tables").mkdir()
        (store.folder / "tables" / "species_ph.csv").write_text(
            "sp,bound,soil_ph,source,basis\nclover_white,target,6.2,judgement,common practice\n"
        )
        return pack(store, Path(place) / "all.zip").read_bytes()


@cache
def record_db():
    with tempfile.TemporaryDirectory() as place:
        store = small_tract(Path(place))
        store.rebuild()
        return _at_rest(store.folder / RECORD)


@cache
def account_db():
    from fencerow.web.account_file import FILE
    from fencerow.web.accounts import Accounts

    with tempfile.TemporaryDirectory() as place:
        Accounts(Path(place)).invite("owner", "Ash")
        return _at_rest(Path(place) / FILE)


def _at_rest(file):
    with contextlib.closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
    return file.read_bytes()


def answers():
    head = {"fencerow_answers": 1, "pack": "p", "name": "Juniper", "tract": tract_id(),
            "saved_at": "2026-11-02T09:00:00Z"}  # fmt: skip
    kinds = ("note", "done", "count", "outing", "application")
    rows = [r for r in entries() if r["kind"] in kinds]
    return [plain({**head, "entries": rows}), plain({**head, "entries": rows[:1]})]


@cache
def tract_id():
    with tempfile.TemporaryDirectory() as place:
        return small_tract(Path(place)).entries()[0].id


def tags():
    head = "visit,camera,time,until,photos,file,does,bucks,fawns,unknown,animals,other,note"
    return [
        text(head, "visit1,Ridge,2026-11-01 07:00:00,,2,,1,0,0,,split tine; long left,,at dawn"),
        text("file;does;bucks", "IMG_1.JPG;1;", "IMG_2.JPG;;2"),
        text("camera\ttime\tother", "Ridge\t2026-11-02T12:00:00+00:00\tfox"),
    ]


# --- tables ---------------------------------------------------------------------------------------


def soil_tests():
    from fencerow.exchange.soil_tests import template

    return [
        demo.SOIL_TESTS.read_bytes(),
        text(template().splitlines()[-2], template().splitlines()[-1].removeprefix("# ")),
        text("Place;Sampled on;pH", "Home;2026-02-12;5.6", "Home;2026-02-13;6.1"),
    ]


def tables():
    """A table's name, a line break, its content."""
    picked = ("species_ph", "seeding_rates", "materials", "visit_settings")
    return [f"{n}\n".encode() + _head(HERE / f"{n}.csv", 9) for n in picked]


def systems():
    """A folder of recommendations: its files one after another, parted by a form feed."""
    found = []
    for folder in sorted((HERE / "systems").iterdir()):
        if (folder / "system.toml").is_file():
            files = [f for f in sorted(folder.iterdir()) if f.suffix in (".csv", ".toml")]
            found.append(b"\f".join(f.name.encode() + b"\n" + f.read_bytes() for f in files))
    return sorted(found, key=len)[:2]


def cases():
    return [f.read_bytes() for f in sorted((HERE / "checks").glob("*.toml"))[:3]]


def _head(file, count):
    return b"\n".join(file.read_bytes().splitlines()[:count]) + b"\n"


# --- weather --------------------------------------------------------------------------------------


def daily():
    fixed = _head(DATA / "ghcnd-USC00368449-2006-02.dly", 4)
    station = (
        "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES"
    )
    return [
        fixed,
        text("USC00368449,20060201,TMAX,78,,,7,0700", "USC00368449,20060202,PRCP,3,T,,7,",
             "USC00368449,20060203,TMIN,-9999,,,7,"),
        text(station, 'XX000PLOVER,2006-02-01,47.31,-90.61,240,"A, B",12,",,X",50,",,X,0700"',
             'XX000PLOVER,2006-02-03,47.31,-90.61,240,"A, B",0,"T,,X",,'),
    ]  # fmt: skip


def hourly():
    from test_weather_ghcnh import HEAD
    from test_weather_ghcnh import row as report
    from test_weather_isd import REPORTS, as_csv, as_fixed

    return [
        text("|".join(HEAD), report("2023-06-01T12:51:00", temperature="23.3", wind_speed="9.3",
             wind_direction="180", sky_cover_1="FEW:02"), report("2023-06-01T15:00:00",
             temperature="25.0", precipitation="0.5")),
        text(*as_fixed(*REPORTS[:2])),
        text(*as_csv(*REPORTS[:2])),
        _head(DATA / "isd-720534-00161-2025-01-01", 3),
    ]  # fmt: skip


TMY3_HOURS = 48


def typical():
    head = ("Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),TotCld (tenths),Dry-bulb (C),"
            "Dew-point (C),RHum (%),Pressure (mbar),Wdir (degrees),Wspd (m/s),"
            "CeilHgt (m)")  # fmt: skip
    rows = [
        f"01/0{1 + h // 24}/1988,{h % 24 + 1:02d}:00,0,3,{h / 10},-4,75,990,{h * 7},2.1,77777"
        for h in range(TMY3_HOURS)
    ]
    return [text('999999,"NOWHERE AP",MN,-6.0,47.31,-90.61,240', head, *rows)]


def forecasts():
    from test_weather_forecast import grid, opened

    spans = [("2027-03-01T00:00:00+00:00/PT3H", 4.5), ("2027-03-01T03:00:00+00:00/P1DT2H", None)]
    layers = {"temperature": ("degC", spans), "windSpeed": ("km_h-1", spans[:1]),
              "quantitativePrecipitation": ("mm", spans),
              "windDirection": ("degree_(angle)", spans)}  # fmt: skip
    whole = json.loads((DATA / "nws-gridpoint-2022-02-03.json").read_text())
    few = {n: ({**v, "values": v["values"][:3]} if isinstance(v, dict) and "values" in v else v)
           for n, v in whole["properties"].items()}  # fmt: skip
    return [plain(grid(**layers)), plain(opened()), plain({**whole, "properties": few})]


def points():
    return [plain({"properties": {"gridId": "ABC", "gridX": 12, "gridY": 34}}), *forecasts()]


# --- ground ---------------------------------------------------------------------------------------


def geojson():
    rows = [
        {"type": "Feature", "properties": {"name": n, "kind": k, "note": "x"},
         "geometry": shapely.geometry.mapping(g)}
        for n, k, g in GROUND
    ]  # fmt: skip
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32617"}}
    here = Transformer.from_crs(4326, 32617, always_xy=True).transform(-79.95, 36.1)
    several = shapely.GeometryCollection([CAMERA, shapely.MultiPolygon([PLOT])])
    return [
        plain({"type": "FeatureCollection", "features": rows}),
        plain({"type": "FeatureCollection", "crs": crs, "features": [
            {"type": "Feature", "properties": {"name": "Ridge camera"},
             "geometry": {"type": "Point", "coordinates": list(here)}}]}),
        plain({"type": "Feature", "properties": {"type": "camera"},
               "geometry": shapely.geometry.mapping(several)}),
    ]  # fmt: skip


KML = """<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><name>Plots</name>
<Placemark><name>Home plot</name><ExtendedData><Data name="kind"><value>plot</value></Data>
</ExtendedData><Polygon><outerBoundaryIs><LinearRing><coordinates>
-79.951,36.099,0 -79.949,36.099,0 -79.949,36.101,0 -79.951,36.101,0 -79.951,36.099,0
</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Folder>
<Placemark><name>trail cam 3</name><Point><coordinates>-79.9495,36.0995</coordinates></Point>
</Placemark><NetworkLink><Link><href>canary.kml</href></Link></NetworkLink>
<Placemark><name>access</name><MultiGeometry><LineString><coordinates>-79.95,36.1 -79.951,36.11
</coordinates></LineString></MultiGeometry></Placemark></Document></kml>
"""
GPX = """<?xml version="1.0"?>
<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="36.0995" lon="-79.9495"><ele>240</ele><name>Ridge camera</name><sym>Camera</sym></wpt>
<rte><name>Way in</name><type>access route</type><rtept lat="36.098" lon="-79.951"/>
<rtept lat="36.1" lon="-79.95"/></rte><trk><name>trail</name><trkseg>
<trkpt lat="36.098" lon="-79.951"/><trkpt lat="36.1" lon="-79.95"/></trkseg></trk></gpx>
"""


def kml():
    return [KML.encode()]


def gpx():
    return [GPX.encode()]


def kmz():
    return [zipped({"doc.kml": KML.encode(), "files/picture.png": b"\x89PNG"})]


def zipped(files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


@cache
def shapefiles():
    with tempfile.TemporaryDirectory() as place:
        write_layers(Path(place), "ESRI Shapefile")
        files = {f.name: f.read_bytes() for f in sorted(Path(place).iterdir())}
    plot = {n: c for n, c in files.items() if n.startswith("plot")}
    return (zipped(files), zipped({**plot, "plot.cpg": b"ISO-8859-1"}))


@cache
def geopackages():
    with tempfile.TemporaryDirectory() as place:
        write_layers(Path(place) / "ground.gpkg", "GPKG")
        return ((Path(place) / "ground.gpkg").read_bytes(),)


def write_layers(path, driver):
    from pyogrio.raw import write

    for name, kind, shape in GROUND:
        layer = kind.replace(" ", "_")
        write(
            path / f"{layer}.shp" if path.is_dir() else path, np.array([shape.wkb], dtype=object),
            [np.array([name], dtype=object), np.array([kind], dtype=object)],
            fields=["name", "kind"], layer=layer, driver=driver, crs="EPSG:4326",
            geometry_type=shape.geom_type, append=path.is_file(),
        )  # fmt: skip


@cache
def geotiffs():
    """Small ones: plain, packed in tiles, and in feet."""
    import rasterio

    heights = (250 + np.add.outer(np.arange(48), np.arange(48)) / 10).astype("float32")
    more = ({}, {"tiled": True, "blockxsize": 16, "blockysize": 16, "compress": "deflate",
                 "predictor": 3}, {"compress": "lzw", "nodata": -9999})  # fmt: skip
    found = []
    with tempfile.TemporaryDirectory() as place:
        for number, how in enumerate(more):
            path = Path(place) / f"{number}.tif"
            corner = rasterio.Affine(0.0001, 0, -79.9525, 0, -0.0001, 36.1025)
            with rasterio.open(
                path,
                "w",
                driver="GTiff",
                width=48,
                height=48,
                count=1,
                dtype="float32",
                crs="EPSG:4326",
                transform=corner,
                **how,
            ) as file:
                file.write(heights, 1)
            found.append(path.read_bytes())
    return tuple(found)


@cache
def lidar(ending):
    import laspy
    from pyproj import CRS

    header = laspy.LasHeader(point_format=6, version="1.4")
    header.add_crs(CRS.from_epsg(32617))
    at = np.array(Transformer.from_crs(4326, 32617, always_xy=True).transform(-79.95, 36.1))
    header.scales, header.offsets = [0.001] * 3, [*np.floor(at), 0]
    las = laspy.LasData(header)
    dice = np.random.default_rng(1)
    las.x, las.y = (a + dice.uniform(-90, 90, 600) for a in at)
    las.z, las.classification = dice.uniform(240, 250, 600), np.full(600, 2, np.uint8)
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / f"points.{ending}"
        las.write(path)
        return (path.read_bytes(),)


# --- pictures -------------------------------------------------------------------------------------


@cache
def photos():
    from PIL import Image

    exif = Image.Exif()
    exif[0x0112], exif[0x0132] = 6, "2026:11:01 07:00:00"
    exif.get_ifd(0x8769)[0x9003] = "2026:11:01 07:00:00"
    exif.get_ifd(0x8769)[0x9011] = "-05:00"
    exif.get_ifd(0x8825)[2] = (36.0, 6.0, 0.0)
    made = []
    for form, mode in (("JPEG", "RGB"), ("JPEG", "CMYK"), ("PNG", "RGBA"), ("PNG", "P"),
                       ("WEBP", "RGB")):  # fmt: skip
        out = io.BytesIO()
        Image.linear_gradient("L").resize((40, 30)).convert(mode).save(out, form, exif=exif)
        made.append(out.getvalue())
    return tuple(made)


def cards():
    pictures = {f"DCIM/IMG_{n}.JPG": photos()[0] for n in range(3)}
    return [zipped({**pictures, "DCIM/IMG_9.AVI": b"RIFF", "DCIM/._IMG_0.JPG": b"x"})]


def journals():
    said = {"sha256": "0" * 64, "at": "2026-11-01T07:00:00", "offset_min": -300.0}
    return [text(*(json.dumps([f"DCIM/IMG_{n}.JPG|{len(photos()[0])}|{n}", said]) for n in (1, 2)))]


def listings():
    return [text("file,sha256,taken_utc,visit,wrong", f"IMG_1.JPG,{'0' * 64},x,visit1,")]


def memos():
    memo = {"url": "https://x.example/a", "at": "2027-01-12T13:00:00+00:00",
            "validators": {"If-None-Match": '"1"'}}  # fmt: skip
    return [plain({"nws": memo, "open": memo})]


def addresses():
    return [b"postgresql://keeper@127.0.0.1:5432/club/north?sslmode=require"]


def glances():
    told = Glance((Plot("Home", 1.5, "a.b"),), (), (), (), ())
    kept = shelf.Kept("key", date(2027, 2, 1), 3, {"us en": told})
    return [shelf._ALL.dump_json({"everything": kept})]


def typed():
    """What a person types of a file: rules of a map, moments of a clock, fields of an entry."""
    return [
        text("kind=LANDUSE", "*=cover", "LANDUSE:food=plot"),
        text("IMG_1.JPG=2026-11-01 07:00", "IMG_2.JPG=2026-11-01T07:00:30"),
        text("name=Home", "ph=5.6", 'places=["a"]', 'shape={"type":"Point"}'),
    ]


def outlines():
    """Two shapes, as the page sends them to split one by the other."""
    line = shapely.LineString([(-79.952, 36.1), (-79.948, 36.1)])
    return [
        plain({"shape": shapely.geometry.mapping(PLOT), "line": shapely.geometry.mapping(line)})
    ]

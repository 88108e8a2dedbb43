"""Every way in, in one table: what comes through it, which modules it reads with, how it is called.

`test_fuzz.py` fails where a module of the package reads something and stands neither here nor in
`OURS`, and where a route of the API has no sound request in `fuzz_requests.py`.
"""

import random
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from unittest.mock import patch
from zoneinfo import ZoneInfo

import fuzz_mutations as ways
import fuzz_requests as requests
import fuzz_samples as sound
from fuzz_forked import in_fork
from fuzz_guards import Kit
from shapely.geometry import box

from fencerow.data import HERE, read_table, table_forms
from fencerow.data.systems import load_system
from fencerow.exchange import elevation, soil_tests
from fencerow.exchange.cards import tags
from fencerow.exchange.cards.files import source_of
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.listing import Line, read_listings
from fencerow.exchange.cards.preview import preview
from fencerow.exchange.cards.reading import read_card, read_photo
from fencerow.exchange.cards.settled import Clock, settle
from fencerow.exchange.checks import read_cases
from fencerow.exchange.ground import Mapping, guard, read_ground
from fencerow.exchange.weather import fetch, is_forecast, read_weather, tmy3
from fencerow.store import asking, backups, shelf
from fencerow.store.address import ADDRESS, Address
from fencerow.store.answers import bring_answers, is_answers
from fencerow.store.bundle import join, unpack
from fencerow.store.cards import asked_of
from fencerow.store.record import RECORD, Store
from fencerow.web import intake, photos
from fencerow.web.account_file import FILE as ACCOUNTS
from fencerow.web.accounts import Accounts

Call = Callable[[Kit, bytes], object]


@dataclass(frozen=True)
class Door:
    """A way in.

    `names` is what every sentence about an input must name; `share` of a thousand inputs come here;
    `blind` where its reader is native, so that no coverage guides the inputs.
    """

    name: str
    reads: tuple[str, ...]
    samples: Callable[[], Sequence[bytes]]
    call: Call
    ways: tuple = ways.TEXT
    names: str = ""
    share: float = 40
    blind: bool = False

    def spoiled(self, choose):
        found = list(self.samples())
        first = found[choose(len(found))]
        return ways.spoiled(first, found, choose, self.ways)

    def by_seed(self, seed):
        return self.spoiled(random.Random(seed).randrange)


# --- files that are imported ----------------------------------------------------------------------


def soil_test_file(kit, data):
    path = kit.written("in.csv", data)
    soil_tests.is_soil_test_file(path)
    return soil_tests.read_soil_tests(path, {"Home": "plot1", "North Bench": "plot2"})


def tag_file(kit, data):
    path, tract = kit.written("in.csv", data), kit.once(folded)
    tags.is_tags_file(path)
    lines = [Line("DCIM/IMG_1.JPG", "0" * 64, "visit1"), Line("IMG_2.JPG", "1" * 64, "visit2")]
    return tags.read_tags(path, tract, lines)


def folded(kit):
    return kit.once(sound.small).tract()


def table_file(kit, data):
    name, _, content = data.partition(b"\n")
    form = table_forms().get(name.decode("latin-1"), table_forms()["species_ph"])
    return len(read_table(kit.written("in.csv", content), form).rows)


def system_folder(kit, data):
    folder = kit.folder / "own"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for part in data.split(b"\f"):
        name, _, content = part.partition(b"\n")
        # the names are ours: a person names the files of their own folder
        known = {p.name: p for p in (HERE / "systems").glob("*/*") if p.is_file()}
        if (name := name.decode("latin-1")) in known:
            (folder / name).write_bytes(content)
    return load_system(folder).id


def case_file(kit, data):
    return len(read_cases(kit.written("in.toml", data)))


def weather_file(kit, data):
    path = kit.written("in.dat", data)
    is_forecast(path)
    return read_weather(path).report


def typical_file(kit, data):
    # a year of two days, or every input would take a second
    with patch.object(tmy3, "_HOURS", sound.TMY3_HOURS):
        return read_weather(kit.written("in.csv", data)).report


def ground_file(ending):
    def call(kit, data):
        found = read_ground(kit.written(f"in.{ending}", data), mapping=Mapping.parse(["*=cover"]))
        return found.drafts, [str(m) for m in found.report.messages()]

    return call


def forked_ground(ending):
    def call(kit, data):
        with patch.object(guard, "in_child", in_fork(kit)):
            return ground_file(ending)(kit, data)

    return call


TRACT = box(-79.951, 36.099, -79.949, 36.101)


def elevation_file(ending):
    def call(kit, data):
        path = kit.written(f"in.{ending}", data)
        with patch.object(elevation.guard, "in_child", in_fork(kit)):
            found = elevation.read_elevation(path, [TRACT], margin_m=20.0, vertical_unit="m")
        return found.elevation_m.shape, found.system, found.notes

    return call


def answer_file(kit, data):
    store = pristine(kit)
    path = kit.written("in.json", data)
    is_answers(path)
    return bring_answers(store, path)


# --- the folder of a tract ------------------------------------------------------------------------


def pristine(kit, content=None):
    """The small tract as it was, or with another record in it."""
    store = kit.once(sound.small)
    for end in ("-wal", "-shm"):
        (store.folder / f"{RECORD}{end}").unlink(missing_ok=True)
    (store.folder / RECORD).write_bytes(content or sound.record_db())
    return store


def record_file(kit, data):
    store = pristine(kit, data)
    opened = Store.open(store.folder)
    return opened.verify(), opened.tract().conflicts


def copy_file(kit, data):
    store = pristine(kit, b"no record any more")
    (store.folder / "backups").mkdir(exist_ok=True)
    for old in (store.folder / "backups").glob("set-aside-*"):
        shutil.rmtree(old)
    copy = store.folder / "backups" / "record-2027-01-01.db"
    copy.write_bytes(data)
    try:
        return backups.restore(store.folder, copy).lost
    finally:
        copy.unlink(missing_ok=True)


def damaged_file(kit, data):
    """A damaged record beside a sound copy: what can still be read is added to the copy."""
    store = pristine(kit, data)
    home = store.folder / "backups"
    home.mkdir(exist_ok=True)
    for old in home.glob("set-aside-*"):
        shutil.rmtree(old)
    (home / "record-2027-01-01.db").write_bytes(sound.record_db())
    return backups.restore(store.folder).lost


def account_file(kit, data):
    folder = kit.folder / "accounts"
    folder.mkdir(exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    (folder / ACCOUNTS).write_bytes(data)
    accounts = Accounts(folder)
    accounts.signed_in("x")
    return accounts.all()


def bundle_file(kit, data):
    path, folder = kit.written("in.zip", data), kit.folder / "made.tract"
    shutil.rmtree(folder, ignore_errors=True)
    made = unpack(path, folder, "Ash", sound.now)
    return made.tract().about.body.name


def joined_file(kit, data):
    done = join(pristine(kit), kit.written("in.zip", data))
    return done.receipt, done.conflicts


def journal_file(kit, data):
    with source_of(kit.written("card.zip", kit.once(one_card))) as source:
        photos_read = read_card(source, Journal(kit.written("j.jsonl", data)), _go_on)
    return len(photos_read)


def one_card(_):
    return sound.cards()[0]


def _go_on(*_):
    pass


def listing_file(kit, data):
    return read_listings([kit.written("in.csv", data)])


def memo_file(kit, data):
    kit.written(".asked.json", data)
    found = asking._asked(kit.folder)  # the memo has no other door
    return [asking._minutes_since(memo, sound.now()) for memo in found.values()]


def address_file(kit, data):
    kit.written(ADDRESS, data)
    return str(Address.of_folder(kit.folder))


def glances_file(kit, data):
    kit.written(shelf.KEPT, data)
    return shelf.kept(kit.folder)


# --- what is asked for, sent, or typed ------------------------------------------------------------


def answer_of_a_service(kit, data):
    def get(url, line, known=None):
        # a forecast is asked for by a sound answer about its place
        where = "/points/" in url and (b"validTime" in data or b"hourly" in data)
        return fetch.Answer(url, sound.points()[0] if where else data)

    with patch.object(fetch, "get", get):
        line = fetch.Line(sleep=lambda _: None)
        answer = fetch.ask("nws", "https://weather.example", 36.1, -79.95, line)
        return asking._read(answer, sound.now()).report


def photo_file(kit, data):
    photos.examined(data)
    return len(photos.shown(kit.written("in.jpg", data)))


def card_file(kit, data):
    with source_of(kit.written("in.zip", data)) as source:
        found = read_card(source, Journal(kit.folder / "none.jsonl", fresh=True), _go_on)
        settled = settle(found, Clock({}), ZoneInfo("America/Chicago"), sound.now(), 30.0, set())
        for photo in found[:3]:
            if photo.at is not None:
                with source.open(photo.name) as opened:
                    preview(opened)
    return settled.said


def sent_photo(kit, data):
    path = kit.written("in.jpg", data)
    with path.open("rb") as opened:
        found = read_photo("IMG_1.JPG", opened)
    with path.open("rb") as opened:
        preview(opened)
    return found


def typed_words(_, data):
    from fencerow.cli.enter import read_fields

    words = data.decode("utf-8", "replace").split("\n")
    with_equals = [w for w in words if w.strip()]
    for read in (
        Mapping.parse,
        read_fields,
        lambda w: asked_of("Ridge", w, "as set", 30, None, ""),
    ):
        try:
            read(with_equals)
        except Exception as error:
            if not hasattr(error, "message"):
                raise
            str(error).encode()
    return len(words)


def entries_of_a_page(kit, data):
    """The sync door: some entries, held to their forms, taken in and folded."""
    found = requests.as_json(data)
    rows = found if isinstance(found, list) else [found]
    store = pristine(kit)
    receipt = intake.take(store, [r for r in rows if isinstance(r, dict)], "Ash", {})
    requests.sendable(receipt)
    if receipt["stored"]:
        requests.sendable([k.body for k in store.folded().tract.notes.values()])
    return receipt["stored"]


def rows_of_a_page():
    return [sound.plain([row]) for row in sound.entries()]


ZIPPED = ways.ZIPS
DOORS = (
    Door("soil tests", ("exchange.soil_tests",), sound.soil_tests, soil_test_file,
         names="in.csv", share=80),
    Door("tags", ("exchange.cards.tags",), sound.tags, tag_file, names="in.csv", share=90),
    Door("own tables", ("data.__init__",), sound.tables, table_file, names="in.csv", share=90),
    Door("own systems", ("data.systems", "data.toml_file"), sound.systems, system_folder,
         share=8),
    Door("cases", ("data.toml_file",), sound.cases, case_file, names="in.toml", share=10),
    Door("daily weather", ("exchange.weather.ghcn", "exchange.weather._text"), sound.daily,
         weather_file, names="in.dat", share=130),
    Door("hourly weather", ("exchange.weather.isd",), sound.hourly,
         weather_file, names="in.dat", share=130),
    Door("typical year", ("exchange.weather.tmy3",), sound.typical, typical_file, names="in.csv",
         share=40),
    Door("forecasts", ("exchange.weather._json",), sound.forecasts, weather_file, ways.JSON,
         names="in.dat", share=50),
    Door("forecast service", ("exchange.weather.fetch",), sound.points, answer_of_a_service,
         ways.JSON, share=30),
    Door("GeoJSON", ("exchange.ground.geojson", "exchange.ground.__init__",
                     "exchange.ground.sniff"), sound.geojson, ground_file("geojson"), ways.JSON,
         names="in.geojson", share=60),
    Door("KML", ("exchange.ground.markup",), sound.kml, ground_file("kml"), names="in.kml",
         share=90),
    Door("GPX", ("exchange.ground.markup",), sound.gpx, ground_file("gpx"), names="in.gpx",
         share=90),
    Door("KMZ", ("exchange.ground.archive",), sound.kmz, ground_file("kmz"), ZIPPED,
         names="in.kmz", share=12),
    Door("Shapefile", ("exchange.ground.child", "exchange.ground.vector",
                       "exchange.ground.guard"), sound.shapefiles, forked_ground("zip"), ZIPPED,
         names="in.zip", share=2, blind=True),
    Door("GeoPackage", ("exchange.ground.child",), sound.geopackages, forked_ground("gpkg"),
         ways.BYTES, names="in.gpkg", share=0.7, blind=True),
    Door("GeoTIFF", ("exchange.ground.child", "exchange.elevation"), sound.geotiffs,
         elevation_file("tif"), ways.BYTES, names="in.tif", share=1, blind=True),
    Door("LAS", ("exchange.ground.points",), lambda: sound.lidar("las"), elevation_file("las"),
         ways.BYTES, names="in.las", share=0.4, blind=True),
    Door("LAZ", ("exchange.ground.points",), lambda: sound.lidar("laz"), elevation_file("laz"),
         ways.BYTES, names="in.laz", share=0.3, blind=True),
    Door("photos", ("web.photos",), sound.photos, photo_file, ways.BYTES, share=20, blind=True),
    Door("photos of a card", ("exchange.cards.reading", "exchange.cards.preview"), sound.photos,
         sent_photo, ways.BYTES, share=40),
    Door("cards", ("exchange.cards.files",), sound.cards, card_file, ZIPPED,
         share=6),
    Door("journals of cards", ("exchange.cards.journal", "store.sent_cards"), sound.journals,
         journal_file, share=8),
    Door("lists of cards", ("exchange.cards.listing",), sound.listings, listing_file, share=30),
    Door("answers of a pack", ("store.answers",), sound.answers, answer_file, ways.JSON,
         share=8),
    Door("bundles", ("store.bundle",), lambda: [sound.bundle()], bundle_file, ZIPPED, share=0.7),
    Door("joined bundles", ("store.bundle",), lambda: [sound.bundle()], joined_file, ZIPPED,
         share=4),
    Door("records", ("store.log", "store.sqlite", "store.projection"),
         lambda: [sound.record_db()], record_file, ways.BYTES, share=2),
    Door("copies", ("store.backups", "store.sqlite"), lambda: [sound.record_db()], copy_file,
         ways.BYTES, share=1),
    Door("damaged records", ("store.backups",), lambda: [sound.record_db()], damaged_file,
         ways.BYTES, share=0.6),
    Door("accounts", ("web.account_file",), lambda: [sound.account_db()], account_file, ways.BYTES,
         share=5),
    Door("memos", ("store.asking",), sound.memos, memo_file, ways.JSON, share=40),
    Door("addresses", ("store.address",), sound.addresses, address_file, share=20),
    Door("glances", ("store.shelf",), sound.glances, glances_file, ways.JSON, share=20),
    Door("typed words", ("cli.enter",), sound.typed, typed_words, share=20),
    Door("entries", ("store.log",), rows_of_a_page, entries_of_a_page, ways.JSON, share=40),
    Door("requests", ("web.api",), requests.samples, requests.asked, ways.JSON, share=12),
    Door("plans", ("web.api",), requests.plan_samples, requests.planned, ways.JSON, share=1.5),
)  # fmt: skip

OURS = MappingProxyType(
    {
        "cli.__init__": "opens tracts, by the store's own door",
        "cli.database": "reads back the address that it has just written",
        "cli.tracts": "opens tracts, by the store's own door",
        "store.database": "asks a database that its owner named",
        "store.postgres": "asks a database that its owner named",
        "web.shelf": "opens tracts, by the store's own door",
        "cli.keeping": "opens tracts, by the store's own door",
        "cli.people": "opens tracts, by the store's own door",
        "cli.weather": "opens tracts, by the store's own door",
        "exchange.demo.__init__": "reads what ships with the package",
        "exchange.demo.card": "reads back what it has just written",
        "exchange.demo.weather": "writes",
        "exchange.siting_tif": "writes",
        "packet.field.page": "reads what ships with the package",
        "store.cards": "hands what `cards` opened on to what reads it",
        "store.files": "copies bytes, and looks into none",
        "web.cards": "opens tracts, by the store's own door",
        "web.desk": "opens tracts, by the store's own door",
        "web.house": "opens tracts, by the store's own door",
        "web.lan.addresses": "asks the system for its own address",
        "web.lan.authority": "reads keys and certificates of the server's own, in no tract",
        "web.lan.door": "opens a session, no file",
        "web.lan.serve": "reads keys and certificates of the server's own, in no tract",
        "web.relief": "writes a picture",
        "web.serve": "opens a browser",
        "words.__init__": "reads what ships with the package",
    }
)
"""What reads something, and why nobody hostile wrote it."""

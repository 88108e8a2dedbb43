"""Files that broke a reader once, each in its smallest form: one sentence, and nothing taken."""

import io
import json
import struct
import zipfile
import zlib
from contextlib import suppress
from datetime import UTC, datetime
from time import process_time

import pytest

from fencerow.cli.enter import read_fields
from fencerow.data import read_table, table_forms
from fencerow.data.system_head import read_head
from fencerow.exchange.cards.files import Listed, source_of
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.listing import read_listings
from fencerow.exchange.cards.reading import read_card
from fencerow.exchange.checks import read_cases
from fencerow.exchange.ground import kml, points, read_ground
from fencerow.exchange.soil_tests import read_soil_tests
from fencerow.exchange.weather import read_weather
from fencerow.exchange.weather._hours import number_of
from fencerow.store import asking
from fencerow.store.bundle import unpack
from fencerow.store.sent_cards import Sent
from fencerow.web import photos
from fencerow.words import BadInput


def zipped(name, content=b"x" * 300):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def changed(data, field, value):
    """A zip of one member with a field of its table of contents changed."""
    at = data.index(b"PK\x01\x02")
    offset, form = {"flags": (8, "<H"), "name length": (28, "<H"), "header": (42, "<I")}[field]
    made = bytearray(data)
    struct.pack_into(form, made, at + offset, value)
    if field == "flags":
        struct.pack_into(form, made, 6, value)
    return bytes(made)


def nameless(data):
    """The same, its member without a name in the table of contents."""
    at = data.index(b"PK\x01\x02")
    made = bytearray(changed(data, "name length", 0))
    name = len(made) - 22 - at - 46
    struct.pack_into("<H", made, at + 30, name)  # its letters become an extra field
    return bytes(made)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: changed(d, "flags", 0x20),  # patched data, which no reader here knows
        lambda d: changed(d, "flags", 0x1),  # behind a password
        lambda d: changed(d, "header", 2**31),  # its content beyond the end of the file
        lambda d: d[:40] + b"\xff" * 8 + d[48:],
        nameless,
        lambda d: d[:-30],
    ],
)
def test_a_zip_that_lies_is_refused_by_every_reader(tmp_path, spoil):
    for name, inside in (("a.kmz", "doc.kml"), ("a.zip", "a.shp"), ("b.zip", "record.jsonl")):
        path = tmp_path / name
        path.write_bytes(spoil(zipped(inside)))
        if name != "b.zip":
            with pytest.raises(BadInput, match=name):
                read_ground(path)
        with pytest.raises(BadInput, match=name):
            unpack(path, tmp_path / "made.tract", "Ash", lambda: datetime.now(UTC))
        assert not (tmp_path / "made.tract").exists()
        with suppress(BadInput), source_of(path) as source:
            journal = Journal(tmp_path / "j", fresh=True)
            assert all(p.at is None for p in read_card(source, journal, lambda *_: None))


@pytest.mark.parametrize(
    "content",
    [
        b"STATION,\rTMP,WND\n1",
        b"\nDate (MM/DD/YYYY),\n",
        b'1,"a\rb\nDate (MM/DD/YYYY),x\n',
    ],
)
def test_a_lone_carriage_return_is_no_line_of_weather(tmp_path, content):
    path = tmp_path / "days.csv"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=r"days\.csv"):
        read_weather(path)


@pytest.mark.parametrize(
    "content", [b"\xff", b"file,sha256,taken_utc,visit,wrong\n" + b"x" * 140_000]
)
def test_a_list_of_a_card_that_is_none(tmp_path, content):
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=r"list\.csv"):
        read_listings([path])


@pytest.mark.parametrize(
    "said",
    [
        {"at": "yesterday"},
        {"at": "2026-11-01T07:00:00+00:00"},
        {"offset_min": "x"},
        {"offset_min": 1e300},
        {"sha256": 5},
        {"name": "twice"},
    ],
)
def test_a_journal_that_says_what_no_photo_can_is_read_over(tmp_path, said):
    with zipfile.ZipFile(tmp_path / "card.zip", "w") as card:
        card.writestr("a.jpg", b"x")
    with source_of(tmp_path / "card.zip") as source:
        key = source.files()[0].key
        (tmp_path / "j").write_text(json.dumps([key, said]) + "\n" + "[" * 100_000 + "\n")
        found = read_card(source, Journal(tmp_path / "j"), lambda *_: None)
    assert [(p.name, p.wrong) for p in found] == [("a.jpg", "cards-not-jpeg")]


def test_a_journal_leads_to_no_other_file(tmp_path):
    (tmp_path / "secret").write_text("secret")
    (tmp_path / "card").mkdir()
    file = Listed("a.jpg", 1, 2)
    journal = Journal(tmp_path / "card" / "journal.jsonl")
    for held in ("../secret", "", "/etc/passwd", "."):
        journal.add(file.key, {"sha256": held})
        with pytest.raises(FileNotFoundError):
            Sent(tmp_path / "card", (file,), journal).open("a.jpg")


def test_a_name_without_end_makes_no_sentence_without_end(tmp_path):
    path = tmp_path / "tests.csv"
    path.write_text("x" * 90_000 + ",place\n")
    with pytest.raises(BadInput, match=r"tests\.csv") as caught:
        read_soil_tests(path, {})
    assert len(str(caught.value)) < 20_000


def test_points_that_a_file_has_no_room_for_are_not_looked_for(tmp_path):
    """A packed file of 6 kB that claimed 300 million kept the reader busy for minutes."""

    class Claims:
        point_count = 300_000_000

    class Source:
        header = Claims()

        def __enter__(self):
            return self

        def __exit__(self, *_):
            pass

    class Laspy:
        class LazBackend:
            Lazrs = None

        @staticmethod
        def open(*_, **__):
            return Source()

    def wrong(message, **params):
        return BadInput(message, file="a.laz", **params)

    (tmp_path / "a.laz").write_bytes(b"LASF" + b"\0" * 6000)
    with pytest.raises(BadInput, match="300000000 points, which is more than its 6004 bytes"):
        points._read(Laspy, {"path": str(tmp_path / "a.laz")}, wrong)


HEAD = "sp,bound,soil_ph,source,basis\n"


@pytest.mark.parametrize(
    "rows",
    [
        'clover_white,target,"6.2,judgement,common practice\nchicory,target,6.2,judgement,x',
        "clover_white,target," + "9" * 140_000 + ",judgement,common practice",
        "clover_white,target,6.2\rjudgement,common practice",
    ],
)
def test_a_table_of_ones_own_that_is_no_csv(tmp_path, rows):
    (tmp_path / "species_ph.csv").write_text(HEAD + rows)
    with pytest.raises(BadInput, match=r"species_ph\.csv row 2"):
        read_table(tmp_path / "species_ph.csv", table_forms()["species_ph"])


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 5000, "1\n" + "a." * 40_000 + "b = 1"])
def test_words_of_toml_that_no_reader_ends(tmp_path, value):
    for name, read in (("system.toml", lambda f: read_head(f.parent)), ("a.toml", read_cases)):
        (tmp_path / name).write_text(f"id = {value}\n")
        with pytest.raises(BadInput, match=name):
            read(tmp_path / name)


@pytest.mark.parametrize("memo", ["[" * 100_000, '{"nws": {"url": 1}}', "\0"])
def test_a_memo_that_cannot_be_read_is_as_good_as_none(tmp_path, memo):
    (tmp_path / ".asked.json").write_text(memo)
    assert asking._asked(tmp_path) == {}


def test_a_word_that_is_typed_deep():
    with pytest.raises(BadInput, match="shape"):
        read_fields(["shape=" + "[" * 100_000])


def test_a_table_that_is_a_link_is_not_followed(tmp_path):
    (tmp_path / "secret").write_text("root:x:0:0\n")
    (tmp_path / "species_ph.csv").symlink_to(tmp_path / "secret")
    with pytest.raises(BadInput, match="a link to another file") as caught:
        read_table(tmp_path / "species_ph.csv", table_forms()["species_ph"])
    assert "root" not in str(caught.value)


def test_a_picture_of_one_colour_that_fills_the_memory(tmp_path):
    """88 million pixels in 0.3 MB took 1,134 MB to be shown; at the most that is let in, 653."""

    def chunk(name, content):
        crc = zlib.crc32(name + content)
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", crc)

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 7800, 7800, 8, 0, 0, 0, 0))
    with pytest.raises(BadInput, match="60 million pixels"):
        photos.examined(b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", b"") + chunk(b"IEND", b""))


def test_coordinates_that_are_a_long_row_of_blanks_are_read_at_once(tmp_path):
    """To seek the blanks round a comma took the square of their number: 80,000 took 7 s."""
    path = tmp_path / "blanks.kml"
    path.write_text(
        '<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><LineString><coordinates>-93.7 ,'
        + " " * 400_000 + "45.3" + " " * 400_000 + "-93.6,45.4</coordinates></LineString>"
        "</Placemark></kml>"
    )  # fmt: skip
    begun = process_time()
    (layer,) = kml.read(path.name, path.read_bytes()).layers
    assert layer.features[0].geometry.coords[0] == (-93.7, 45.3)
    assert process_time() - begun < 2


def test_a_sign_that_is_blank_to_one_and_not_to_the_other_is_no_crash():
    assert number_of("a.csv", 2, "wind", "\x1d0000") == 0

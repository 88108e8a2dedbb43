"""A card of photos: every file answered for, times as other readers have them, clocks put right."""

import io
import zipfile
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from card_maker import exif_of, lay_card, photo, picture, with_exif
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from fencerow.exchange.cards import exif
from fencerow.exchange.cards.files import Folder, natural, source_of
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.preview import preview
from fencerow.exchange.cards.reading import read_card, read_photo
from fencerow.exchange.cards.settled import Clock, settle
from fencerow.words import BadInput

CHICAGO = ZoneInfo("America/Chicago")
AT = datetime(2026, 10, 30, 6, 0)
READ_AT = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)
WHOLE = photo(AT)


def untold(*_):
    """Nobody asks how far it is."""


def read(folder, journal=None):
    with Journal(journal or folder.parent / "journal.jsonl") as opened:
        return read_card(Folder(folder), opened, untold)


def settled(photos, clock=None, known=()):
    return settle(photos, clock or Clock({}), CHICAGO, READ_AT, 30, known)


def at_utc(found):
    return [t.at for t in found.photos]


@given(at=st.datetimes(datetime(1990, 1, 1), datetime(2099, 1, 1)), order=st.sampled_from("IM"))
def test_the_time_is_the_one_that_pillow_reads(at, order):
    tiff = exif_of(at)
    if order == "M":  # the same in the other order of bytes
        there = Image.Exif()
        there.endian = ">"
        there.get_ifd(0x8769)[0x9003] = f"{at:%Y:%m:%d %H:%M:%S}"
        tiff = there.tobytes()
    jpeg = with_exif(picture(), tiff)
    said = Image.open(io.BytesIO(jpeg)).getexif().get_ifd(0x8769)[0x9003]
    assert f"{exif.taken(jpeg).at:%Y:%m:%d %H:%M:%S}" == said


@given(cut=st.integers(0, len(WHOLE)), byte=st.integers(0, 255))
def test_no_damage_breaks_the_reader(cut, byte):
    spoiled = WHOLE[:cut] + bytes([byte]) + WHOLE[cut + 1 :]
    for content in (WHOLE[:cut], spoiled):
        found = read_photo("a.jpg", io.BytesIO(content))
        assert (found.at is None) == bool(found.wrong)


def test_an_offset_and_a_time_of_change_are_told_apart():
    assert exif.taken(photo(AT, offset="-06:00")).offset == timedelta(hours=-6)
    assert exif.taken(photo(AT, tag=0x0132)).changed
    assert not exif.taken(photo(AT)).changed


def test_every_file_is_named_with_what_is_wrong_and_none_is_lost(tmp_path):
    card = tmp_path / "card"
    lay_card(card / "DCIM", AT, [0, 1])
    wrong = {
        "empty.jpg": (b"", "cards-empty"),
        "words.jpg": (b"hello", "cards-not-jpeg"),
        "bare.jpg": (picture(3), "cards-no-exif"),
        "unset.jpg": (photo("0000:00:00 00:00:00", 4), "cards-no-time"),
        "blank.jpg": (photo("    :  :     :  :  ", 5), "cards-no-time"),
        "notes.txt": (b"x", "cards-other"),
        "film.AVI": (b"RIFF", "cards-film"),
    }
    for name, (content, _) in wrong.items():
        (card / name).write_bytes(content)
    (card / "cut.jpg").write_bytes(photo(AT + timedelta(days=1), 6)[:-150])
    (card / "out.jpg").symlink_to(tmp_path / "elsewhere.jpg")
    (card / "away").symlink_to(tmp_path, target_is_directory=True)
    found = {p.name: p for p in read(card)}
    assert {n: found[n].wrong for n in wrong} == {n: why for n, (_, why) in wrong.items()}
    assert found["cut.jpg"].at is not None
    assert found["cut.jpg"].doubt == "cards-cut"
    assert found["out.jpg"].wrong == found["away"].wrong == "cards-link"
    assert len(found) == len(wrong) + 5
    result = settled(list(found.values()))
    parts = (result.photos, result.doubles, result.unread, result.others)
    assert sum(map(len, parts)) == len(found)


def test_a_file_that_cannot_be_read_is_tried_again_and_the_others_are_not(tmp_path, monkeypatch):
    card = tmp_path / "card"
    paths = lay_card(card, AT, [0, 1, 2])
    opened = []
    true = Folder.open

    def failing(self, name):
        opened.append(name)
        if name == paths[1].name and len(opened) < 4:
            raise OSError(5, "Input/output error")
        return true(self, name)

    monkeypatch.setattr(Folder, "open", failing)
    assert [p.wrong for p in read(card)] == ["", "cards-unreadable", ""]
    assert [p.wrong for p in read(card)] == ["", "", ""]
    assert len(opened) == 4


def test_a_line_of_the_journal_that_was_cut_short_is_read_again(tmp_path):
    card, journal = tmp_path / "card", tmp_path / "journal.jsonl"
    lay_card(card, AT, [0, 1, 2])
    first = read(card, journal)
    journal.write_bytes(journal.read_bytes()[:-20])
    assert read(card, journal) == first
    assert read(card, journal) == first


def test_a_file_that_changed_is_read_again(tmp_path):
    card = tmp_path / "card"
    (path,) = lay_card(card, AT, [0])
    before = read(card)
    path.write_bytes(photo(AT + timedelta(days=1), 77))
    assert read(card)[0].at == before[0].at + timedelta(days=1)


def test_a_zip_says_the_same_as_its_folder_and_writes_nothing(tmp_path):
    card = tmp_path / "card"
    lay_card(card / "100MEDIA", AT, [0, 1, 90])
    packed = tmp_path / "card.zip"
    with zipfile.ZipFile(packed, "w") as archive:
        for path in sorted(card.rglob("*.JPG")):
            archive.write(path, path.relative_to(card))
        archive.writestr("../../climbs.jpg", photo(AT, 9))
        archive.writestr("__MACOSX/._IMG_0001.JPG", b"x")
    with source_of(packed) as source, Journal(tmp_path / "zip.jsonl") as journal:
        found = read_card(source, journal, untold)
    assert [p for p in found if "climbs" not in p.name] == read(card)
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "card", "card.zip", "journal.jsonl", "zip.jsonl"
    ]  # fmt: skip


def test_what_is_no_card_is_said(tmp_path):
    (tmp_path / "a.txt").write_text("x")
    for name in ("a.txt", "nothing"):
        with pytest.raises(BadInput), source_of(tmp_path / name):
            pass


def test_the_order_is_the_cameras():
    names = ["101M/IMG_1.JPG", "100M/IMG_10.JPG", "100M/IMG_9.JPG"]
    assert sorted(names, key=natural) == ["100M/IMG_9.JPG", "100M/IMG_10.JPG", "101M/IMG_1.JPG"]
    # more digits than Python makes a number of
    long = ["10" * 5000, "9" * 5000]
    assert sorted(long, key=natural) == long[::-1]


def test_a_clock_that_does_not_follow_daylight_saving_is_put_right(tmp_path):
    """Daylight saving ended on 1 November 2026 at 2:00 in Chicago: from UTC-5 to UTC-6."""
    card = tmp_path / "card"
    lay_card(card, AT, [0, 5 * 24 * 60])  # 30 October and 4 November, 6:00 by the camera
    photos = read(card)
    after = datetime(2026, 11, 4, 11, 0, tzinfo=UTC)
    found = settled(photos)
    assert at_utc(found) == [datetime(2026, 10, 30, 11, 0, tzinfo=UTC), after]
    assert [m.id for m in found.said] == ["cards-saving"]
    follows = settled(photos, Clock({}, "changes"))
    assert at_utc(follows)[1] == after + timedelta(hours=1)
    assert follows.said == ()
    standard = settled(photos, Clock({}, "standard"))
    assert at_utc(standard)[0] == datetime(2026, 10, 30, 12, 0, tzinfo=UTC)


def test_the_hour_that_comes_twice_goes_on_in_turn(tmp_path):
    card = tmp_path / "card"
    card.mkdir()
    for number, minute in enumerate((30, 50, 10, 40), 1):  # 1:30, 1:50, then 1:10 again
        when = datetime(2026, 11, 1, 1, minute)
        (card / f"IMG_{number}.JPG").write_bytes(photo(when, number))
    found = at_utc(settled(read(card), Clock({}, "changes")))
    assert [(b - a) / timedelta(minutes=1) for a, b in pairwise(found)] == [
        20, 20, 30
    ]  # fmt: skip


def test_an_offset_on_the_photo_stands_before_all(tmp_path):
    card = tmp_path / "card"
    card.mkdir()
    (card / "a.jpg").write_bytes(photo(AT, offset="+00:00"))
    assert at_utc(settled(read(card))) == [AT.replace(tzinfo=UTC)]


def test_a_fallen_clock_asks_for_a_moment_and_goes_by_it(tmp_path):
    card = tmp_path / "card"
    lay_card(card, AT, [0, 60], "A")
    lay_card(card, datetime(2010, 1, 1, 0, 0), [1, 61], "B")
    photos = read(card)
    with pytest.raises(BadInput) as told:
        settled(photos)
    assert told.value.message.id == "cards-factory"
    assert "B_0001.JPG" in str(told.value)
    true = datetime(2026, 11, 10, 7, 31)
    found = settled(photos, Clock({"B_0001.JPG": true}))
    assert at_utc(found)[2:] == [
        datetime(2026, 11, 10, 13, 31, tzinfo=UTC), datetime(2026, 11, 10, 14, 31, tzinfo=UTC)
    ]  # fmt: skip
    assert found.shift_min == (true - datetime(2010, 1, 1, 0, 1)) / timedelta(minutes=1)
    assert "B_0001.JPG" in found.why
    with pytest.raises(BadInput):
        settled(photos, Clock({"C.JPG": true}))


def test_doubles_are_left_out_once_and_for_all(tmp_path):
    card = tmp_path / "card"
    paths = lay_card(card, AT, [0, 1])
    (card / "IMG_0003.JPG").write_bytes(paths[0].read_bytes())
    photos = read(card)
    first = settled(photos)
    assert [p.name for p in first.doubles] == ["IMG_0003.JPG"]
    again = settled(photos, known={t.photo.sha256 for t in first.photos})
    assert again.photos == again.visits == ()
    assert len(again.doubles) == 3


def test_a_preview_is_upright_and_says_nothing_of_where():
    jpeg = with_exif(picture(size=(2000, 1000)), exif_of(AT, turned=6))
    made = Image.open(io.BytesIO(preview(io.BytesIO(jpeg))))
    assert (made.width, made.height) == (480, 960)
    assert dict(made.getexif()) == {}
    assert preview(io.BytesIO(jpeg[:500])) is None

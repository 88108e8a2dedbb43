"""A card read into a record: stopped and gone on with, read twice, apart from its originals."""

from datetime import UTC, datetime
from io import BytesIO

import pytest
from card_maker import lay_card, photo
from PIL import Image
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.exchange.cards.files import Folder
from fencerow.store import Store, create
from fencerow.store.cards import Asked, asked_of, bring_card, bring_tags, journal_of
from fencerow.store.going import Stopped, quietly
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

AT = datetime(2026, 10, 20, 6, 0)
NOW = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)
COUNT = 111


@pytest.fixture
def store(tmp_path):
    made = create(tmp_path / "try", About("Try"), author="me", now=lambda: NOW)
    shape = {"type": "Point", "coordinates": [-90.0, 27.0]}
    made.write([Draft("place", "oak", {"kind": "camera", "name": "Oak Camera", "shape": shape})])
    return made


@pytest.fixture
def card(tmp_path):
    folder = tmp_path / "card"
    lay_card(folder / "DCIM", AT, [n // 3 * 90 + n % 3 for n in range(COUNT)])
    (folder / "empty.JPG").write_bytes(b"")
    return folder


def bring(store, card, going=quietly, **more):
    return bring_card(store, card, Asked("oak camera", **more), "me", lambda: NOW, going=going)


def test_a_card_that_is_stopped_is_gone_on_with_and_comes_to_the_same(store, card, monkeypatch):
    opened = []
    true = Folder.open
    monkeypatch.setattr(Folder, "open", lambda s, name: opened.append(name) or true(s, name))

    def stop(done, of, what):
        if done >= 100:
            raise Stopped

    with pytest.raises(Stopped):
        bring(store, card, stop)
    assert not store.tract().cards
    assert len(opened) == 100
    bring(store, card)
    read = [name for name in opened if opened.count(name) == 1]
    assert len(set(opened)) == COUNT + 1
    assert len(read) + 2 * (len(opened) - len(read)) / 2 >= COUNT  # the others: for a picture
    (kept,) = store.tract().cards.values()
    told = (kept.body.photos, kept.body.kept, kept.body.unread, kept.body.doubles)
    assert told == (COUNT + 1, COUNT, 1, 0)
    visits = store.tract().visits.values()
    assert {v.body.photos for v in visits} == {3}
    assert len(visits) == COUNT / 3
    assert all(len(v.body.shots) == 3 and v.body.card == kept.id for v in visits)
    assert store.verify() == ()


def test_a_card_is_read_twice_and_written_once(store, card):
    bring(store, card)
    count = len(store.entries())
    told = bring(store, card)
    assert len(store.entries()) == count
    assert str(COUNT) in " ".join(told)
    (card / "DCIM/IMG_9999.JPG").write_bytes(photo(datetime(2026, 11, 19, 6), 999))
    bring(store, card)
    later = max(store.tract().cards.values(), key=lambda c: c.body.doubles).body
    assert (later.kept, later.doubles) == (1, COUNT)


def test_small_pictures_are_kept_and_no_originals(store, card):
    before = {p: p.read_bytes() for p in card.rglob("*.JPG")}
    bring(store, card)
    assert {p: p.read_bytes() for p in card.rglob("*") if p.is_file()} == before
    shots = {s for v in store.tract().visits.values() for s in v.body.shots}
    kept = {p.name: p.read_bytes() for p in (store.folder / "photos").iterdir()}
    assert set(kept) == shots
    assert not set(kept.values()) & set(before.values())
    assert all(not dict(Image.open(BytesIO(c)).getexif()) for c in kept.values())


def test_a_picture_that_is_gone_is_told(store, card):
    bring(store, card)
    gone = next(iter((store.folder / "photos").iterdir()))
    gone.unlink()
    assert [m.id for m in store.verify()] == ["store-file-missing"]


def test_what_is_typed_wrongly_is_said(store, card):
    with pytest.raises(BadInput) as told:
        bring_card(store, card, Asked("elm"), "me", lambda: NOW)
    assert "Oak Camera" in str(told.value)
    for clock, saving, gap in ((["IMG"], "as set", None), (["a=b"], "as set", None),
                               ([], "sometimes", None), ([], "as set", 0.5)):  # fmt: skip
        with pytest.raises(BadInput):
            asked_of("oak", clock, saving, gap, None, "")


def test_the_terminal_reads_a_card_and_its_tags(store, card, tmp_path):
    run = CliRunner().invoke
    told = run(app, ["photos", str(store.folder), str(card), "--camera", "Oak Camera"])
    assert told.exit_code == 0, told.output
    assert "37 visits" in told.output
    out = tmp_path / "tags.csv"
    run(app, ["tags", str(store.folder), "-o", str(out)])
    lines = out.read_text().splitlines()
    out.write_text("\n".join([lines[0], lines[1].replace(",,,,,,,", ",2,0,1,,Notch,,")]))
    assert "1 visits tagged; 36 of 37" in run(app, ["tags", str(store.folder), str(out)]).output
    assert len(run(app, ["tags", str(store.folder), "--untagged"]).output.splitlines()) == 37
    visit = min(Store.open(store.folder).tract().visits.values(), key=lambda v: v.body.began)
    assert (visit.body.does, visit.body.fawns, visit.body.animals) == (2, 1, ("Notch",))


def test_tags_come_in_as_any_file_does(store, card, tmp_path):
    from fencerow.store.bring import bring as bring_file

    bring(store, card)
    tags = tmp_path / "tags.csv"
    tags.write_text("file,does\nIMG_0001.JPG,2\n")
    told = bring_file(store, tags, [], "", "me", lambda: NOW)
    assert "36 of 37" in told[0]
    assert bring_tags(store, tags, "me", lambda: NOW)[0].startswith("tags.csv: 0 visits")


def test_the_journal_stands_in_the_record_and_may_be_deleted(store, card):
    bring(store, card)
    journal_of(store, card).unlink()
    assert "nothing was written" in bring(store, card)[0]

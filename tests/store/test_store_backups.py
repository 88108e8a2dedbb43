"""Copies are made, thinned and put back; a bundle gives the same tract; two copies are joined."""

import zipfile
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from fencerow.store import Store, backups, create
from fencerow.store.bundle import join, pack, unpack
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

SAID = datetime(2026, 11, 1, 12, tzinfo=UTC)


def notes(word, count=1):
    return [Draft("note", f"{word}{n}", {"text": f"{word} {n} " * 30}) for n in range(count)]


def spoil(record, share):
    """Overwrite one page of the file."""
    whole = bytearray(record.read_bytes())
    at = max(1, int(len(whole) * share) // 4096) * 4096
    whole[at : at + 4096] = b"\xa5" * 4096
    record.write_bytes(whole)


def test_one_copy_a_day(store):
    first = backups.keep_up(store)
    assert first == backups.day_file(store.folder, SAID.date())
    assert backups.keep_up(store) is None
    assert [(c.file, c.entries, c.why) for c in backups.copies(store.folder)] == [(first, 1, None)]


def test_copies_are_thinned_to_days_weeks_and_months(in_folder):
    home, today = in_folder.folder / "backups", date(2026, 11, 30)
    days = [today - timedelta(days=n) for n in range(400)]
    for day in days:
        backups.day_file(in_folder.folder, day).touch()
    (home / "before-0001-from-0000.db").touch()
    backups.thin(in_folder.folder, today)
    left = {p.name for p in home.iterdir()}
    assert "before-0001-from-0000.db" in left
    kept = {d for d in days if backups.day_file(in_folder.folder, d).name in left}
    assert kept >= set(days[:15])
    weeks = {d.isocalendar()[:2] for d in days[15:99]}
    assert {d.isocalendar()[:2] for d in kept if d in days[15:99]} == weeks
    months = {(d.year, d.month) for d in days}
    assert {(d.year, d.month) for d in kept} == months
    assert len(kept) <= 15 + len(weeks) + len(months)
    assert backups.thin(in_folder.folder, today) == []


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6, 0.9])
def test_a_damaged_record_is_put_back_with_what_can_still_be_read(in_folder, share):
    in_folder.write(notes("early", 40))
    copy = in_folder.backup()
    in_folder.write(notes("late", 200))
    in_folder.tract()
    said = {e.id for e in in_folder.entries()}
    spoil(in_folder.folder / "record.db", share)
    with pytest.raises(BadInput, match="fencerow restore"):
        Store.open(in_folder.folder)
    done = backups.restore(in_folder.folder)
    again = Store.open(in_folder.folder)
    held = {e.id for e in again.entries()}
    assert done.copy.file == copy
    assert Path(done.aside, "record.db").is_file()
    assert again.verify() == ()
    assert held <= said
    assert len(held) == 41 + done.saved
    assert done.lost.entries in (None, len(said - held))
    assert len(done.lost.things) <= len(said - held)


def test_a_record_that_is_gone_is_put_back(in_folder):
    in_folder.write(notes("note", 3))
    in_folder.backup()
    (in_folder.folder / "record.db").unlink()
    done = backups.restore(in_folder.folder)
    assert (done.copy.entries, done.lost.entries) == (4, None)
    assert len(Store.open(in_folder.folder).entries()) == 4


def test_what_is_not_put_back(in_folder):
    with pytest.raises(BadInput, match="the record is sound"):
        backups.restore(in_folder.folder)
    in_folder.backup()
    spoil(backups.day_file(in_folder.folder, SAID.date()), 0.0)
    (in_folder.folder / "record.db").write_bytes(b"ground")
    with pytest.raises(BadInput, match="holds no sound copy"):
        backups.restore(in_folder.folder)
    assert (in_folder.folder / "record.db").read_bytes() == b"ground"


def test_a_bundle_gives_the_same_tract(store, tmp_path):
    store.write(notes("note", 5))
    store.keep_file(b"a photo", "photo")
    (store.folder / "tables").mkdir()
    (store.folder / "tables" / "own.csv").write_text("a,b\n")
    packed = pack(store, tmp_path / "All.zip")
    made = unpack(packed, tmp_path / "Again.tract", "Bo", lambda: SAID)
    assert made.entries() == store.entries()
    assert made.tract() == store.tract()
    assert kept(made.folder) == kept(store.folder)
    assert made.verify() == ()
    with pytest.raises(BadInput, match="is there already"):
        pack(store, packed)


def kept(folder):
    files = (p for p in folder.rglob("*") if p.is_file() and p.parent != folder)
    return {p.relative_to(folder): p.read_bytes() for p in files}


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("../outside.txt", b"x", "no name of a file of a tract"),
        ("photos/../../outside.txt", b"x", "no name of a file of a tract"),
        ("/etc/outside.txt", b"x", "no name of a file of a tract"),
        ("C:\\outside.txt", b"x", "no name of a file of a tract"),
        ("record.db", b"x", "no name of a file of a tract"),
        ("record.jsonl", b'{"id": "1"}\n', "line 1 of record.jsonl is no entry"),
        ("record.jsonl", b"[" * 100_000, "line 1 of record.jsonl is no entry"),
    ],
)
def test_a_hostile_bundle_makes_nothing(in_folder, tmp_path, name, data, said):
    good = pack(in_folder, tmp_path / "Good.zip")
    with zipfile.ZipFile(good) as held, zipfile.ZipFile(tmp_path / "Bad.zip", "w") as bad:
        if name != "record.jsonl":
            bad.writestr("record.jsonl", held.read("record.jsonl"))
        bad.writestr(name, data)
    before = set(tmp_path.rglob("*"))
    with pytest.raises(BadInput, match=said):
        unpack(tmp_path / "Bad.zip", tmp_path / "New.tract", "Bo", lambda: SAID)
    assert set(tmp_path.rglob("*")) == before
    assert not Path("/etc/outside.txt").exists()


def test_what_is_no_bundle(in_folder, tmp_path):
    (tmp_path / "text.zip").write_text("ground")
    with pytest.raises(BadInput, match="is not a bundle"):
        unpack(tmp_path / "text.zip", tmp_path / "New.tract", "Bo", lambda: SAID)
    whole = pack(in_folder, tmp_path / "Good.zip").read_bytes()
    (tmp_path / "short.zip").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(BadInput, match="is not a bundle"):
        join(in_folder, tmp_path / "short.zip")


def test_two_copies_that_grew_apart_are_joined_either_way(store, either, tmp_path):
    store.write(notes("both", 2))
    other = Store.open(either.copy(store.folder, tmp_path / "Other.tract"), now=lambda: SAID)
    store.write(notes("here", 3))
    store.write([Draft("note", "both0", {"text": "as said here"})])
    other.write(notes("there", 4))
    other.write([Draft("note", "both0", {"text": "as said there"})])
    other.keep_file(b"a photo", "photo")
    packed = pack(store, tmp_path / "Here.zip")
    done = join(store, other.folder)
    assert (len(done.receipt.stored), done.files, done.conflicts) == (5, 1, 1)
    back = join(other, packed)
    assert (len(back.receipt.stored), back.conflicts) == (4, 1)
    assert {e.id for e in store.entries()} == {e.id for e in other.entries()}
    assert store.tract() == other.tract()
    again = join(store, other.folder)
    assert (again.receipt.stored, again.files, again.conflicts) == ((), 0, 0)


def test_copies_of_two_tracts_are_not_joined(store, tmp_path):
    made = create(tmp_path / "Else", About(name="Else"), author="Bo", now=lambda: SAID)
    with pytest.raises(BadInput, match="is not a copy of the tract"):
        join(store, made.folder)
    assert len(store.entries()) == 1

"""A damaged record: recognised or sound, set aside, put back, what was lost named."""

import random
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from how_often import often

from fencerow.store import Store, backups
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

SIDES = ("-wal", "-shm")


def notes(word, count):
    return [Draft("note", f"{word}{n}", {"text": f"{word} {n} " * 30}) for n in range(count)]


@pytest.fixture(scope="module")
def written(blank, tmp_path_factory):
    """A tract with a copy of the day before and much that is newer."""
    home = tmp_path_factory.mktemp("damage")
    store = Store.open(shutil.copytree(blank, home / "Kept.tract"))
    store.write(notes("early", 40))
    store.backup()
    store.write(notes("late", 120))
    store.tract()
    return store.folder


@pytest.fixture
def folder(written, tmp_path):
    return shutil.copytree(written, tmp_path / "It.tract")


def put_back(folder, said):
    """Restore, and hold what it tells to what is there."""
    damaged = (folder / "record.db").read_bytes()
    done = backups.restore(folder)
    store = Store.open(folder)
    held = {e.id for e in store.entries()}
    assert (Path(done.aside) / "record.db").read_bytes() == damaged  # set aside as it was
    assert store.verify() == ()
    assert held <= said
    assert len(held) == 41 + done.saved
    assert done.lost.entries in (None, len(said - held))
    return done, said - held


def ids_of(folder):
    return {e.id for e in Store.open(folder).entries()}


def middle(whole):
    at = len(whole) // 2
    return whole[:at] + b"\xa5" * 6000 + whole[at + 6000 :]


def header(whole):
    return b"\xa5" * 100 + whole[100:]


def magic(whole):
    return b"SQLite format 4\0" + whole[16:]


def page_size(whole):
    return whole[:16] + b"\x00\x07" + whole[18:]


def tail(whole):
    return whole[: len(whole) * 2 // 3]


def odd_tail(whole):
    return whole[: len(whole) // 2 + 777]


def nothing(_):
    return b""


def zeros(whole):
    return bytes(len(whole))


def text(_):
    return b"ground " * 1000


HARMS = (middle, header, magic, page_size, tail, odd_tail, nothing, zeros, text)


@pytest.mark.parametrize("harm", HARMS, ids=lambda h: h.__name__)
def test_each_harm_is_recognised_set_aside_and_put_back(folder, harm):
    said = ids_of(folder)
    record = folder / "record.db"
    record.write_bytes(harm(record.read_bytes()))
    before = record.read_bytes()
    with pytest.raises(BadInput, match=r"restore|holds no record") as caught:
        Store.open(folder)
    assert "\n" not in str(caught.value)
    assert record.read_bytes() == before
    done, _ = put_back(folder, said)
    assert done.lost.entries is None or harm is middle  # how much is gone can be counted there
    assert harm is not middle or done.saved > 90


def test_an_index_that_is_damaged_alone_costs_nothing(folder):
    said = ids_of(folder)
    record = folder / "record.db"
    with closing(sqlite3.connect(record)) as connection:
        (page,) = connection.execute(
            "SELECT rootpage FROM sqlite_schema WHERE name = 'ix_entry_subject'"
        ).fetchone()
        size = connection.execute("PRAGMA page_size").fetchone()[0]
    whole = bytearray(record.read_bytes())
    at = (page - 1) * size
    whole[at + 200 : at + size] = b"\xa5" * (size - 200)
    record.write_bytes(whole)
    with pytest.raises(BadInput, match="is damaged"):
        Store.open(folder)
    done, lost = put_back(folder, said)
    assert (lost, done.lost.entries, done.saved) == (set(), 0, 120)


def crashed(folder, home):
    """The folder as a machine that stopped leaves it: words in the write-ahead log alone."""
    store = Store.open(folder)
    with closing(sqlite3.connect(folder / "record.db")) as holding:
        holding.execute("SELECT count(*) FROM entry").fetchone()  # the log is not emptied
        said = [e.id for e in store.write(notes("last", 30))]
        return shutil.copytree(folder, home), set(said)


def test_a_log_that_was_left_behind_is_read(folder, tmp_path):
    left, said = crashed(folder, tmp_path / "Left.tract")
    assert (left / "record.db-wal").stat().st_size
    (left / "record.db-shm").unlink()
    assert said <= ids_of(left)
    assert Store.open(left).verify() == ()


@pytest.mark.parametrize("cut", [0.9, 0.5, 0.01])
def test_a_log_that_was_cut_gives_whole_batches_or_none(folder, tmp_path, cut):
    before = ids_of(folder)
    left, said = crashed(folder, tmp_path / "Left.tract")
    (left / "record.db-shm").unlink()
    wal = left / "record.db-wal"
    wal.write_bytes(wal.read_bytes()[: int(wal.stat().st_size * cut)])
    there = ids_of(left)
    assert there in (before, before | said)
    assert Store.open(left).verify() == ()


def test_a_log_of_a_record_that_is_damaged_is_set_aside_with_it(folder, tmp_path):
    left, said = crashed(folder, tmp_path / "Left.tract")
    record = left / "record.db"
    record.write_bytes(middle(record.read_bytes()))
    done = backups.restore(left)
    assert (Path(done.aside) / "record.db-wal").exists() or said <= ids_of(left)
    assert said & ids_of(left)  # the newest words were in the log, and are read out of it
    assert Store.open(left).verify() == ()


def test_a_log_of_another_record_is_not_played_into_this_one(folder, tmp_path, blank):
    left, _ = crashed(folder, tmp_path / "Left.tract")
    other = shutil.copytree(blank, tmp_path / "Other.tract")
    before = ids_of(other)
    shutil.copy(left / "record.db-wal", other / "record.db-wal")
    try:
        assert Store.open(other).verify() == ()
        assert ids_of(other) == before
    except BadInput as error:
        recognised = str(error)
        shutil.copytree(blank / "backups", other / "backups", dirs_exist_ok=True)
        assert "restore" in recognised


def test_harm_anywhere_is_found_or_harmless(folder, tmp_path):
    said, chance = ids_of(folder), random.Random(20261126)
    whole = (folder / "record.db").read_bytes()
    for number in range(often(3)):
        again = shutil.copytree(folder, tmp_path / f"Harmed-{number}.tract")
        harmed = bytearray(whole)
        at, size = chance.randrange(len(whole)), chance.choice((1, 16, 512, 9000))
        harmed[at : at + size] = chance.randbytes(len(harmed[at : at + size]))
        (again / "record.db").write_bytes(harmed)
        why = backups.examined(again / "record.db").why
        if why is None:  # in room that nothing uses
            assert ids_of(again) == said
        else:
            put_back(again, said)
        shutil.rmtree(again)

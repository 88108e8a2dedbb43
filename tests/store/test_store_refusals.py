"""What cannot be opened or written is told in one paragraph, and the record stays as it was."""

import os
import shutil
import sqlite3
import tempfile
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event

from fencerow.store import Store, create, dialect
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

DEER = Draft("deer", "deer", {"low": 1, "likely": 2, "high": 3})


def content(folder):
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@contextmanager
def refused(folder, said):
    """A BadInput in one paragraph that says this, and a folder that is as it was."""
    before = content(folder)
    with pytest.raises(BadInput, match=said) as caught:
        yield
    assert "\n" not in str(caught.value)
    assert content(folder) == before


def test_a_folder_that_is_there_is_not_made_anew(store, tmp_path):
    with refused(store.folder, "is there already"):
        create(store.folder, About(name="Blank"), author="Ada")
    with pytest.raises(BadInput, match=r"Sedge\.tract: No such file"):
        create(tmp_path / "nowhere" / "Sedge", About(name="Sedge"), author="Ada")
    with pytest.raises(BadInput, match="no name to sign"):
        create(tmp_path / "Sedge", About(name="Sedge"), author="")
    assert [p.name for p in tmp_path.iterdir()] == [store.folder.name]


@pytest.mark.parametrize("kind", ["missing", "empty folder", "a file", "empty file", "other"])
def test_what_is_no_tract(tmp_path, kind):
    folder = tmp_path / "It.tract"
    if kind == "a file":
        folder.write_text("ground")
    elif kind != "missing":
        folder.mkdir()
    if kind == "empty file":
        (folder / "record.db").touch()
    if kind == "other":
        with closing(sqlite3.connect(folder / "record.db")) as connection:
            connection.executescript("PRAGMA journal_mode=WAL; CREATE TABLE entry (id)")
    with refused(tmp_path, "holds no record of a tract"):
        Store.open(folder)


def test_a_newer_record_is_left_alone(in_folder):
    with closing(sqlite3.connect(in_folder.folder / "record.db")) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    with refused(in_folder.folder, r"newer version of Fencerow \(record 9999"):
        Store.open(in_folder.folder)


@pytest.mark.parametrize("where", [0.0, 0.1, 0.3, 0.5, 0.7, 0.9])
def test_overwritten_bytes_are_found(in_folder, where):
    in_folder.write([Draft("note", f"n{i}", {"text": f"rain {i} " * 20}) for i in range(400)])
    in_folder.tract()
    record = in_folder.folder / "record.db"
    whole = bytearray(record.read_bytes())
    at = int(len(whole) * where) // 4096 * 4096
    whole[at : at + 4096] = b"\xa5" * 4096
    record.write_bytes(whole)
    with refused(in_folder.folder, r"record\.db is damaged .* fencerow restore"):
        Store.open(in_folder.folder)


def test_a_text_file_is_no_record(in_folder):
    (in_folder.folder / "record.db").write_text("ground " * 1000)
    with refused(in_folder.folder, "is damaged"):
        Store.open(in_folder.folder)


@pytest.mark.parametrize(
    ("old", "new"), [(b"spring", b"sprung"), (b"spring", b"\xff\xff\xff\xff\xff\xff")]
)
def test_a_word_changed_behind_the_log_is_found(in_folder, old, new):
    entry = in_folder.write([Draft("note", "n", {"text": "the spring is dry"})])[0]
    record = in_folder.folder / "record.db"
    record.write_bytes(record.read_bytes().replace(old, new))
    with refused(in_folder.folder, "damaged|not as it was written"):
        in_folder.tract()
    with pytest.raises(BadInput, match=r"damaged|not as it was written"):
        in_folder.write([Draft("note", "n", {"text": "running"})])
    (said,) = in_folder.verify()
    assert entry.id in str(said) or "damaged" in str(said)


def test_a_full_disk(in_folder):
    in_folder.write([DEER])
    before = in_folder.entries()

    @event.listens_for(in_folder.base.engine, "connect")
    def _full(connection, _):
        connection.execute("PRAGMA max_page_count=1")  # as many as there are, and no more

    many = [Draft("note", f"n{i}", {"text": "rain " * 200}) for i in range(400)]
    with refused(in_folder.folder, "the disk is full .* make room"):
        in_folder.write(many)
    assert in_folder.entries() == before
    assert in_folder.tract().deer["deer"]  # which may not be projected, and is told all the same
    assert Store.open(in_folder.folder).verify() == ()


def test_another_who_holds_on(store, monkeypatch):
    monkeypatch.setattr(dialect, "WAIT_S", 0.05)
    other = Store.open(store.folder)
    with store.base.writing(), pytest.raises(BadInput, match="held the record"):
        other.write([DEER])
    other.write([DEER])


@pytest.fixture
def nobody():
    """Run as a user who may not write where root may."""
    if not hasattr(os, "seteuid"):
        pytest.skip("this system has no user to step down to")
    me = os.geteuid()
    with tempfile.TemporaryDirectory() as home:
        Path(home).chmod(0o755)
        yield Path(home), (lambda: os.seteuid(65534)) if me == 0 else (lambda: None)
        os.seteuid(me)
        for path in Path(home).rglob("*"):
            path.chmod(0o755)


def test_a_read_only_folder(in_folder, nobody):
    home, step_down = nobody
    folder = shutil.copytree(in_folder.folder, home / "Shut.tract")
    opened = Store.open(folder)
    for path in [*folder.rglob("*"), folder]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    step_down()
    with refused(folder, "cannot be written"):
        Store.open(folder)
    with refused(folder, "cannot be written"):
        opened.write([DEER])
    with refused(folder, "Permission denied"):
        opened.keep_file(b"a photo", "photo")
    with refused(folder, "Permission denied|cannot be written"):
        opened.backup()
    with pytest.raises(BadInput, match=r"More\.tract: Permission denied"):
        create(folder / "More", About(name="More"), author="Ada")


def test_files_are_plain_about_what_they_miss(store, tmp_path):
    with refused(store.folder, "is no use of a file that is kept; the uses are: photo"):
        store.keep_file(b"", "song")
    with refused(store.folder, r"nothing\.jpg: No such file"):
        store.keep_file(tmp_path / "nothing.jpg", "photo")
    with refused(store.folder, f"no file {'0' * 64} is kept there"):
        store.kept_file("0" * 64, "photo")

"""Files kept by content, backups, and what `verify` finds."""

import hashlib
from datetime import UTC, datetime

from sqlalchemy import text

from fencerow.store import Store, log, projection
from fencerow.tract.entry import Draft


def test_a_file_is_kept_once_under_its_content(store, tmp_path):
    photo = tmp_path / "IMG 1.JPG"
    photo.write_bytes(b"a doe" * 1_000_000)
    sha256 = hashlib.sha256(photo.read_bytes()).hexdigest()
    assert store.keep_file(photo, "photo") == (sha256, f"photos/{sha256}.jpg")
    assert store.keep_file(photo.read_bytes(), "photo") == (sha256, f"photos/{sha256}.jpg")
    assert [p.name for p in (store.folder / "photos").iterdir()] == [f"{sha256}.jpg"]
    assert store.kept_file(sha256, "photo").read_bytes() == photo.read_bytes()


def test_each_role_has_its_folder(store):
    sha256 = hashlib.sha256(b"").hexdigest()
    kept = {role: store.keep_file(b"", role)[1] for role in ("weather", "elevation", "attachment")}
    assert kept == {
        "weather": f"weather/{sha256}",
        "elevation": f"rasters/{sha256}",
        "attachment": f"files/{sha256}",
    }


def test_a_spoiled_file_is_found_and_healed(store):
    sha256, name = store.keep_file(b"rain", "weather")
    store.write([Draft("dataset", "d", {"role": "weather", "name": "Gauge", "sha256": sha256})])
    assert store.verify() == ()
    (store.folder / name).write_bytes(b"snow")
    assert "no longer what was kept" in " ".join(map(str, store.verify()))
    store.keep_file(b"rain", "weather")
    assert store.verify() == ()
    (store.folder / name).unlink()
    assert f"no file {sha256} is kept" in " ".join(map(str, store.verify()))


def test_a_backup_is_one_sound_file_that_opens(store, tmp_path):
    store.write([Draft("note", "n", {"text": "first frost"})])
    path = store.backup()
    assert path.relative_to(store.folder).as_posix() == "backups/record-2026-11-01.db"
    assert [p.name for p in path.parent.iterdir()] == [path.name]
    store.write([Draft("note", "n", {"text": "a second"})])
    assert store.backup() == path  # the day's file, replaced
    home = tmp_path / "Restored.tract"
    home.mkdir()
    (home / "record.db").write_bytes(path.read_bytes())
    restored = Store.open(home)
    assert restored.entries() == store.entries()
    assert restored.write([Draft("note", "m", {"text": "on we go"})])
    store._now = lambda: datetime(2026, 11, 2, 1, tzinfo=UTC)
    assert store.backup().name == "record-2026-11-02.db"


def test_verify_names_projections_that_are_not_what_the_log_comes_to(store):
    store.write([Draft("note", "n", {"text": "first frost"})])
    tract = store.tract()
    store.write([Draft("note", "n", {"text": "thaw"})])
    with store.base.writing() as connection:  # the old tract, said to be of this log
        projection.write(connection, tract, log.size(connection))
    (said,) = store.verify()
    assert "rebuild them" in str(said)
    store.rebuild()
    assert store.verify() == ()


def test_verify_names_a_row_without_its_parent(store, either):
    store.tract()
    gone = text("INSERT INTO place_shape VALUES ('gone', 'plot', '')")
    if either.kind == "folder":
        gone = text("INSERT INTO place_shape VALUES ('gone', 'plot', x'00')")
    with store.base.writing(bare=True) as connection:
        if either.kind == "postgres":  # as one may who keeps the server
            connection.execute(text("SET LOCAL session_replication_role = replica"))
        connection.execute(gone)
    (said,) = store.verify()
    assert "place_shape" in str(said)


def test_verify_names_entries_that_are_gone(store, either):
    store.write([Draft("note", f"n{n}", {"text": "frost"}) for n in range(4)])
    with store.base.writing() as connection:
        off = "ALTER TABLE entry DISABLE TRIGGER only_grows"
        connection.execute(text(off if either.kind == "postgres" else "DROP TRIGGER entry_delete"))
        connection.execute(text("DELETE FROM entry WHERE position IN (2, 3)"))
    told = " ".join(map(str, store.verify()))
    assert "entry: 2 that were written are gone" in told
    assert ("not guarded" in told) == (either.kind == "postgres")


def test_the_folders_within_are_made_where_they_are_missing(store):
    for name in ("photos", "rasters", "weather", "files", "backups"):
        (store.folder / name).rmdir()
    opened = Store.open(store.folder)
    assert opened.verify() == ()
    assert opened.keep_file(b"x", "photo")
    assert opened.backup().is_file()

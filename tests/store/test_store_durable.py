"""What was acknowledged is there: after a kill, and with two who write at once.

`--junitxml` tells how much was acknowledged; `docs/reliability.md` says what a night's run gave.
"""

import os
import random
import shutil
from contextlib import closing

from how_often import often
from store_processes import hear, start
from store_writer import back_up, bring_in, bring_up, keep_photos, write

from fencerow.store import Store, backups, migrate, tables
from fencerow.tract.entry import Draft
from fencerow.tract.fold import fold

KILLS = often(4)
PLOTS = 40
STEP = """
import sqlalchemy as sa
from alembic import op
revision = "{new}"
down_revision = "{old}"
def upgrade():
    how = "always" if op.get_bind().dialect.name == "sqlite" else "never"
    with op.batch_alter_table(
        "entry", recreate=how, table_kwargs={{"sqlite_strict": True}}
    ) as batch:
        batch.add_column(sa.Column("weather", sa.Text))
"""


def killed(apart, work, folder, chance, *more):
    """All that a process said before it was killed at some moment after its first words."""
    process, heard = start(apart, work, folder, *more)
    with closing(heard):
        said = hear(heard, chance.randrange(1, 8))
        process.join(chance.random() * 0.01)
        process.kill()  # kill -9: the process has no say in it
        said += hear(heard)
        process.join()
    assert process.exitcode != 0
    return said


def test_every_acknowledged_entry_outlives_a_kill(apart, store, same, record_property):
    chance = random.Random(20261101)
    acknowledged = []
    for kill in range(KILLS):
        batches = killed(apart, write, store.folder, chance, f"w{kill}")
        assert batches
        acknowledged += [i for batch in batches for i in batch]
        opened = Store.open(store.folder)
        there = [e.id for e in opened.entries()]
        assert set(acknowledged) <= set(there)
        assert len(there) % 3 == 1  # the first entry, and whole batches
        assert opened.verify() == ()
    assert same(Store.open(store.folder)).conflicts == ()
    record_property("entries acknowledged", len(acknowledged))


def test_a_killed_backup_leaves_the_old_one_or_the_new_one_whole(
    apart, store, tmp_path, record_property
):
    chance = random.Random(7)
    told = 0
    for _ in range(often(3)):
        copies = killed(apart, back_up, store.folder, chance)
        told += len(copies)
        home = tmp_path / "Restored.tract"
        home.mkdir()
        shutil.copy(copies[-1], home / "record.db")
        assert Store.open(home).entries() == store.entries()
        shutil.rmtree(home)
    record_property("copies acknowledged", told)


def test_a_killed_import_is_there_whole_or_not_at_all(
    apart, store, tmp_path, same, record_property
):
    chance = random.Random(11)
    known = 0
    for _ in range(often(2)):
        said = killed(apart, bring_in, store.folder, chance, tmp_path, PLOTS)
        there = len(store.tract().places)
        assert there % PLOTS == 0
        assert there >= known + PLOTS * len(said)
        known = there
    assert same(store).conflicts == ()
    record_property("places there", known)


def test_a_photo_that_was_acknowledged_outlives_a_kill(apart, store, record_property):
    chance = random.Random(13)
    told = 0
    for _ in range(often(2)):
        for sha256 in killed(apart, keep_photos, store.folder, chance):
            assert store.kept_file(sha256, "photo").is_file()
            told += 1
        assert store.verify() == ()
    record_property("photos acknowledged", told)


def test_a_killed_upgrade_is_done_or_not_begun(
    apart, store, either, tmp_path, monkeypatch, record_property
):
    chance = random.Random(17)
    store.write([Draft("note", f"n{i}", {"text": "rain " * 100}) for i in range(300)])
    head = f"{int(tables.HEAD) + 1:04}"
    steps = shutil.copytree(migrate.STEPS, tmp_path / "steps")
    (steps / "versions" / f"r{head}_toy.py").write_text(STEP.format(new=head, old=tables.HEAD))
    before = 0
    for kill in range(often(2)):
        folder = either.copy(store.folder, tmp_path / f"Old-{kill}.tract")
        process, heard = start(apart, bring_up, folder, steps, head)
        with closing(heard):
            hear(heard, 1)
            process.join(chance.random() * 0.3)
            process.kill()
            process.join()
        before += process.exitcode != 0
        with monkeypatch.context() as patch:
            patch.setattr(migrate, "STEPS", steps)
            patch.setattr(tables, "HEAD", head)
            opened = Store.open(folder)
            assert opened.entries() == store.entries()
            assert opened.verify() == ()
    record_property("killed before the end", before)


def test_what_a_killed_process_left_is_swept_away(store):
    left = store.folder / "photos" / ".part-0"
    fresh = store.folder / "photos" / ".part-1"
    for file in (left, fresh):
        file.write_bytes(b"half a pho")
    os.utime(left, (0, 0))
    backups.keep_up(store)
    assert not left.exists()
    assert fresh.exists()


def test_two_who_write_at_once_lose_nothing(apart, store, same):
    work = [start(apart, write, store.folder, name, 40) for name in ("one", "two")]
    said = [i for _, heard in work for batch in hear(heard) for i in batch]
    for process, heard in work:
        process.join()
        heard.close()
        assert process.exitcode == 0
    assert len(said) == 2 * 40 * 3
    assert {e.id for e in store.entries()[1:]} == set(said)
    assert same(store).conflicts == ()  # each saw the other's word on the deer they share
    assert fold(store.entries()).deer["deer"]

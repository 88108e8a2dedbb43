"""The disk takes no more, at any moment of anything that writes: one sentence, nothing half done.

A limit on the size of a file (RLIMIT_FSIZE) stops each writing at a chosen byte, as a quota does;
where the test may mount one, a small disk of its own is filled to the last byte.
"""

import json
import os
import shutil
import subprocess
from contextlib import contextmanager
from datetime import UTC, datetime

import pytest
from card_maker import lay_card
from how_often import often
from store_writer import squares
from test_store_durable import STEP

from fencerow import packet
from fencerow.packet import chart, field
from fencerow.store import Store, create, files, migrate, tables
from fencerow.store.bring import bring
from fencerow.store.bundle import join, pack, unpack
from fencerow.store.cards import Asked, bring_card
from fencerow.store.sent_cards import take_photo
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

resource = pytest.importorskip("resource", reason="only POSIX limits the size of a file")

NOW = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)
FEW = (5_000, 60_000)
MANY = (*range(1, 200_000, 4_000), 300_000, 500_000)
LIMITS = MANY if often(1) > 1 else FEW
SPARES = (*range(0, 100_000, 8_000), 160_000, 300_000)


@contextmanager
def at_most(size):
    """No file of this process grows beyond so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture(scope="module")
def ground(tmp_path_factory):
    """A tract with a camera, a photo and some words; beside it all that is to be brought in."""
    home = tmp_path_factory.mktemp("full")
    store = create(home / "full", About("Full"), author="Ada", now=lambda: NOW)
    shape = {"type": "Point", "coordinates": [-90.0, 27.0]}
    store.write([Draft("place", "oak", {"kind": "camera", "name": "Oak", "shape": shape})])
    store.write([Draft("note", f"n{n}", {"text": f"rain {n} " * 40}) for n in range(40)])
    store.keep_file(os.urandom(90_000), "photo")
    other = Store.open(shutil.copytree(store.folder, home / "other.tract"), now=lambda: NOW)
    other.write([Draft("note", f"o{n}", {"text": f"dry {n} " * 40}) for n in range(60)])
    other.keep_file(os.urandom(120_000), "photo")
    pack(other, home / "other.zip")
    (home / "plots.geojson").write_text(json.dumps(squares(1, 60)))
    lay_card(home / "card", datetime(2026, 10, 20, 6), [0, 1, 90, 91, 200])
    return home


def write(home, store):
    store.write([Draft("note", f"w{n}", {"text": "rain " * 200}) for n in range(100)])


def bring_ground(home, store):
    bring(store, home / "plots.geojson", [], "", "Ada", lambda: NOW)


def keep_photo(home, store):
    store.keep_file(bytes(150_000), "photo")


def read_card(home, store):
    bring_card(store, home / "card", Asked("oak"), "me", lambda: NOW)


def photo_sent(home, store):
    (first, *_) = sorted((home / "card").glob("*.JPG"))
    take_photo(store, "k1", (first.name, 1, 1), first.read_bytes())


def back_up(home, store):
    store.backup()


def join_copy(home, store):
    join(store, home / "other.tract")


def join_bundle(home, store):
    join(store, home / "other.zip")


def make_bundle(home, store):
    pack(store, home / "made.zip")


def make_of_bundle(home, store):
    unpack(home / "other.zip", home / "made.tract", "Ada", lambda: NOW)


def make_new(home, store):
    create(home / "made", About("Made"), author="Ada", now=lambda: NOW)


ACTS = (write, bring_ground, keep_photo, read_card, photo_sent, back_up, join_copy, join_bundle,
        make_bundle, make_of_bundle, make_new)  # fmt: skip
MAY_GO_FIRST = (join_copy, join_bundle)
"""Their entries go first and their files after: what is missing comes when they are told again."""


def tried(act, home):
    """Whether an act was refused: in one sentence, with no half file left."""
    said = None
    try:
        act(home, Store.open(home / "full.tract", now=lambda: NOW))
    except BadInput as error:
        said = str(error)
    assert [*home.rglob(".part-*")] == []
    if said is not None:
        assert "\n" not in said
        assert [*home.glob("made*")] == []
    return said is not None


def held(act, home, before, refused):
    """Nothing is lost; with room again, the same once more does the whole."""
    opened = Store.open(home / "full.tract", now=lambda: NOW)
    there = opened.entries()
    assert there[: len(before)] == before
    assert not refused or act in MAY_GO_FIRST or there == before
    assert [m for m in opened.verify() if m.id != "store-file-missing"] == []
    if refused:
        act(home, opened)
        assert opened.verify() == ()


@pytest.mark.parametrize("act", ACTS, ids=lambda a: a.__name__)
def test_a_file_that_may_not_grow(ground, tmp_path, act):
    before = Store.open(ground / "full.tract").entries()
    count = 0
    for limit in LIMITS:
        home = shutil.copytree(ground, tmp_path / f"at-{limit}")
        with at_most(limit):
            refused = tried(act, home)
        held(act, home, before, refused)
        count += refused
        shutil.rmtree(home)
    assert count


@pytest.fixture(scope="module")
def small_disk(tmp_path_factory):
    """A disk of a few megabytes, where this test may mount one."""
    disk = tmp_path_factory.mktemp("disk")
    mount = ["mount", "-t", "tmpfs", "-o", "size=6m", "tmpfs", str(disk)]
    if (
        not shutil.which("mount")
        or subprocess.run(mount, capture_output=True, check=False).returncode
    ):
        pytest.skip("only root mounts a disk")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def fill(disk, spare):
    """Fill a disk but for so many bytes."""
    free = os.statvfs(disk)
    with (disk / "filler").open("wb") as file:
        file.write(bytes(max(0, free.f_bavail * free.f_frsize - spare)))


@pytest.mark.nightly
@pytest.mark.parametrize("act", ACTS, ids=lambda a: a.__name__)
def test_a_disk_that_is_full(ground, small_disk, act):
    before = Store.open(ground / "full.tract").entries()
    count = 0
    for spare in SPARES:
        home = shutil.copytree(ground, small_disk / "home")
        fill(small_disk, spare)
        refused = tried(act, home)
        (small_disk / "filler").unlink()
        held(act, home, before, refused)
        count += refused
        shutil.rmtree(home)
    assert count or act is photo_sent  # so little fits; the limit above refuses it


GOOD = b"what was written the day before"


PAPERS = {
    "packet": (packet, "packet_pdf", lambda target: packet.write_packet(None, target)),
    "chart": (chart, "chart_pdf", lambda target: chart.write_chart(None, target)),
    "field pack": (None, "", lambda target: field.write_field_pack("<p>" * 30_000, target)),
}


@pytest.mark.parametrize(("room", "made", "act"), PAPERS.values(), ids=PAPERS)
def test_paper_that_does_not_fit_leaves_the_paper_of_the_day_before(
    tmp_path, monkeypatch, room, made, act
):
    target = tmp_path / "paper"
    target.write_bytes(GOOD)
    if room is not None:  # what is set does not matter here, and takes long to set
        monkeypatch.setattr(room, made, lambda *_: bytes(90_000))
    with at_most(30_000), pytest.raises(BadInput, match="File too large") as caught:
        act(target)
    assert "\n" not in str(caught.value)
    assert target.read_bytes() == GOOD
    assert list(tmp_path.iterdir()) == [target]
    act(target)
    assert len(target.read_bytes()) > 30_000


def test_paper_sent_to_a_pipe_is_not_put_in_its_place(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    files.write_whole(pipe, GOOD)
    assert os.read(reader, 1000) == GOOD
    os.close(reader)
    assert list(tmp_path.iterdir()) == [pipe]


def test_an_upgrade_that_does_not_fit_is_not_begun(ground, tmp_path, monkeypatch):
    head = f"{int(tables.HEAD) + 1:04}"
    steps = shutil.copytree(migrate.STEPS, tmp_path / "steps")
    (steps / "versions" / f"r{head}_toy.py").write_text(STEP.format(new=head, old=tables.HEAD))
    before = Store.open(ground / "full.tract").entries()
    monkeypatch.setattr(migrate, "STEPS", steps)
    monkeypatch.setattr(tables, "HEAD", head)
    size = (ground / "full.tract" / "record.db").stat().st_size
    for limit in (size // 2, size - 1, size):
        folder = shutil.copytree(ground / "full.tract", tmp_path / f"at-{limit}.tract")
        with at_most(limit), pytest.raises(BadInput, match=r"full|disk|too large") as caught:
            Store.open(folder)
        assert "\n" not in str(caught.value)
        assert [*folder.rglob(".part-*")] == []
        opened = Store.open(folder)
        assert opened.entries() == before
        assert opened.verify() == ()

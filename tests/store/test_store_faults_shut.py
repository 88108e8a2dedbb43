"""A folder or a file that may only be read: one sentence, by a process that is a plain user."""

import multiprocessing
import os
import shutil
import warnings
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest
from card_maker import lay_card

from fencerow.store import Store, backups, create
from fencerow.store.bring import bring
from fencerow.store.bundle import join, pack, unpack
from fencerow.store.cards import Asked, bring_card
from fencerow.store.files import write_whole
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

pytestmark = pytest.mark.skipif(not hasattr(os, "setuid"), reason="only POSIX has such users")

NOW = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)
NOBODY = 65534


def write(home):
    Store.open(home / "shut.tract").write([Draft("note", "w", {"text": "rain"})])


def bring_tests(home):
    bring(Store.open(home / "shut.tract"), home / "tests.csv", [], "", "Ada", lambda: NOW)


def keep_photo(home):
    Store.open(home / "shut.tract").keep_file(b"another photo", "photo")


def read_card(home):
    bring_card(Store.open(home / "shut.tract"), home / "card", Asked("oak"), "me", lambda: NOW)


def back_up(home):
    Store.open(home / "shut.tract").backup()


def join_copy(home):
    join(Store.open(home / "shut.tract"), home / "other.tract")


def make_bundle(home):
    pack(Store.open(home / "other.tract"), home / "shut.tract" / "all.zip")


def make_of_bundle(home):
    unpack(home / "other.zip", home / "shut.tract" / "made", "Ada", lambda: NOW)


def make_new(home):
    create(home / "shut.tract" / "made", About("Made"), author="Ada", now=lambda: NOW)


def put_back(home):
    backups.restore(home / "shut.tract")


def paper(home):
    try:
        write_whole(home / "shut.tract" / "packet.pdf", b"a packet")
    except OSError as error:
        raise BadInput("packet-unwritable", file="packet.pdf", why=error.strerror) from None


ACTS = (write, bring_tests, keep_photo, read_card, back_up, join_copy, make_bundle, make_of_bundle,
        make_new, put_back, paper)  # fmt: skip


@pytest.fixture
def home(tmp_path_factory):
    """What a plain user finds: a tract, another copy of it, and what is to be brought in."""
    home = Path(os.path.realpath(tmp_path_factory.mktemp("shut")))
    store = create(home / "shut", About("Shut"), author="Ada", now=lambda: NOW)
    shape = {"type": "Point", "coordinates": [-90.0, 27.0]}
    store.write([Draft("place", "oak", {"kind": "camera", "name": "Oak", "shape": shape})])
    store.keep_file(b"a photo", "photo")
    store.backup()
    other = Store.open(shutil.copytree(store.folder, home / "other.tract"), now=lambda: NOW)
    other.write([Draft("note", "o", {"text": "dry"})])
    pack(other, home / "other.zip")
    (home / "tests.csv").write_text("place,sampled_on,ph\noak,2026-02-14,5.4\n")
    lay_card(home / "card", datetime(2026, 10, 20, 6), [0, 90])
    for above in (*home.parents[:-1], home):
        if above.stat().st_uid == os.geteuid() and above != Path("/"):
            above.chmod(above.stat().st_mode | 0o755)
    return home


def as_nobody(acts, home, tmp_path):
    """What each act came to, in a process of its own that is a plain user."""
    scratch = shutil.copytree(home, tmp_path / "scratch")
    for act in acts:  # a plain user may not be able to read what is imported at the first need
        with suppress(BadInput):
            act(scratch)

    def work(tell):
        if os.getuid() == 0:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        told = []
        for act in acts:
            try:
                act(home)
                told.append((act.__name__, "done"))
            except BadInput as error:
                told.append((act.__name__, str(error)))
            except BaseException as error:  # noqa: BLE001 - told, and held against by the test
                told.append((act.__name__, f"Traceback: {error!r}"))
        tell.send(told)

    heard, tell = multiprocessing.Pipe(duplex=False)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the child asks nothing of a thread
        child = os.fork()
    if child == 0:
        work(tell)
        os._exit(0)
    tell.close()
    told = dict(heard.recv())
    os.waitpid(child, 0)
    return told


def content(folder):
    return {p: p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def own(home, tract_mode, file_mode, record_mode):
    """Give all to the plain user, and shut what is to be shut."""
    for path in [home, *home.rglob("*")]:
        if os.getuid() == 0:
            os.chown(path, NOBODY, NOBODY)
    shut = home / "shut.tract"
    for path in shut.rglob("*"):
        path.chmod(tract_mode if path.is_dir() else file_mode)
    (shut / "record.db").chmod(record_mode)
    shut.chmod(tract_mode)


def opened_again(home):
    for path in [home / "shut.tract", *(home / "shut.tract").rglob("*")]:
        path.chmod(0o755 if path.is_dir() else 0o644)


def test_a_folder_that_may_only_be_read(home, tmp_path):
    before = content(home / "shut.tract")
    own(home, 0o555, 0o444, 0o444)
    told = as_nobody(ACTS, home, tmp_path)
    opened_again(home)
    assert content(home / "shut.tract") == before
    for act, said in told.items():
        assert "cannot be written" in said or "Permission denied" in said, (act, said)
        assert "\n" not in said
    assert Store.open(home / "shut.tract").verify() == ()


def test_a_record_that_may_only_be_read_in_a_folder_that_may_be_written(home, tmp_path):
    shut = home / "shut.tract"
    before = Store.open(shut).entries()
    own(home, 0o755, 0o644, 0o444)
    acts = (write, bring_tests, read_card, join_copy)
    told = as_nobody(acts, home, tmp_path)
    opened_again(home)
    for act, said in told.items():
        assert "cannot be written" in said, (act, said)
    assert Store.open(shut).entries() == before
    assert Store.open(shut).verify() == ()


def test_a_sound_record_that_may_not_be_looked_at_is_not_taken_for_damaged(home, tmp_path):
    before = content(home / "shut.tract")
    own(home, 0o755, 0o644, 0o000)
    told = as_nobody((put_back,), home, tmp_path)
    opened_again(home)
    assert "cannot be written" in told["put_back"]
    assert content(home / "shut.tract") == before


def test_a_damaged_record_in_a_folder_that_may_only_be_read_is_left(home, tmp_path):
    shut = home / "shut.tract"
    (shut / "record.db").write_bytes(b"ground " * 1000)
    before = content(shut)
    own(home, 0o555, 0o444, 0o444)
    told = as_nobody((put_back, write), home, tmp_path)
    opened_again(home)
    assert "Permission denied" in told["put_back"] or "cannot be written" in told["put_back"]
    assert "restore" in told["write"] or "cannot be written" in told["write"]
    assert content(shut) == before

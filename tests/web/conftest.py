"""The API on copies of the invented tract: one that is only read, and one of each test's own."""

import shutil

import pytest
from asking import OURS, client_of

from fencerow.store import create
from fencerow.tract.entry import new_id
from fencerow.tract.read import check


@pytest.fixture(scope="session")
def static(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web") / "static"
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><title>shell</title>")
    (folder / "sw.js").write_text("1")
    (folder / "assets" / "app-1a2b.js").write_text("1")
    (folder.parent / "secret.txt").write_text("secret")
    return folder


@pytest.fixture(scope="session")
def seen_tract(demo_folder, tmp_path_factory):
    """The folder of the tract that no test writes to."""
    folder = tmp_path_factory.mktemp("seen") / "plover-bench.tract"
    return shutil.copytree(demo_folder / "plover-bench.tract", folder)


@pytest.fixture(scope="session")
def seen(seen_tract, static):
    """A server that no test writes to, so that its plan is worked once."""
    return client_of(seen_tract, static=static)


@pytest.fixture(scope="module")
def common_tract(tmp_path_factory):
    """A bare tract to which a module writes; each of its tests looks for its own alone."""
    about = check("about", {"name": "Common"}, "test")
    return create(tmp_path_factory.mktemp("common") / "common.tract", about, author="Ash").folder


@pytest.fixture(scope="module")
def common(common_tract, static):
    """The server of that tract."""
    return client_of(common_tract, static=static)


@pytest.fixture
def tract(demo_folder, tmp_path):
    folder = tmp_path / "plover-bench.tract"
    shutil.copytree(demo_folder / "plover-bench.tract", folder)
    return folder


@pytest.fixture
def bare(tmp_path):
    """A tract with nothing in it but its name."""
    about = check("about", {"name": "Bare"}, "test")
    return create(tmp_path / "bare.tract", about, author="Ash").folder


@pytest.fixture
def page(tract, static):
    return client_of(tract, static=static)


@pytest.fixture
def entry():
    """What a page's outbox holds."""

    def made(kind="note", subject=None, body=None, parents=(), **more):
        return {
            "id": new_id(), "kind": kind, "schema": 1, "subject": subject or new_id(),
            "parents": list(parents), "author": "", "device": "phone",
            "said_at": "2027-01-12T15:00:00.250Z", "happened_on": "2027-01-12", "batch": new_id(),
            "visibility": "all", "body": body or {"about": "rain", "text": "0.4 in"}, **more,
        }  # fmt: skip

    return made


@pytest.fixture
def post():
    return lambda page, path, **body: page.post(path, json=body, headers=OURS)

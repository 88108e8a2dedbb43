"""A real server on the invented tract, and a real browser that looks at it."""

import os
import shutil
import socket
import subprocess
import sys
import time
from pathlib import Path
from threading import Thread
from urllib.error import URLError
from urllib.request import urlopen

import pytest
import uvicorn
from _pytest.runner import runtestprotocol

from browser import CHROMIUM
from fencerow.exchange.demo import AS_OF
from fencerow.store import create
from fencerow.tract.entry import Draft
from fencerow.tract.read import check
from fencerow.web.app import PAGES, make_app

SAT = ("treestand", "blind", "camera", "mock scrape")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def pytest_collection_modifyitems(items):
    """Without a browser or pages these tests can't run: said plainly, and on CI a failure."""
    reason = None
    if CHROMIUM is None:
        reason = "no chromium on this machine"
    elif not (PAGES / "index.html").is_file():
        reason = "the pages are not built (make pages)"
    if reason and os.environ.get("CI"):
        raise pytest.UsageError(f"the tests of the pages can't run here: {reason}")
    if reason:
        for item in items:
            if Path(__file__).parent in Path(item.fspath).parents:
                item.add_marker(pytest.mark.skip(reason=reason))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item, nextitem):
    """A page that fails is opened once more: three browsers on two processors starve one another.

    What fails twice fails.
    """
    if Path(__file__).parent not in Path(item.fspath).parents:
        return None
    reports = runtestprotocol(item, nextitem=nextitem, log=False)
    if any(r.failed for r in reports):
        item._initrequest()
        reports = runtestprotocol(item, nextitem=nextitem, log=False)
    item.ihook.pytest_runtest_logstart(nodeid=item.nodeid, location=item.location)
    for report in reports:
        item.ihook.pytest_runtest_logreport(report=report)
    item.ihook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
    return True


def free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


class Process:
    """`fencerow serve` as a person starts it; it can be killed and started again."""

    def __init__(self, tract):
        self.tract, self.port = tract, free_port()
        self.url = f"http://127.0.0.1:{self.port}/"
        self.process = None

    def start(self):
        command = [sys.executable, "-m", "fencerow", "serve", str(self.tract), "--no-open",
                   "--port", str(self.port), "--as-of", AS_OF.isoformat()]  # fmt: skip
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        for _ in range(600):
            try:
                urlopen(self.url, timeout=1).close()
                return
            except (URLError, OSError):
                time.sleep(0.1)
        raise RuntimeError("the server did not come up")

    def stop(self):
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None


class Server:
    """The same application on a real socket, in this process, so that it is up at once."""

    def __init__(self, tract, shelf, as_of=None):
        self.tract, self.shelf, self.as_of, self.port = tract, shelf, as_of, free_port()
        self.url = f"http://127.0.0.1:{self.port}/"
        self.running = None

    def app(self):
        return make_app(self.tract, shelf=self.shelf, as_of=self.as_of)

    def start(self):
        config = uvicorn.Config(self.app(), "127.0.0.1", self.port, log_level="critical")
        self.running = uvicorn.Server(config)
        self.thread = Thread(target=self.running.run, daemon=True)
        self.thread.start()
        while not self.running.started:
            time.sleep(0.01)

    def stop(self):
        if self.running is not None:
            self.running.should_exit = self.running.force_exit = True
            self.thread.join(10)
            self.running = None


@pytest.fixture
def whole(demo_folder, tmp_path):
    """A copy of the invented tract."""
    return Path(
        shutil.copytree(demo_folder / "plover-bench.tract", tmp_path / "plover-bench.tract")
    )


@pytest.fixture
def ways(demo_store, tmp_path):
    """The invented tract's plots and ways alone, so that what is drawn is planned in a blink."""
    about, *rest = demo_store.entries()
    bare = create(tmp_path / "ways.tract", check("about", about.body, "test"), author="Ash")
    drawn = [e for e in rest if e.kind == "place" and e.body["kind"] not in SAT]
    bare.write([Draft(e.kind, e.subject, e.body) for e in drawn])
    return bare.folder


@pytest.fixture
def tract(request):
    """The tract of the test's server: the whole, or what it is asked for by name."""
    return request.getfixturevalue(getattr(request, "param", "whole"))


def running(server):
    server.start()
    yield server
    server.stop()


@pytest.fixture
def server(tract):
    yield from running(Server(tract, tract.parent, AS_OF))


@pytest.fixture(scope="session")
def still(demo_folder, tmp_path_factory):
    """A server for the tests that only look: one for all of them."""
    folder = tmp_path_factory.mktemp("still")
    shutil.copytree(demo_folder / "plover-bench.tract", folder / "plover-bench.tract")
    yield from running(Server(folder / "plover-bench.tract", folder, AS_OF))


@pytest.fixture
def process(tract):
    """A server in a process of its own, to be killed."""
    yield from running(Process(tract))


WAIT_MS = 60_000
"""The most that a page may take on a busy machine; what comes at once is not waited for."""


@pytest.fixture(scope="session")
def browser():
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=WAIT_MS)
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def bare_server(tmp_path):
    """A server in an empty folder, with no tract open."""
    yield from running(Server(None, tmp_path))


SIZES = {"phone": (390, 844), "desk": (1440, 900)}
NO_WORKER = "navigator.serviceWorker.register = () => new Promise(() => {})"
"""No worker keeps the pages on the device: each time it would fetch all of them."""


@pytest.fixture(params=SIZES)
def window(request, browser):
    """A page of a browser that has never been here, of the size of a phone and of a desk.

    Its service worker is installed where the test is marked `worker`.
    """
    width, height = SIZES[request.param]
    context = browser.new_context(viewport={"width": width, "height": height})
    if request.node.get_closest_marker("worker") is None:
        context.add_init_script(NO_WORKER)
    opened = context.new_page()
    opened.set_default_timeout(WAIT_MS)
    opened.errors = []
    opened.on("pageerror", lambda error: opened.errors.append(str(error)))
    yield opened
    context.close()


@pytest.fixture
def page(window, server):
    """The invented tract, opened."""
    window.goto(server.url)
    return window


@pytest.fixture
def look(window, still):
    """The invented tract, opened by somebody who changes nothing."""
    window.goto(still.url)
    return window


@pytest.fixture
def bare(window, bare_server):
    """The pages of a server that has no tract open."""
    window.goto(bare_server.url)
    return window

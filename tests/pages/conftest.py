"""A real server on the invented tract, and a real browser that looks at it."""

import os
import shutil
import socket
import subprocess
import sys
import time
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from fencerow.exchange.demo import AS_OF
from fencerow.web.app import PAGES

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
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


class Server:
    """`fencerow serve` as a person starts it; it can be stopped and started again."""

    def __init__(self, tract, shelf=None):
        self.tract, self.shelf = tract, shelf
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}/"
        self.process = None

    def start(self):
        opened = [] if self.tract is None else [str(self.tract), "--as-of", AS_OF.isoformat()]
        command = [sys.executable, "-m", "fencerow", "serve", *opened, "--no-open",
                   "--port", str(self.port)]  # fmt: skip
        self.process = subprocess.Popen(command, cwd=self.shelf, stdout=subprocess.DEVNULL)
        for _ in range(200):
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


@pytest.fixture
def server(demo_folder, tmp_path):
    shutil.copytree(demo_folder / "plover-bench.tract", tmp_path / "plover-bench.tract")
    running = Server(tmp_path / "plover-bench.tract")
    running.start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def bare_server(tmp_path):
    """A server in an empty folder, with no tract open."""
    running = Server(None, tmp_path)
    running.start()
    yield running
    running.stop()


SIZES = {"phone": (390, 844), "desk": (1440, 900)}


@pytest.fixture(params=SIZES)
def window(request, browser):
    """A page of a browser that has never been here, of the size of a phone and of a desk."""
    width, height = SIZES[request.param]
    context = browser.new_context(viewport={"width": width, "height": height})
    opened = context.new_page()
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
def bare(window, bare_server):
    """The pages of a server that has no tract open."""
    window.goto(bare_server.url)
    return window

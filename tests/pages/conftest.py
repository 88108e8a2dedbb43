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
    reason = None
    if CHROMIUM is None:
        reason = "no chromium on this machine"
    elif not (PAGES / "index.html").is_file():
        reason = "the pages are not built (make pages)"
    if reason:
        for item in items:
            if Path(__file__).parent in Path(item.fspath).parents:
                item.add_marker(pytest.mark.skip(reason=reason))


class Server:
    """`fencerow serve` as a person starts it; it can be stopped and started again."""

    def __init__(self, tract):
        self.tract = tract
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}/"
        self.process = None

    def start(self):
        command = [sys.executable, "-m", "fencerow", "serve", str(self.tract), "--no-open",
                   "--port", str(self.port), "--as-of", AS_OF.isoformat()]  # fmt: skip
        self.process = subprocess.Popen(command, env=os.environ, stdout=subprocess.DEVNULL)
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


@pytest.fixture(params=["phone", "desk"])
def page(request, browser, server):
    size = {"phone": (390, 844), "desk": (1440, 900)}[request.param]
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    opened = context.new_page()
    opened.errors = []
    opened.on("pageerror", lambda error: opened.errors.append(str(error)))
    opened.goto(server.url)
    yield opened
    context.close()

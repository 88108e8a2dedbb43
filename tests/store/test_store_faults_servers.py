"""Two servers on one folder: each sees the other's words, and no copy is taken of half a word."""

import json
import re
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime
from urllib.request import Request, urlopen

import pytest
from how_often import often

from fencerow.store import backups
from fencerow.tract.entry import new_id

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="stopped by a signal of POSIX")

ROUNDS = often(6)


@contextmanager
def serving(folder):
    """The address of `fencerow serve` on a tract."""
    command = [sys.executable, "-m", "fencerow", "serve", str(folder), "--port", "0", "--no-open"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        try:
            yield re.search(r"http://127\.0\.0\.1:\d+/", running.stdout.readline().decode())[0]
            running.send_signal(signal.SIGINT)
            _, complaint = running.communicate(timeout=60)
        finally:
            running.kill()
    assert b"Traceback" not in complaint


def row(subject, text, parents=()):
    return {
        "id": new_id(), "kind": "note", "schema": 1, "subject": subject, "parents": list(parents),
        "author": "", "device": "page", "said_at": datetime.now(UTC).isoformat(),
        "happened_on": None, "batch": new_id(), "visibility": "all", "body": {"text": text},
    }  # fmt: skip


def said(url, *rows):
    """Send entries to a server; the ids that it acknowledged."""
    body = json.dumps({"entries": rows}).encode()
    told = {"content-type": "application/json", "sec-fetch-site": "same-origin"}
    with urlopen(Request(f"{url}api/entries", body, told), timeout=120) as answer:
        receipt = json.load(answer)
    assert receipt["refused"] == []
    return [*receipt["stored"], *receipt["known"]]


def entries_at(url):
    with urlopen(f"{url}api/export/record.json", timeout=120) as answer:
        return answer.read().decode()


def writer(url, name):
    """Send batch after batch; what was acknowledged."""
    return [
        i for n in range(ROUNDS) for i in said(url, *(row(f"{name}{n}-{k}", name) for k in "ab"))
    ]


@pytest.mark.nightly
def test_two_servers_on_one_folder_lose_nothing(store, same):
    with ExitStack() as stack:
        with ThreadPoolExecutor(2) as starting:
            both = [serving(store.folder), serving(store.folder)]
            urls = list(starting.map(lambda each: stack.enter_context(each), both))
        with ThreadPoolExecutor(4) as sending:
            work = [sending.submit(writer, url, f"{k}-") for k, url in enumerate(urls * 2)]
            copies = [store.backup() for _ in range(3)]  # while both are written to
            acknowledged = [i for each in work for i in each.result()]
        (first,) = said(urls[0], row("gate", "shut"))
        (second,) = said(urls[1], row("gate", "open", [first]))
        for url in urls:
            assert all(i in entries_at(url) for i in (first, second))
    assert len(acknowledged) == len(set(acknowledged)) == 4 * ROUNDS * 2
    there = {e.id for e in store.entries()}
    assert {*acknowledged, first, second} <= there
    tract = same(store)
    assert tract.conflicts == ()
    assert tract.notes["gate"].body.text == "open"
    assert store.verify() == ()
    assert all(backups.examined(copy).why is None for copy in copies)

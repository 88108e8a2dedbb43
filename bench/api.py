"""The API on a large tract, over a real socket, and the script that the home page waits for.

Run `python bench/api.py`; `--plots` and `--entries` make it smaller, `--folder` measures a tract
that is there. Every row is the median and the 95th percentile of several answers, in milliseconds.
"""

from __future__ import annotations

import argparse
import gzip
import http.client
import itertools
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from large_tract import build_large

from fencerow.exchange.demo import AS_OF
from fencerow.tract.entry import new_id
from fencerow.web.app import PAGES

AIM_MS, AIM_KB = 100, 60
Row = dict[str, Any]


class Page:
    """A page's connection to a server, kept open between requests."""

    def __init__(self, port: int) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", port)
        self.size = 0

    def ask(self, path: str, **sent: Any) -> Any:
        """The answer to a request; what is sent makes it a post."""
        method, body = ("POST", json.dumps(sent)) if sent else ("GET", None)
        head = {"sec-fetch-site": "same-origin", "content-type": "application/json"}
        self._line.request(method, path, body, head)
        answer = self._line.getresponse()
        content = answer.read()
        assert answer.status == 200, content[:500]
        self.size = len(content)
        return content

    def state(self) -> Any:
        return json.loads(self.ask("/api/state"))


def entry(kind: str, body: Row, subject: str = "", parents: tuple[str, ...] = ()) -> Row:
    """What a page's outbox holds."""
    return {
        "id": new_id(), "kind": kind, "schema": 1, "subject": subject or new_id(),
        "parents": list(parents), "author": "", "device": "bench", "batch": new_id(),
        "said_at": "2027-01-12T15:00:00Z", "happened_on": "2027-01-12", "visibility": "all",
        "body": body,
    }  # fmt: skip


@contextmanager
def served(tract: Path) -> Iterator[tuple[int, int]]:
    """A server on a tract: its port, and its process."""
    command = [sys.executable, "-m", "fencerow", "serve", str(tract), "--no-open", "--port", "0"]
    env = os.environ | {"COLUMNS": "400"}
    with subprocess.Popen(
        [*command, "--as-of", AS_OF.isoformat()], stdout=subprocess.PIPE, text=True, env=env
    ) as server:
        try:
            assert server.stdout is not None
            lines = (re.search(r"http://127\.0\.0\.1:(\d+)/", line) for line in server.stdout)
            yield next(int(found[1]) for found in lines if found), server.pid
        finally:
            server.terminate()


class Times:
    """How long each kind of request took."""

    def __init__(self) -> None:
        self.taken: dict[str, list[float]] = {}

    def of(self, name: str, run: Callable[[], object]) -> None:
        begin = time.perf_counter()
        run()
        self.taken.setdefault(name, []).append(1000 * (time.perf_counter() - begin))

    def lines(self) -> Iterator[str]:
        for name, took in self.taken.items():
            middle, late = statistics.median(took), sorted(took)[int(0.95 * len(took))]
            mark = "" if middle <= AIM_MS else f"   over {AIM_MS}"
            yield f"{name:34}{middle:9.0f} ms {late:9.0f} ms   of {len(took)}{mark}"


def cold(tract: Path, times: Times) -> None:
    """The first state of a server that has just begun to answer."""
    with served(tract) as (port, _):
        times.of("cold first state", lambda: Page(port).ask("/api/state"))


def warm(page: Page, times: Times, runs: int) -> None:
    """One day's requests, again and again."""
    state, moves = page.state(), itertools.count(1)
    held = next(p for p in state["things"]["planting"] if p["body"]["sow_on"] > AS_OF.isoformat())
    figure = next(c["path"] for c in cells(state) if c["path"].startswith("buy."))

    def moved() -> Row:
        body = held["body"] | {"sow_on": f"{AS_OF.year}-08-{next(moves) % 28 + 1:02d}"}
        return entry("planting", body, held["id"], (held["entry"],))

    def written(row: Row) -> None:
        assert row["id"].encode() in page.ask("/api/entries", entries=[row])

    for _ in range(runs):
        times.of("state, nothing changed", lambda: page.ask("/api/state"))
        note = entry("note", {"about": "rain", "text": "0.4 in"})
        times.of("note posted", lambda: written(note))  # noqa: B023
        times.of("state after a note", lambda: page.ask("/api/state"))
        times.of("a sowing day tried", lambda: page.ask("/api/try", entries=[moved()]))
        change = moved()
        times.of("planting posted", lambda: written(change))  # noqa: B023
        times.of("state after a changed planting", lambda: page.ask("/api/state"))
        held["entry"] = change["id"]
        times.of("why of one figure", lambda: page.ask(f"/api/why?path={figure}"))
        times.of("why of it again", lambda: page.ask(f"/api/why?path={figure}"))
        times.of("forms", lambda: page.ask("/api/forms"))
        times.of("record.json", lambda: page.ask("/api/export/record.json"))
    assert page.state()["conflicts"] == []


def cells(state: Any) -> Iterator[Row]:
    """The cells of a state's sheets that lead to a working."""
    for sheet in state["sheets"]:
        for table in sheet["tables"]:
            for row in table["rows"]:
                yield from (cell for cell in row if isinstance(cell, dict))


def memory_mb(pid: int) -> str:
    """What a process holds now, and held at most; nothing where the system does not say."""
    status = Path(f"/proc/{pid}/status")
    text = status.read_text() if status.exists() else ""
    found = dict(re.findall(r"^(VmRSS|VmHWM):\s+(\d+) kB", text, re.MULTILINE))
    return ", ".join(f"{name} {int(kb) / 1024:.0f} MB" for name, kb in sorted(found.items()))


def script_bytes(static: Path) -> int:
    """The script, gzipped, that the home page waits for: its module and what that one imports."""
    shell = (static / "index.html").read_text(encoding="utf-8")
    waiting = [static / p.lstrip("/") for p in re.findall(r'<script[^>]* src="([^"]+\.js)"', shell)]
    met: dict[Path, int] = {}
    while waiting:
        file = waiting.pop().resolve()
        if file not in met:
            code = file.read_bytes()
            met[file] = len(gzip.compress(code))
            named = re.findall(rb"""(?:from|import)\s*["'`](\.[^"'`]+\.js)["'`]""", code)
            waiting += [file.parent / name.decode() for name in named]
    return sum(met.values())


def report(tract: Path, runs: int, starts: int) -> None:
    times = Times()
    for _ in range(starts):
        cold(tract, times)
    with served(tract) as (port, pid):
        page = Page(port)
        warm(page, times, runs)
        page.state()
        size = page.size
        held = memory_mb(pid)
    print(f"{'answer':34}{'median':>12} {'p95':>12}")
    print("\n".join(times.lines()))
    print(f"the state is {size / 1e6:.1f} MB; the server holds {held or 'not known'}")


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    for name, usual in (("plots", 200), ("entries", 10_000), ("runs", 15), ("starts", 3)):
        words.add_argument(f"--{name}", type=int, default=usual)
    words.add_argument("--folder", type=Path, help="a tract to measure; entries are added to it")
    asked = words.parse_args()
    if (PAGES / "index.html").exists():
        size = script_bytes(PAGES) / 1000
        print(f"home page's script: {size:.1f} kB gzipped (aim: under {AIM_KB})")
    else:
        print("the pages are not built; see ui/README.md")
    with tempfile.TemporaryDirectory() as home:
        tract = asked.folder or build_large(Path(home) / "large", asked.plots, asked.entries)
        report(tract, asked.runs, asked.starts)


if __name__ == "__main__":
    main()

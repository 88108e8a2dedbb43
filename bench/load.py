"""A day of twenty people on one tract at once: how long they wait, and whether anything is lost.

Run `python bench/load.py`. It makes a large invented record from a seed, starts `fencerow serve` on
it with an account for everybody, lets Locust (a general load tool, in an environment of its own,
for it patches Python's sockets: `pip install locust`) play the people of `load_day.py`, and then
holds what was acknowledged against the record: every entry once, none lost. `--folder` takes a
tract that is there; `--locust` says where the tool stands.
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import random
import re
import secrets
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from api import memory_mb
from large_tract import SEED, build_large

from fencerow.exchange.demo import AS_OF
from fencerow.store import Store
from fencerow.store.invented import SAID_AT
from fencerow.tract.entry import Draft, counted_ids
from fencerow.web.accounts import Accounts

HERE = Path(__file__).parent
ROLES = ("owner", "manager", *["crew"] * 8, *["hunter"] * 10)
AIM_MS = 300
FIRST_PLAN_S = 1800


def build_year(home: Path, plots: int, entries: int, sown: int | None) -> Path:
    """The large tract, an eighth of its entries visits of cameras, counts and sits."""
    lived = entries // 8
    tract = build_large(home / "large", plots, entries - lived, sown)
    store, dice, ids = Store.open(tract), random.Random(SEED + 1), counted_ids("a lived year")
    drafts = list(_lived(store, dice, ids, entries - sum(store.size())))
    store.write(drafts, author="bench", now=lambda: SAID_AT)
    return tract


def _lived(store: Store, dice: random.Random, ids, count: int) -> Iterator[Draft]:
    tract = store.tract()
    by_kind = {p.id: p.body for p in tract.places.values()}
    cameras = sorted(i for i, b in by_kind.items() if type(b).__name__ == "Camera")
    stands = sorted(i for i, b in by_kind.items() if type(b).__name__ == "Treestand")
    plots = sorted(p.id for p in tract.plots())
    for n in range(count):
        day = date(AS_OF.year - 1, 2, 1) + timedelta(days=dice.randrange(340))
        if n % 10 < 6 and cameras:
            began = datetime(day.year, day.month, day.day, dice.randrange(24), tzinfo=UTC)
            ended = began + timedelta(minutes=dice.randrange(1, 9))
            yield Draft("visit", ids(), {
                "camera": dice.choice(cameras), "began": began.isoformat(),
                "ended": ended.isoformat(), "photos": dice.randrange(1, 9),
                "does": dice.randrange(3), "bucks": dice.randrange(2), "fawns": dice.randrange(2),
            }, day)  # fmt: skip
        elif n % 10 < 8:
            counts = [dice.randrange(2, 14) for _ in range(8)]
            yield Draft("count", ids(), {
                "place": dice.choice(plots), "on": day.isoformat(),
                "method": "seedlings in frames", "frame_ft2": 1, "counts": counts,
            }, day)  # fmt: skip
        else:
            yield Draft("sit", ids(), {
                "place": dice.choice(stands), "on": day.isoformat(), "person": "Reed",
                "begins": "06:00", "ends": "09:30", "wind_from_deg": dice.randrange(360),
                "deer_count": dice.randrange(6),
            }, day)  # fmt: skip


def enrol(tract: Path) -> list[dict[str, str]]:
    """An account for everybody."""
    people = []
    for number, role in enumerate(ROLES, 1):
        name, password = f"{role} {number}", secrets.token_urlsafe(12)
        Accounts(tract).add(name, role, password)
        people.append({"name": name, "password": password, "role": role})
    return people


@contextmanager
def served(tract: Path, port: int) -> Iterator[tuple[str, int]]:
    """A server on a tract: its address, and its process."""
    command = [sys.executable, "-m", "fencerow", "serve", str(tract), "--no-open"]
    command += ["--port", str(port), "--as-of", AS_OF.isoformat()]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env=os.environ | {"COLUMNS": "400"}
    ) as server:
        try:
            assert server.stdout is not None
            found = (re.search(r"http://127\.0\.0\.1:\d+", line) for line in server.stdout)
            yield next(f[0] for f in found if f), server.pid
        finally:
            server.terminate()


def wait_for_plans(url: str, people: list[dict[str, str]]) -> float:
    """How long it takes until everybody has a first plan [s]."""
    begin = time.perf_counter()
    for role in dict.fromkeys(ROLES):
        person = next(p for p in people if p["role"] == role)
        head = {"content-type": "application/json", "sec-fetch-site": "same-origin"}
        body = json.dumps({n: person[n] for n in ("name", "password")}).encode()
        sent = urllib.request.Request(f"{url}/api/sign-in", body, head)
        cookie = urllib.request.urlopen(sent).headers["set-cookie"].split(";")[0]
        while True:
            asked = urllib.request.Request(f"{url}/api/state?have=", headers={"cookie": cookie})
            try:
                urllib.request.urlopen(asked).close()
                break
            except urllib.error.HTTPError as error:
                if error.code != 425 or time.perf_counter() - begin > FIRST_PLAN_S:
                    raise
                time.sleep(2)
    return time.perf_counter() - begin


def play(locust: str, url: str, people: list[dict[str, str]], home: Path, seconds: int) -> Path:
    """The tool, for so long; the folder with what it wrote down."""
    (home / "people.json").write_text(json.dumps(people), encoding="utf-8")
    command = [locust, "-f", str(HERE / "load_day.py"), "--headless", "--only-summary"]
    command += ["--host", url, "--users", str(len(people)), "--spawn-rate", "2"]
    command += ["--run-time", f"{seconds}s", "--stop-timeout", "30", "--csv", str(home / "day")]
    # the tool's own environment: ours would shadow it
    env = {n: v for n, v in os.environ.items() if n != "PYTHONPATH"}
    with (home / "tool.txt").open("w") as said:
        subprocess.run(command, env=env | {"LOAD_HOME": str(home)}, stdout=said, stderr=said)
    return home


def report(home: Path) -> int:
    """The tool's figures by kind of request; how many requests failed."""
    with (home / "day_stats.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    print(f"{'request':32}{'count':>7}{'errors':>7}{'p50':>8}{'p95':>8}{'p99':>8}{'kB':>8}   [ms]")
    for row in rows:
        of = [float(row[n]) for n in ("50%", "95%", "99%")]
        kb = float(row["Average Content Size"]) / 1000
        mark = "" if of[1] <= AIM_MS else f"   over {AIM_MS}"
        told = "".join(f"{v:8.0f}" for v in of)
        counts = f"{row['Request Count']:>7}{row['Failure Count']:>7}"
        print(f"{row['Name']:32}{counts}{told}{kb:8.1f}{mark}")
    with (home / "day_failures.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            print(f"{row['Occurrences']} failed: {row['Name']}: {row['Error']}")
    return int(rows[-1]["Failure Count"])


def hold(tract: Path, home: Path, before: int) -> int:
    """Every entry that was acknowledged stands in the record once; how many they are."""
    said = [line for f in home.glob("said-*.txt") for line in f.read_text().splitlines()]
    held = [e.id for e in Store.open(tract).entries()]
    assert len(held) == len(set(held)), "an entry stands twice"
    assert len(said) == len(set(said)), "an entry was acknowledged as new twice"
    lost = set(said) - set(held)
    assert not lost, f"{len(lost)} acknowledged entries are not in the record"
    assert len(held) >= before + len(said)
    return len(said)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    for name, usual in (("plots", 200), ("entries", 10_000), ("seconds", 180), ("port", 0)):
        words.add_argument(f"--{name}", type=int, default=usual)
    words.add_argument("--sown", type=int, help="new plots that are ever sown; all where left out")
    words.add_argument("--folder", type=Path, help="a tract to play on; entries are added to it")
    words.add_argument("--locust", default=shutil.which("locust"), help="where the tool stands")
    asked = words.parse_args()
    if asked.locust is None:
        sys.exit("locust is not here: pip install locust, and name it with --locust")
    with tempfile.TemporaryDirectory() as made:
        home = Path(made)
        tract = asked.folder or build_year(home, asked.plots, asked.entries, asked.sown)
        before, people = sum(Store.open(tract).size()), enrol(tract)
        with served(tract, asked.port) as (url, pid):
            print(f"{before} entries; first plans after {wait_for_plans(url, people):.0f} s")
            play(asked.locust, url, people, home, asked.seconds)
            memory = memory_mb(pid)
        failed = report(home)
        print(f"the server held {memory or 'not known'}")
        print(f"{hold(tract, home, before)} acknowledged entries, each in the record once")
    if failed:
        sys.exit(f"{failed} requests failed")


if __name__ == "__main__":
    main()

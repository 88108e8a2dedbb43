"""Devices with an outbox, and a line that loses, doubles and reorders: nothing is lost or doubled.

By night a thousand random histories; a few in each run. A device's clock is off by days:
clocks order nothing. Half-way the tract is copied, and the copies are joined at the end.
"""

import random
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from how_often import often
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fencerow.store import Store, create
from fencerow.store.bundle import join
from fencerow.tract.bodies import About
from fencerow.tract.fold import fold
from fencerow.web.intake import take

SAID = datetime(2026, 11, 1, 12, tzinfo=UTC)
HISTORIES = 1000 if often(1) > 1 else 4
SUBJECTS = ("gate", "plot", "stand")


class Device:
    """A phone: what it wrote waits until the server has named it."""

    def __init__(self, name, chance):
        self.name, self.chance, self.count = name, chance, 0
        self.off = timedelta(days=chance.choice((-3, 0, 0, 400)))
        self.waits, self.seen, self.wrote = [], {}, []

    def write(self):
        subject = self.chance.choice(SUBJECTS)
        self.count += 1
        row = {
            "id": f"{self.name}-{self.count}", "kind": "note", "schema": 1, "subject": subject,
            "parents": list(self.seen.get(subject, ())), "author": self.name, "device": self.name,
            "said_at": (SAID + self.off).isoformat(), "happened_on": None, "batch": self.name,
            "visibility": "all", "body": {"text": f"{self.name} {self.count}"},
        }  # fmt: skip
        self.seen[subject] = (row["id"],)
        self.waits.append(row)
        self.wrote.append(row["id"])

    def send(self, store, line):
        """Some of what waits, as the line will have it; forgotten only where it is named."""
        rows = self.waits[:]
        if line == "reordered":
            self.chance.shuffle(rows)
        if line == "cut":
            rows = rows[: self.chance.randrange(len(rows) + 1)]
        if line == "message lost":
            return
        answer = take(store, rows + rows if line == "doubled" else rows, self.name, {})
        assert not answer["refused"]
        assert not answer["clashed"]
        if line == "answer lost":
            return
        named = {*answer["stored"], *answer["known"]}
        self.waits = [row for row in self.waits if row["id"] not in named]

    def look(self, store):
        """Fetch what stands now; what waits here still replaces what it was written on."""
        waiting = {row["subject"] for row in self.waits}
        heads = {}
        for kept in store.tract().notes.values():
            heads[kept.id] = (kept.entry,)
        self.seen |= {s: h for s, h in heads.items() if s not in waiting}


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    home = tmp_path_factory.mktemp("sync")
    return create(home / "Blank", About(name="Blank"), author="Ada", now=lambda: SAID).folder


@settings(
    deadline=None,
    max_examples=HISTORIES,
    suppress_health_check=[HealthCheck.function_scoped_fixture],  # it makes a fresh one each time
)
@given(seed=st.integers(0, 2**32), steps=st.integers(5, 40))
def test_nothing_is_lost_or_doubled_whatever_the_line_does(empty, either, seed, steps):
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as home:
        stores = [Store.open(either.fresh(empty, Path(home, "One.tract")))]
        devices = [Device(name, chance) for name in ("ash", "birch", "cedar")]
        for number in range(steps):
            if number == steps // 2:
                two = either.copy(stores[0].folder, Path(home, "Two.tract"))
                stores.append(Store.open(two))
            device, store = chance.choice(devices), chance.choice(stores)
            device.write()
            if chance.random() < 0.5:
                line = ("whole", "cut", "reordered", "doubled", "message lost", "answer lost")
                device.send(store, chance.choice(line))
            if chance.random() < 0.4:
                device.look(store)
        for device in devices:
            device.send(chance.choice(stores), "whole")
            assert device.waits == []
        one, two = stores
        join(one, two.folder)
        join(two, one.folder)
        wrote = sorted(i for device in devices for i in device.wrote)
        for store in stores:
            there = store.entries()
            assert sorted(e.id for e in there[1:]) == wrote
            assert store.tract() == fold(there)
            assert store.verify() == ()
        assert repr(one.tract()) == repr(two.tract())

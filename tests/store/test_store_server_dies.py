"""The server dies, or the line to it breaks: what was acknowledged is there, once, and is said."""

import os
import random
import signal
from contextlib import closing
from datetime import UTC, datetime

import pytest
from how_often import often
from sqlalchemy import event
from store_processes import hear, start
from store_writer import write_until_cut

from fencerow.store import Store, create, log
from fencerow.store.address import Address
from fencerow.store.postgres import Postgres
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft, Entry
from fencerow.words import BadInput

SAID = datetime(2026, 11, 1, 12, tzinfo=UTC)
DEER = Draft("deer", "deer", {"low": 1, "likely": 2, "high": 3})
KILLS = often(3)


@pytest.fixture
def store(own_postgres, tmp_path):
    """A tract on a server that waits for its disk."""
    address = Address.read(own_postgres.database()).named("sedge")
    return create(tmp_path / "Sedge", About(name="Sedge"), author="Ada", now=lambda: SAID,
                  address=address)  # fmt: skip


def test_every_acknowledged_entry_outlives_the_death_of_the_server(
    apart, own_postgres, store, same
):
    assert own_postgres.ask("SHOW fsync") == [("on",)]
    chance = random.Random(20261102)
    acknowledged = []
    for kill in range(KILLS):
        process, heard = start(apart, write_until_cut, store.folder, f"w{kill}")
        with closing(heard):
            said = hear(heard, chance.randrange(1, 8))
            process.join(chance.random() * 0.01)
            if kill % 3 == 1:  # kill -9 of the one process that serves the writer: all start anew
                (pid,) = own_postgres.ask(
                    "SELECT pid FROM pg_stat_activity WHERE datname ~ '^d' LIMIT 1"
                )[0]
                os.kill(pid, signal.SIGKILL)
                said += hear(heard)
                own_postgres.stop()
            else:
                own_postgres.stop("immediate")
                said += hear(heard)
            process.join()
        own_postgres.start()
        assert said.pop() in ("database-away", "database-cut", "database-stopped",
                              "database-cut-unknown")  # fmt: skip
        acknowledged += [i for batch in said for i in batch]
        there = [e.id for e in Store.open(store.folder).entries()]
        assert set(acknowledged) <= set(there)
        assert len(there) % 3 == 1  # the first entry, and whole batches
        assert Store.open(store.folder).verify() == ()
    assert acknowledged
    assert same(Store.open(store.folder)).conflicts == ()


def test_a_server_that_is_stopped_is_told_and_found_again(own_postgres, store):
    store.write([DEER])
    own_postgres.stop("fast")
    with pytest.raises(BadInput, match="does not answer"):
        store.write([DEER])
    own_postgres.start()
    assert store.write([DEER])
    assert len(store.entries()) == 3


def cut(connection):
    """Break the line, as a router does that is switched off."""
    connection.connection.dbapi_connection.pgconn.finish()


def breaks(store, where, times=1):
    """Let the line break so many times: before the server is asked to keep it, or just after."""
    left = [times]

    @event.listens_for(store.base.engine, "commit")
    def _commit(connection):
        if left[0]:
            left[0] -= 1
            if where == "after":
                connection.connection.dbapi_connection.pgconn.exec_(b"COMMIT")
            cut(connection)


@pytest.mark.parametrize("where", ["before", "after"])
def test_a_line_that_breaks_as_it_is_kept_writes_once(store, where):
    breaks(store, where)
    (entry,) = store.write([DEER])
    assert [e.id for e in store.entries()[1:]] == [entry.id]
    theirs = Entry("x", "deer", 1, "deer", (), "Bo", "d", SAID, None, "b", "all", DEER.body)
    breaks(store, where)
    receipt = store.take([theirs])
    assert (*receipt.stored, *receipt.known) == ("x",)
    assert len(store.entries()) == 3
    assert store.verify() == ()


@pytest.mark.parametrize("where", ["before", "after"])
def test_where_it_breaks_twice_it_says_that_it_does_not_know(store, where):
    breaks(store, where, times=2)
    with pytest.raises(BadInput, match="whether it was kept is not known"):
        store.write([DEER])
    assert len(store.entries()) == (2 if where == "after" else 1)


def test_a_line_that_breaks_before_the_end_keeps_nothing(store, own_postgres, monkeypatch):
    true = log.append

    def append(connection, entries):
        true(connection, entries)
        own_postgres.ask(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )
        connection.exec_driver_sql("SELECT 1")

    monkeypatch.setattr(log, "append", append)
    with pytest.raises(BadInput, match=r"the line to the database was lost .* nothing was added"):
        store.write([DEER])
    monkeypatch.undo()
    assert len(store.entries()) == 1
    assert isinstance(store.base, Postgres)

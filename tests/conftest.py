"""Profiles of hypothesis, the invented tract built once, and what costs much made once or cheap."""

import gc
import multiprocessing
import os
from collections import ChainMap
from functools import cache
from threading import Lock
from typing import get_args

import pytest
from argon2 import PasswordHasher
from fastapi._compat import v2
from hypothesis import settings
from typer.main import get_command

import postgres_server
from fencerow.exchange.demo import AS_OF
from fencerow.plan.plan import make_plan
from fencerow.store import Store
from fencerow.store.given import given_of
from fencerow.store.invented import build
from fencerow.web import ahead, jobs, passwords
from postgres_server import either, one_database, own_postgres, postgres  # noqa: F401

settings.register_profile("default", deadline=None, max_examples=60)
settings.register_profile("nightly", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))
gc.set_threshold(100_000, 20, 100)  # plans are large and live long: to look through them takes time


def pytest_configure(config):
    postgres_server.configure(config)


def pytest_unconfigure(config):
    postgres_server.unconfigure(config)


def pytest_collection_modifyitems(items):
    """What only repeats at length what other tests hold waits for the night."""
    if os.environ.get("HYPOTHESIS_PROFILE") != "nightly":
        skip = pytest.mark.skip(reason="left to make nightly")
        for item in items:
            if item.get_closest_marker("nightly"):
                item.add_marker(skip)


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "demo"
    build(folder)
    DEMO.append(folder / "plover-bench.tract")
    return folder


@pytest.fixture(scope="session")
def demo_store(demo_folder):
    return Store.open(demo_folder / "plover-bench.tract")


@pytest.fixture(scope="session")
def demo_given(demo_store):
    return given_of(demo_store, AS_OF)


DEMO, WORKING = [], Lock()
"""The invented tract, once a test has had it built; and who works its plan."""


@cache
def plan_kept(folder):
    """What the planners keep of the plan of a tract, by their keys."""
    kept = {}
    make_plan(given_of(Store.open(folder), AS_OF), kept)
    return kept


def kept_of_demo():
    """The same of the invented tract, also for threads, which may ask for no fixture."""
    with WORKING:
        return plan_kept(DEMO[0]) if DEMO else {}


@pytest.fixture(scope="session")
def worked(demo_folder):
    """What the planners keep of the invented tract's plan, by their keys."""
    return kept_of_demo()


@pytest.fixture(scope="session")
def demo_plan(demo_given, worked):
    return make_plan(demo_given, worked)


@pytest.fixture(scope="session", autouse=True)
def worked_once():
    """The terminal and the servers of this process find the invented tract's plan worked."""

    def remembering(given, cache=None):
        return make_plan(given, ChainMap({} if cache is None else cache, kept_of_demo()))

    with pytest.MonkeyPatch.context() as patch:
        for door in ("web.desk", "plan.plan", "store.shelf"):
            patch.setattr(f"fencerow.{door}.make_plan", remembering)
        yield


@pytest.fixture(scope="session", autouse=True)
def formed_once():
    """The forms that routes are asked in and answer in are read once, not for each server."""
    read, kept = v2.TypeAdapter, {}

    def remembering(form, **more):
        key = get_args(form)[0], repr(form), repr(more)
        if key not in kept:
            kept[key] = read(form, **more)
        return kept[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(v2, "TypeAdapter", remembering)
        yield


@pytest.fixture(scope="session", autouse=True)
def commanded_once():
    """The commands of the terminal are put together once, not for each that is run."""
    put_together = cache(get_command)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("typer.testing._get_command", put_together)
        patch.setattr("typer.main.get_command", put_together)
        yield


@pytest.fixture(scope="session")
def apart():
    """A context whose processes start in a moment, where the system can fork a clean server."""
    forks = "forkserver" in multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("forkserver" if forks else "spawn")
    if forks:
        context.set_forkserver_preload(["fencerow.web.house"])
    return context


@pytest.fixture(scope="session", autouse=True)
def forked(apart):
    """The work of a server starts in a moment; it holds how it does in earnest, which takes two
    seconds."""
    earnest = jobs._SPAWN
    with pytest.MonkeyPatch.context() as patch:
        for room in (jobs, ahead):
            patch.setattr(room, "_SPAWN", apart)
        yield earnest


@pytest.fixture(scope="session", autouse=True)
def cheap():
    """Passwords are hashed in no time; in earnest each takes a quarter second. It holds what hashes
    them in earnest, and what stands for nobody's password."""
    earnest = passwords._hasher, passwords._NOBODYS
    hasher = PasswordHasher(1, 64, 1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "_hasher", hasher)
        patch.setattr(passwords, "_NOBODYS", hasher.hash("nobody's"))
        yield earnest

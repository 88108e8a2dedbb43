"""Profiles of hypothesis, and the invented tract, built once for the whole run."""

import gc
import os
from collections import ChainMap

import pytest
from hypothesis import settings

import postgres_server
from fencerow.exchange.demo import AS_OF
from fencerow.plan.plan import make_plan
from fencerow.store.given import given_of
from fencerow.store.invented import build
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
    return folder


@pytest.fixture(scope="session")
def demo_store(demo_folder):
    from fencerow.store import Store

    return Store.open(demo_folder / "plover-bench.tract")


@pytest.fixture(scope="session")
def demo_given(demo_store):
    return given_of(demo_store, AS_OF)


@pytest.fixture(scope="session")
def demo_plan(demo_given):
    return make_plan(demo_given)


@pytest.fixture(scope="session", autouse=True)
def worked_once(request):
    """The terminal and the servers of this process find the invented tract's plan worked."""
    worked = {}

    def remembering(given, cache=None):
        if not worked:
            make_plan(request.getfixturevalue("demo_given"), worked)
        return make_plan(given, ChainMap({} if cache is None else cache, worked))

    with pytest.MonkeyPatch.context() as patch:
        for door in ("web.desk", "plan.plan", "store.shelf"):
            patch.setattr(f"fencerow.{door}.make_plan", remembering)
        yield

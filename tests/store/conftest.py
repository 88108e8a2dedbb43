"""A fresh tract for each test, copied from one that is made once."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fencerow.store import Store, create
from fencerow.tract.bodies import About
from fencerow.tract.fold import fold

SAID = datetime(2026, 11, 1, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def blank(tmp_path_factory) -> Path:
    home = tmp_path_factory.mktemp("blank")
    return create(home / "Blank", About(name="Blank"), author="Ada", now=lambda: SAID).folder


@pytest.fixture
def copied(blank, tmp_path):
    """Call it for the folder of one more fresh tract."""
    count = iter(range(10_000))
    return lambda: shutil.copytree(blank, tmp_path / f"copy-{next(count)}.tract")


@pytest.fixture
def store(copied) -> Store:
    return Store.open(copied(), now=lambda: SAID)


@pytest.fixture
def same():
    """Hold a store to its log: what it says is what the log folds to, projected or not."""

    def check(store: Store):
        tract = fold(store.entries())
        assert store.tract() == tract  # folded, and projected where it was not
        assert store.tract() == tract  # from the projections
        assert list(store.tract().places) == sorted(tract.places)
        return tract

    return check

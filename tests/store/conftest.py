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
def copied(blank, tmp_path, either):
    """Call it for the folder of one more fresh tract, its record in the one store or the other."""
    count = iter(range(10_000))
    return lambda: either.fresh(blank, tmp_path / f"copy-{next(count)}.tract")


@pytest.fixture
def store(copied) -> Store:
    return Store.open(copied(), now=lambda: SAID)


@pytest.fixture
def in_folder(blank, tmp_path) -> Store:
    """A store whose record is in its folder, for what is a matter of that file."""
    return Store.open(shutil.copytree(blank, tmp_path / "folder.tract"), now=lambda: SAID)


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

"""Shelf: the tracts of one folder, and what is kept of each so that a list answers at once.

A line of the list is worked from a plan, and a plan takes seconds. So the line is kept beside the
record, with the state of the log and the day that it is of; it can be thrown away at any time.
"""

from __future__ import annotations

import hashlib
from collections.abc import Set
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pydantic import TypeAdapter
from pydantic.dataclasses import dataclass as checked

from fencerow import __version__
from fencerow.plan.at_hand import AtHand, at_hand
from fencerow.plan.glance import Glance, glances
from fencerow.plan.plan import make_plan
from fencerow.store import files
from fencerow.store.address import ADDRESS
from fencerow.store.dialect import is_tract
from fencerow.store.given import given_of, own_files
from fencerow.store.record import RECORD, Store
from fencerow.tract.fold import Folded
from fencerow.tract.model import slug_of
from fencerow.tract.veil import veiled

KEPT = "glances.json"
SHORT = 8
"""Letters of a tract's id that tell it apart in an address: 40 random bits."""
Levels = frozenset[str]


@dataclass(frozen=True)
class Found:
    """A tract's folder, by its name; `mark` is another where another record stands in it."""

    name: str
    folder: Path
    mark: tuple[int, int]


def tracts_of(shelf: Path) -> list[Found]:
    """The tracts that stand in a folder now, by name. Nothing is opened."""
    folders = (p for p in shelf.absolute().glob("*.tract") if p.is_dir())
    return sorted((_found(p) for p in folders), key=lambda f: (f.name.casefold(), f.name))


def is_shelf(folder: Path) -> bool:
    """Whether a folder is none of a tract but holds some."""
    return folder.is_dir() and not is_tract(folder) and bool(tracts_of(folder))


def _found(folder: Path) -> Found:
    try:
        held = folder / ADDRESS if (folder / ADDRESS).is_file() else folder / RECORD
        stat = held.stat()
    except OSError:  # whoever opens it says what is wrong
        return Found(folder.name, folder, (0, 0))
    return Found(folder.name, folder, (stat.st_dev, stat.st_ino))


def address_of(name: str, tract_id: str) -> str:
    """How a tract is named in an address: its name to be read, its id to be found by.

    Only the id counts, so that an address outlives a new name, of the tract and of its folder.
    """
    return f"{slug_of(name)}-{tract_id[:SHORT]}"


def mark_of(store: Store, tract_id: str) -> tuple[int, str]:
    """How many entries there are, and a digest that is another as soon as one is new."""
    entries, clashes = store.size()
    text = repr((tract_id, entries, clashes, [e.id for e in store.log(1)]))
    return entries + clashes, hashlib.sha256(text.encode()).hexdigest()[:16]


@dataclass(frozen=True)
class Looked:
    """What a look into a record found: its mark, and what is at hand for who may see so much."""

    count: int
    digest: str
    hand: AtHand


def look(
    store: Store, tract_id: str, levels: Levels | None, before: Looked | None = None
) -> Looked:
    """See what is at hand of an open record; what was found before where nothing has changed.

    The log is let go of again: of many tracts it would fill the memory.

    Raises:
        BadInput: it is damaged, or held by another.
    """
    count, digest = mark_of(store, tract_id)
    if before is not None and before.digest == digest:
        return before
    folded = seen(Folded.of(store.entries()), levels)
    return Looked(count, digest, at_hand(folded.entries, folded.tract))


def id_of(store: Store) -> str:
    """A tract's id: that of the first word about it."""
    return store.entries()[0].id


def seen(folded: Folded, levels: Set[str] | None) -> Folded:
    """What is left of a log to who may see so much; all of it for None."""
    if levels is None:
        return folded
    left = tuple(veiled(folded.entries, levels))
    return folded if left == tuple(folded.entries) else Folded.of(left)


def key_of(store: Store, digest: str) -> str:
    """What a glance is kept under: another where log, own tables or package are others."""
    text = repr((digest, own_files(store.folder), __version__))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@checked(frozen=True)
class Kept:
    """A plan at a glance, in each manner of reading: its state and day, and its entries."""

    key: str
    day: date
    count: int
    told: dict[str, Glance]


_ALL = TypeAdapter(dict[str, Kept])


def kept(folder: Path) -> dict[str, Kept]:
    """The glances that are kept beside a record, by who may see them."""
    try:
        return _ALL.validate_json((folder / KEPT).read_bytes())
    except (OSError, ValueError):
        return {}


def keep(folder: Path, levels: Levels | None, made: Kept) -> None:
    """Keep a glance beside the record; where the disk refuses, it is worked again another time."""
    with suppress(OSError), files.part_of(folder) as part:
        part.write_bytes(_ALL.dump_json(kept(folder) | {named(levels): made}))
        part.replace(folder / KEPT)


def named(levels: Levels | None) -> str:
    """Who may see so much, as a word."""
    return "everything" if levels is None else " ".join(sorted(levels))


def glanced(folder: Path, day: date, levels: Levels | None) -> Kept:
    """Plan a tract for a day, and keep what the plan says at a glance.

    Raises:
        BadInput: the record, or a table of the person's own, can't be read.
    """
    store = Store.open(folder)
    count, digest = mark_of(store, id_of(store))
    key = key_of(store, digest)
    tract = seen(store.folded(), levels).tract
    made = Kept(key, day, count, glances(make_plan(given_of(store, day, tract=tract))))
    keep(folder, levels, made)
    return made

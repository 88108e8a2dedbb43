"""All of a tract in one file, and back; and two copies of one tract joined."""

from __future__ import annotations

import json
import secrets
import shutil
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import IO

from fencerow.exchange.ground.archive import BROKEN
from fencerow.store import files, record
from fencerow.store.given import OWN_SYSTEMS, OWN_TABLES
from fencerow.store.log import Receipt
from fencerow.store.record import Store
from fencerow.tract.entry import Entry, canonical
from fencerow.words import BadInput

LOG = "record.jsonl"
HOMES = (*dict.fromkeys(files.FOLDER_OF_ROLE.values()), OWN_TABLES, OWN_SYSTEMS)
"""The folders of a tract that belong to it, beside the log."""

MOST_FILES, MOST_BYTES, MOST_LINE = 200_000, 64 << 30, 4 << 20
_CHUNK = 1 << 20


@dataclass(frozen=True)
class Joined:
    """What another copy brought: its entries, the files that were new, and what is in doubt."""

    receipt: Receipt
    files: int
    conflicts: int


def pack(store: Store, target: Path) -> Path:
    """Write the whole log and every kept file of a tract into one zip, whole or not at all.

    Raises:
        BadInput: the file is there already, or the disk refused.
    """
    if target.exists():
        raise BadInput("store-exists", folder=target)
    entries = store.entries()
    with files.refused(target), files.part_of(target.parent) as part:
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as out:
            lines = "".join(canonical(e.as_json()) + "\n" for e in entries)
            out.writestr(LOG, lines)
            for file in _files(store.folder):
                out.write(file, file.relative_to(store.folder).as_posix())
        files.sync_file(part)
        part.replace(target)
    return target


def unpack(bundle: Path, folder: Path, author: str, now: Callable[[], datetime]) -> Store:
    """Make a tract of a bundle: the same entries, in their order, and the same files.

    Raises:
        BadInput: it is no bundle, a line or file of it is wrong, or the folder is there already;
            nothing was made.
    """
    with _opened(bundle) as held:
        entries = list(_entries(bundle, held))
        named = list(_members(bundle, held))
        store = record.remake(folder, entries, author=author, now=now)
        try:
            for member, where in named:
                _write(held, member, store.folder / where)
        except BaseException:
            shutil.rmtree(store.folder, ignore_errors=True)
            raise
    return store


def join(store: Store, other: Path) -> Joined:
    """Take in what another copy of the tract holds, a folder or a bundle; twice changes nothing.

    Raises:
        BadInput: it is no copy of this tract, or something in it is wrong; no entry was added.
    """
    before = len(store.folded().tract.conflicts)
    if other.is_dir():
        there = Store.open(other)
        receipt = _taken(store, other, there.entries())
        count = sum(_copied(store.folder, f, f.relative_to(other)) for f in _files(other))
    else:
        with _opened(other) as held:
            named = list(_members(other, held))
            receipt = _taken(store, other, list(_entries(other, held)))
            count = sum(_write(held, member, store.folder / where) for member, where in named)
    return Joined(receipt, count, len(store.folded().tract.conflicts) - before)


def _taken(store: Store, other: Path, entries: list[Entry]) -> Receipt:
    """The files go by content, so to have them late loses nothing; entries go first."""
    if not entries or entries[0].id != store.entries()[0].id:
        raise BadInput("store-not-one-tract", folder=store.folder, other=other)
    return store.take(entries)


def _files(folder: Path) -> Iterator[Path]:
    for home in HOMES:
        for file in sorted((folder / home).rglob("*")):
            if file.is_file() and not file.is_symlink() and not file.name.startswith("."):
                yield file


def _copied(folder: Path, file: Path, where: Path) -> bool:
    target = folder / where
    if target.exists():
        return False  # kept files go by their content; of one's own tables, one's own stay
    with files.refused(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with files.part_of(target.parent) as part:
            shutil.copyfile(file, part)
            files.sync_file(part)
            part.replace(target)
    return True


def _opened(bundle: Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(bundle)
    except BROKEN as error:
        raise BadInput("store-bundle", file=bundle, why=str(error)) from None


def _entries(bundle: Path, held: zipfile.ZipFile) -> Iterator[Entry]:
    try:
        with held.open(LOG) as lines:
            yield from _lines(bundle, lines)
    except (KeyError, *BROKEN) as error:
        raise BadInput("store-bundle", file=bundle, why=str(error)) from None


def _lines(bundle: Path, lines: IO[bytes]) -> Iterator[Entry]:
    number = 0
    while line := lines.readline(MOST_LINE + 1):
        number += 1
        try:
            if len(line) > MOST_LINE:
                raise ValueError("too long")
            yield Entry.from_json(json.loads(line))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            raise BadInput("store-bundle-line", file=bundle, line=number) from None


def _members(bundle: Path, held: zipfile.ZipFile) -> Iterator[tuple[zipfile.ZipInfo, Path]]:
    """The files of a bundle that belong to a tract, each with its place within the folder."""
    infos = [i for i in held.infolist() if i.filename != LOG and not i.filename.endswith("/")]
    if len(infos) > MOST_FILES or sum(i.file_size for i in infos) > MOST_BYTES:
        raise BadInput("store-bundle-large", file=bundle)
    for info in infos:
        path = PurePosixPath(info.filename)
        plain = all(p not in ("", ".", "..") and "\\" not in p and ":" not in p for p in path.parts)
        if not plain or path.is_absolute() or not path.parts or path.parts[0] not in HOMES:
            raise BadInput("store-bundle-name", file=bundle, name=info.filename)
        yield info, Path(*path.parts)


def _write(held: zipfile.ZipFile, member: zipfile.ZipInfo, target: Path) -> bool:
    if target.exists():
        return False
    part = target.with_name(f".part-{secrets.token_hex(8)}")
    with files.refused(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            _stream(held, member, part)
            files.sync_file(part)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    return True


def _stream(held: zipfile.ZipFile, member: zipfile.ZipInfo, part: Path) -> None:
    """Never more than the bundle says that the file holds."""
    left = member.file_size
    try:
        with held.open(member) as source, part.open("wb") as out:
            while chunk := source.read(_CHUNK):
                left -= len(chunk)
                if left < 0:
                    raise zipfile.BadZipFile("longer than it says")
                out.write(chunk)
    except BROKEN as error:
        name = held.filename
        raise BadInput("store-bundle", file=name, why=f"{member.filename}: {error}") from None

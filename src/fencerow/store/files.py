"""Files kept in a tract's folder by their content, and writing that lasts."""

from __future__ import annotations

import hashlib
import os
import secrets
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from fencerow.words import BadInput, Message

FOLDER_OF_ROLE = {
    "photo": "photos",
    "elevation": "rasters",
    "cover": "rasters",
    "canopy": "rasters",
    "weather": "weather",
    "forecast": "forecasts",
    "attachment": "files",
}
_CHUNK = 1 << 20
_STALE_S = 86_400


def keep(folder: Path, source: Path | bytes, role: str) -> tuple[str, str]:
    """Copy a file, or bytes, into the folder of its role under its SHA-256.

    A file that is there already is not kept twice; a copy that was spoiled is replaced.

    Returns:
        The SHA-256, and the path within the tract's folder (with forward slashes).

    Raises:
        BadInput: no such role or file, or the disk refused.
    """
    home = _home(folder, role)
    with refused(source if isinstance(source, Path) else home):
        home.mkdir(exist_ok=True)
        with part_of(home) as part:
            sha256 = _copy(source, part)
            target = _held(home, sha256) or home / (sha256 + _suffix(source))
            part.replace(target)
        sync_folder(home)
    return sha256, f"{home.name}/{target.name}"


@contextmanager
def keeping(folder: Path, role: str) -> Iterator[Callable[[bytes], str]]:
    """Keep many small files of one role; all are on the disk when this ends.

    Yields:
        What keeps the content of a file, and gives its SHA-256.

    Raises:
        BadInput: no such role, or the disk refused.
    """
    home, fresh = _home(folder, role), list[Path]()
    with refused(home):
        home.mkdir(exist_ok=True)

        def keep_one(content: bytes) -> str:
            sha256 = hashlib.sha256(content).hexdigest()
            target = home / sha256
            if not is_whole(target):
                with part_of(home) as part:
                    part.write_bytes(content)
                    part.replace(target)
                fresh.append(target)
            return sha256

        try:
            yield keep_one
        finally:  # all at the end: one by one, each would wait for the disk
            for target in fresh:
                sync_file(target)
            sync_folder(home)


def is_whole(file: Path) -> bool:
    """Whether a kept file is there, and is what its name says."""
    return file.is_file() and _sha256(file) == file.stem


def find(folder: Path, sha256: str, role: str) -> Path:
    """Where a kept file stands.

    Raises:
        BadInput: there is no such role, or it is not there.
    """
    home = _home(folder, role)
    held = _held(home, sha256)
    if held is None:
        raise BadInput("store-file-missing", folder=home, sha256=sha256)
    return held


def doubts(folder: Path, wanted: Iterable[tuple[str, str]]) -> Iterator[Message]:
    """Kept files that are not what their name says, and wanted (SHA-256, role) not there."""
    homes = [folder / name for name in dict.fromkeys(FOLDER_OF_ROLE.values())]
    for file in (f for home in homes for f in sorted(home.glob("[!.]*"))):
        if file.is_file() and _sha256(file) != file.stem:
            yield Message.of("store-file-spoiled", file=file)
    held = {h: {f.stem for f in h.glob("[!.]*")} for h in homes}
    for sha256, role in wanted:
        if sha256 not in held[home := _home(folder, role)]:
            yield Message.of("store-file-missing", folder=home, sha256=sha256)


@contextmanager
def part_of(home: Path) -> Iterator[Path]:
    """A file to write to before it gets its name; gone at the end unless it was renamed."""
    part = home / f".part-{secrets.token_hex(8)}"
    try:
        yield part
    finally:
        part.unlink(missing_ok=True)


def write_whole(target: Path, content: bytes) -> None:
    """Write a file, whole or not at all: what stood there under its name stays until then.

    Raises:
        OSError: the disk refused.
    """
    target = target.resolve()
    if target.exists() and not target.is_file():
        target.write_bytes(content)  # a pipe or a device: nothing can be put in its place
        return
    with part_of(target.parent) as part:
        part.write_bytes(content)
        sync_file(part)
        part.replace(target)


def sweep(folder: Path) -> None:
    """Delete what a process that was killed left half written more than a day ago."""
    for part in folder.glob("*/.part-*"):
        with suppress(OSError):  # another may be at it
            if part.is_file() and time.time() - part.stat().st_mtime > _STALE_S:
                part.unlink()


@contextmanager
def refused(what: Path) -> Iterator[None]:
    """Say in words what the file system refused.

    Raises:
        BadInput: it did.
    """
    try:
        yield
    except OSError as error:
        raise BadInput("store-file", file=what, why=error.strerror or str(error)) from error


def sync_file(path: Path) -> None:
    """Return only when the content of a file is on the disk."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(path: Path) -> None:
    """Return only when the names in a folder are on the disk, where the system can say so."""
    if os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _home(folder: Path, role: str) -> Path:
    if role not in FOLDER_OF_ROLE:
        raise BadInput("store-role", role=role, want=", ".join(FOLDER_OF_ROLE))
    return folder / FOLDER_OF_ROLE[role]


def _copy(source: Path | bytes, part: Path) -> str:
    digest = hashlib.sha256()
    with part.open("wb") as out:
        for chunk in _chunks(source):
            digest.update(chunk)
            out.write(chunk)
        out.flush()
        os.fsync(out.fileno())
    return digest.hexdigest()


def _chunks(source: Path | bytes) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    with source.open("rb") as file:
        yield from _read(file)


def _read(file: BinaryIO) -> Iterator[bytes]:
    while chunk := file.read(_CHUNK):
        yield chunk


def _sha256(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def _held(home: Path, sha256: str) -> Path | None:
    return next(iter(sorted(home.glob(f"{sha256}*"))), None)


def _suffix(source: Path | bytes) -> str:
    """The ending that tells a person's other programs what it is."""
    suffix = source.suffix.lower() if isinstance(source, Path) else ""
    return suffix if suffix[1:].isalnum() and suffix.isascii() and len(suffix) <= 6 else ""

"""Where the photos of a card stand: a folder, or a zip.

Nothing is written there, no link is followed out of it, no name of a zip's becomes a path.
"""

from __future__ import annotations

import os
import re
import stat
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import BinaryIO, Protocol

from fencerow.exchange.ground.archive import BROKEN
from fencerow.words import BadInput


@dataclass(frozen=True)
class Listed:
    """A file of the card before it is read: its name there, its size, and what tells another
    version of it apart."""

    name: str
    size: int
    stamp: int
    wrong: str = ""

    @property
    def key(self) -> str:
        return f"{self.name}|{self.size}|{self.stamp}"


class Source(Protocol):
    """Where the files of a card stand."""

    @property
    def name(self) -> str: ...

    def files(self) -> list[Listed]: ...

    def open(self, name: str) -> BinaryIO: ...


@dataclass(frozen=True)
class Folder:
    """A folder, with all that lies within it; links are named and not followed."""

    path: Path

    @property
    def name(self) -> str:
        return self.path.name

    def files(self) -> list[Listed]:
        return sorted(self._within(self.path, ""), key=lambda f: natural(f.name))

    def open(self, name: str) -> BinaryIO:
        # a file that was swapped for a link after it was listed is not followed either
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
        return os.fdopen(os.open(self.path / name, flags), "rb")

    def _within(self, folder: Path, above: str) -> Iterator[Listed]:
        try:
            entries = list(os.scandir(folder))
        except OSError as error:
            raise BadInput("cards-folder", folder=folder, why=error.strerror or error) from None
        for entry in entries:
            name = f"{above}{entry.name}"
            if entry.is_symlink():
                yield Listed(name, 0, 0, "cards-link")
            elif entry.is_dir(follow_symlinks=False):
                yield from self._within(folder / entry.name, f"{name}/")
            elif not entry.name.startswith("._"):
                found = entry.stat(follow_symlinks=False)
                plain = stat.S_ISREG(found.st_mode)
                wrong = "" if plain else "cards-other"
                yield Listed(name, found.st_size, found.st_mtime_ns, wrong)


@dataclass(frozen=True)
class Zip:
    """The photos of a zip, read out of it one after another; nothing is unpacked."""

    name: str
    archive: zipfile.ZipFile

    def files(self) -> list[Listed]:
        found = [
            Listed(m.filename, m.file_size, m.CRC, "cards-locked" if m.flag_bits & 1 else "")
            for m in self.archive.infolist()
            if m.filename
            and not m.is_dir()
            and not m.filename.startswith("__MACOSX/")
            and not PurePosixPath(m.filename).name.startswith("._")
        ]
        return sorted(found, key=lambda f: natural(f.name))

    def open(self, name: str) -> BinaryIO:
        return self.archive.open(name)  # type: ignore[return-value]


@contextmanager
def source_of(path: Path) -> Iterator[Source]:
    """The card that a path names: a folder, or a zip.

    Raises:
        BadInput: it is neither.
    """
    if path.is_dir():
        yield Folder(path)
        return
    try:
        with zipfile.ZipFile(path) as archive:
            yield Zip(path.name, archive)
    except OSError as error:
        raise BadInput("cards-nothing", file=path, why=error.strerror or error) from None
    except BROKEN:
        raise BadInput("cards-no-card", file=path) from None


def natural(name: str) -> tuple[object, ...]:
    """The order in which a camera writes: IMG_9 before IMG_10, folder by folder."""
    parts = re.split(r"(\d+)", name.lower())
    digits = (p.lstrip("0") for p in parts)  # by how many there are: of a number too long for int
    return tuple(
        (len(d), d) if n % 2 else p for n, (p, d) in enumerate(zip(parts, digits, strict=True))
    )

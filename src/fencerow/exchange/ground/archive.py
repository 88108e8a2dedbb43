"""Open a zip that somebody sent: nothing is unpacked by its own names, and nothing without end."""

from __future__ import annotations

import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from fencerow.words import BadInput

BROKEN = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, OSError, NotImplementedError,
    RuntimeError, ValueError, IndexError,
)  # fmt: skip
"""What is raised of an archive that is damaged, or made so that it cannot be read."""

MOST_MEMBERS = 2000
MOST_RATIO = 100
"""Text packs 10 to 30 times smaller; beyond this a file is made to burst."""


@contextmanager
def opened(path: Path) -> Iterator[zipfile.ZipFile]:
    """The archive, after a look at its table of contents.

    Raises:
        BadInput: no zip, too many members, a name that climbs out of its folder, a password, or a
            member that swells beyond reason.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            if len(archive.infolist()) > MOST_MEMBERS:
                raise BadInput("zip-members", file=path.name, most=MOST_MEMBERS)
            for member in archive.infolist():
                _look_at(path.name, member)
            yield archive
    except BROKEN as error:
        raise BadInput("zip-broken", file=path.name, why=error) from None


def _look_at(file: str, member: zipfile.ZipInfo) -> None:
    name = member.filename.replace("\\", "/")
    if not name or name.startswith("/") or ":" in name or ".." in PurePosixPath(name).parts:
        raise BadInput("zip-climbs", file=file, member=member.filename)
    if member.flag_bits & 0x1:
        raise BadInput("zip-locked", file=file, member=member.filename)
    if member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise BadInput("zip-method", file=file, member=member.filename)
    if member.file_size > MOST_RATIO * max(member.compress_size, 10_000):
        raise BadInput("zip-swells", file=file, member=member.filename)


def names(archive: zipfile.ZipFile) -> list[str]:
    """The members that are files of the sender's own, not what their system added."""
    return [
        m.filename
        for m in archive.infolist()
        if not m.is_dir()
        and not m.filename.startswith("__MACOSX/")
        and not PurePosixPath(m.filename).name.startswith("._")
    ]


def read(file: str, archive: zipfile.ZipFile, name: str, most_mb: float) -> bytes:
    """The content of one member, counted as it comes: its stated size is only a claim.

    Raises:
        BadInput: it is larger than `most_mb`.
    """
    most = int(most_mb * 2**20)
    with archive.open(name) as member:
        content = member.read(most + 1)
    if len(content) > most:
        raise BadInput("file-large", file=f"{file}, {name}", most_mb=most_mb)
    return content

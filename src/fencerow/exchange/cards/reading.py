"""The photos of a card: the time and the SHA-256 of each.

Each file is read once, from end to end, for its digest; of the picture itself only the head is
looked at. What was read is handed to a journal.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from pathlib import PurePosixPath
from typing import BinaryIO

from fencerow.exchange.cards import exif
from fencerow.exchange.cards.files import Listed, Source
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.ground.archive import BROKEN
from fencerow.words import BadInput, say

Going = Callable[[int, int, str], None]
PHOTOS = (".jpg", ".jpeg", ".jpe")
MOST_FILES = 200_000
MOST_BYTES = 100 * 2**20
"""A photo of more than this is none that a camera wrote."""
UNREADABLE = BROKEN
"""What a folder or a zip raises of a file that can't be read."""
_CHUNK, _TAIL, _EVERY = 1 << 20, 1 << 16, 50


@dataclass(frozen=True)
class Photo:
    """A file that was read. `at` is what the camera's clock said; `wrong` is the id of the sentence
    that says why it has no time, `doubt` of one that says what else is the matter."""

    name: str
    sha256: str
    at: datetime | None = None
    offset_min: float | None = None
    wrong: str = ""
    doubt: str = ""

    @property
    def is_photo(self) -> bool:
        """Whether it is a photo at all, and not another file that lies on the card."""
        return self.wrong not in OTHER


OTHER = ("cards-link", "cards-other", "cards-film")
"""Files that lie on the card and are no photo."""
_FILMS = (".avi", ".mp4", ".mov", ".mts")


def read_card(source: Source, journal: Journal, going: Going) -> list[Photo]:
    """Every file of a card, in the card's order, each with its time or with what is wrong.

    Raises:
        BadInput: there are far too many files, or a folder of it can't be listed.
        Stopped: it was no longer wanted; what was read stands in the journal.
    """
    files = source.files()
    if len(files) > MOST_FILES:
        raise BadInput("cards-many", count=len(files), most=MOST_FILES)
    found = []
    try:
        for number, file in enumerate(files):
            if number % _EVERY == 0:
                journal.flush()
                going(number, len(files), say("cards-reading", name=file.name))
            found.append(_known(journal, file) or _read(source, journal, file))
    finally:
        journal.flush()
    return found


def _known(journal: Journal, file: Listed) -> Photo | None:
    """A photo as a journal has it; None where its line says what no photo could have said."""
    held = journal.get(file.key)
    if held is None or not _sound(held):
        return None
    try:
        photo = Photo(file.name, **held)  # type: ignore[arg-type]
        return replace(photo, at=datetime.fromisoformat(str(photo.at)) if photo.at else None)
    except (TypeError, ValueError):
        return None


def _sound(held: Mapping[str, object]) -> bool:
    offset, at = held.get("offset_min"), str(held.get("at", ""))
    texts = all(isinstance(held.get(name, ""), str) for name in ("sha256", "wrong", "doubt"))
    in_a_day = offset is None or (isinstance(offset, int | float) and abs(offset) < 1440)
    return texts and in_a_day and len(at) <= len("2026-11-01T07:00:00.000000")


def _read(source: Source, journal: Journal, file: Listed) -> Photo:
    if file.wrong:
        return Photo(file.name, "", wrong=file.wrong)
    try:
        with source.open(file.name) as opened:
            photo = read_photo(file.name, opened)
    except UNREADABLE as error:
        # a card going bad may read at the next try, so this is not kept in the journal
        return Photo(file.name, "", wrong="cards-unreadable", doubt=_short(error))
    journal.add(file.key, journaled(photo))
    return photo


def journaled(photo: Photo) -> dict[str, object]:
    """What a journal remembers of a photo that was read."""
    said = {k: v for k, v in asdict(photo).items() if k != "name" and v not in (None, "")}
    return said | ({"at": photo.at.isoformat()} if photo.at is not None else {})


def read_photo(name: str, file: BinaryIO) -> Photo:
    """One file: its digest over all of it, and of its head the time.

    Raises:
        OSError: it can't be read.
    """
    head = file.read(_CHUNK)
    digest, size, tail = hashlib.sha256(head), len(head), head[-_TAIL:]
    while chunk := file.read(_CHUNK):
        digest.update(chunk)
        size += len(chunk)
        tail = (tail + chunk)[-_TAIL:]
        if size > MOST_BYTES:
            return Photo(name, "", wrong="cards-large")
    sha256 = digest.hexdigest()
    if not size:
        return Photo(name, sha256, wrong="cards-empty")
    suffix = PurePosixPath(name).suffix.lower()
    if not head.startswith(exif.START) and suffix not in PHOTOS:
        return Photo(name, sha256, wrong="cards-film" if suffix in _FILMS else "cards-other")
    whole = "" if exif.is_whole(head, tail) else "cards-cut"
    try:
        found = exif.taken(head)
    except exif.NoTime as error:
        return Photo(
            name, sha256, wrong=error.why, doubt=whole if error.why != "cards-not-jpeg" else ""
        )
    offset = None if found.offset is None else found.offset / timedelta(minutes=1)
    return Photo(name, sha256, found.at, offset, "", whole or ("cards-changed" * found.changed))


def _short(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error))[:120]

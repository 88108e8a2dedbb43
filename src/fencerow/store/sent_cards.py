"""A card that a page sends photo by photo: each is read as it comes, and only a small picture of it
is held, until the page has sent all and the card is read in as any other.

What was sent stands in a journal, so that a page which was shut goes on where it stopped.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from fencerow.exchange.cards.files import Listed, natural
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.preview import preview
from fencerow.exchange.cards.reading import journaled, read_photo
from fencerow.store import files
from fencerow.store.cards import JOURNALS, Asked, bring_source
from fencerow.store.going import Going
from fencerow.store.record import Store

File = tuple[str, int, int]
"""A file's name on the card, its size, and when it was last changed, as the page has them."""


@dataclass(frozen=True)
class Sent:
    """A card's folder of small pictures, each under the SHA-256 of its photo, and the journal."""

    folder: Path
    listed: tuple[Listed, ...]
    journal: Journal

    @property
    def name(self) -> str:
        return self.folder.name

    def files(self) -> list[Listed]:
        return sorted(self.listed, key=lambda f: natural(f.name))

    def open(self, name: str) -> BinaryIO:
        """The small picture of a photo; one that was not sent is as one that can't be read."""
        said = self.journal.get(self._keys.get(name, "")) or {}
        held = str(said.get("sha256", ""))
        if not held.isalnum():  # a name that is no digest leads elsewhere
            raise FileNotFoundError(2, "not sent", name)
        return (self.folder / held).open("rb")

    @cached_property
    def _keys(self) -> dict[str, str]:
        return {file.name: file.key for file in self.listed}


def folder_of(store: Store, card: str) -> Path:
    """Where a card is held while it is being sent; `card` is a key of letters and digits."""
    return store.folder / JOURNALS / f"sent-{card}"


def unsent(store: Store, card: str, listed: Sequence[File]) -> list[int]:
    """Which of these files are still to be sent, by their number in the list."""
    journal = Journal(folder_of(store, card) / "journal.jsonl")
    return [n for n, file in enumerate(listed) if journal.get(Listed(*file).key) is None]


def take_photo(store: Store, card: str, file: File, content: bytes) -> None:
    """Read one photo that was sent, and hold what is needed of it.

    Raises:
        BadInput: the disk refused.
    """
    folder = folder_of(store, card)
    with files.refused(folder):
        folder.mkdir(parents=True, exist_ok=True)
        photo = read_photo(file[0], BytesIO(content))
        if photo.at is not None and (made := preview(BytesIO(content))) is not None:
            (folder / photo.sha256).write_bytes(made)
        with Journal(folder / "journal.jsonl", fresh=True) as journal:
            journal.add(Listed(*file).key, journaled(photo))


def bring_sent(
    store: Store, card: str, listed: Sequence[File], asked: Asked, author: str,
    now: Callable[[], datetime], going: Going,
) -> list[str]:  # fmt: skip
    """Read in a card that was sent; says what came of it. What was held of it is then let go.

    Raises:
        BadInput: as `bring_card`; what was sent is held on.
        Stopped: it was no longer wanted.
    """
    folder = folder_of(store, card)
    with files.refused(folder), Journal(folder / "journal.jsonl") as journal:
        source = Sent(folder, tuple(Listed(*f) for f in listed), journal)
        lines = bring_source(store, source, journal, asked, author, now, going=going)
    shutil.rmtree(folder, ignore_errors=True)
    return lines

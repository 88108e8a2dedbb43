"""Entries from a page's outbox: each stands on its own, and each id is answered for.

A page forgets an entry only when its id is named, so one that is wrong must neither hold up the
others nor go unnamed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fencerow.store import Store
from fencerow.store.sent import Row, entry_of
from fencerow.tract.entry import Entry
from fencerow.web import form
from fencerow.web.writer import Writer
from fencerow.words import BadInput

__all__ = ["Row", "entry_of", "take"]


def take(
    store: Store, rows: Sequence[Row], author: str, held: Mapping[str, Entry],
    writer: Writer | None = None,
) -> form.Receipt:  # fmt: skip
    """Store what is sound, refuse the rest one by one, and say which is which.

    Args:
        author: who says what comes without a name.
        held: what is held already, by id: a page which asks again is known, though the name that
            its words are signed with may have changed between.
        writer: who signed in, and so signs all of it; None for whoever sits at the machine.
    """
    refused: list[form.Refusal] = []
    read: list[Entry] = []
    for row in rows:
        try:
            read.append(_signed(row, author, held.get(_id(row)), writer))
        except BadInput as error:
            refused.append({"id": _id(row), "text": str(error)})
    receipt = store.take(read)
    return {
        "stored": list(receipt.stored),
        "known": list(receipt.known),
        "clashed": list(receipt.clashed),
        "refused": refused,
    }


def _id(row: object) -> str:
    """The id that a page gave a row, fit to be sent back."""
    id_ = str(row.get("id", "")) if isinstance(row, dict) else ""
    return id_.encode("utf-8", "backslashreplace").decode()


def _signed(row: Row, author: str, held: Entry | None, writer: Writer | None) -> Entry:
    """An entry with its author: the account, whatever the page says, or whom it is held under.

    Raises:
        BadInput: something in it is wrong, or the person may not write it.
    """
    if writer is None:
        return entry_of(row, author if held is None else held.author)
    known = author if held is None else held.author
    entry = entry_of({**row, "author": known} if isinstance(row, dict) else row, author)
    if held is not None and entry.digest() != held.digest():
        entry = replace(entry, author=author)
    writer.check(entry)
    return entry

"""Entries from a page's outbox: each stands on its own, and each id is answered for.

A page forgets an entry only when its id is named, so one that is wrong must neither hold up the
others nor go unnamed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fencerow.store import Store
from fencerow.store.sent import Row, entry_of
from fencerow.tract.entry import Entry
from fencerow.web import form
from fencerow.words import BadInput

__all__ = ["Row", "entry_of", "take"]


def take(store: Store, rows: Sequence[Row], author: str, signed: Mapping[str, str]) -> form.Receipt:
    """Store what is sound, refuse the rest one by one, and say which is which.

    Args:
        author: who says what comes without a name.
        signed: id -> the author under whom an entry is held already, so that a page which asks
            again is known, though the server's own name may have changed between.
    """
    refused: list[form.Refusal] = []
    read: list[Entry] = []
    for row in rows:
        try:
            read.append(entry_of(row, signed.get(str(row.get("id")), author)))
        except BadInput as error:
            refused.append({"id": str(row.get("id", "")), "text": str(error)})
    receipt = store.take(read)
    return {
        "stored": list(receipt.stored),
        "known": list(receipt.known),
        "clashed": list(receipt.clashed),
        "refused": refused,
    }

"""Entries from a page's outbox: each stands on its own, and each id is answered for.

A page forgets an entry only when its id is named, so one that is wrong must neither hold up the
others nor go unnamed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fencerow.store import Store
from fencerow.store.log import sound
from fencerow.tract.entry import Entry
from fencerow.tract.read import read_body
from fencerow.web import form
from fencerow.words import BadInput

Row = Mapping[str, Any]
_TYPES = {"parents": list, "said_at": str, "happened_on": str | None}
"""What is turned into another type on the way in; the rest is looked at as it is."""


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


def entry_of(row: Row, author: str) -> Entry:
    """One entry, its envelope and its body held to their forms.

    Raises:
        BadInput: one of them is wrong.
    """
    signed = {**row, "author": row.get("author") or author}
    wrong = signed.keys() ^ Entry.__dataclass_fields__.keys()
    wrong |= {name for name, types in _TYPES.items() if not isinstance(row.get(name), types)}
    if wrong:
        raise BadInput("web-bad-entry", why=", ".join(sorted(wrong)))
    try:
        entry = Entry.from_json(signed)
    except ValueError as error:
        raise BadInput("web-bad-entry", why=error) from None
    try:
        sound(entry)
    except BadInput as error:
        raise BadInput("web-bad-entry", why=dict(error.message.params)["what"]) from None
    read_body(entry)
    return entry

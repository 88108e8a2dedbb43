"""One entry as it was sent from a device: the one door at which it is held to its forms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fencerow.store.log import sound
from fencerow.tract.entry import Entry
from fencerow.tract.read import read_body
from fencerow.words import BadInput

Row = Mapping[str, Any]
_TYPES = {"parents": list, "said_at": str, "happened_on": str | None}
"""What is turned into another type on the way in; the rest is looked at as it is."""


def entry_of(row: Row, author: str) -> Entry:
    """One entry, its envelope and its body held to their forms.

    Args:
        author: who says what comes without a name.

    Raises:
        BadInput: one of them is wrong.
    """
    if not isinstance(row, dict):
        raise BadInput("web-bad-entry", why=type(row).__name__)
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

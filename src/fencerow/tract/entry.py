"""Entry: the one form in which anything is ever written down.

The log of entries is the only truth; everything else is folded from it. Ids are made on the device,
clocks never order, and `parents` names the entries that this one replaces.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property
from typing import Any

_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"


def new_id() -> str:
    """A new id: 80 random bits in 16 letters that are not mistaken for one another on paper."""
    return "".join(secrets.choice(_LETTERS) for _ in range(16))


def counted_ids(word: str) -> Callable[[], str]:
    """Ids that are the same on every run, for invented ground and tests."""
    count = 0

    def next_id() -> str:
        nonlocal count
        count += 1
        digest = hashlib.sha256(f"{word} {count}".encode()).digest()
        return "".join(_LETTERS[b % 32] for b in digest[:16])

    return next_id


@dataclass(frozen=True)
class Draft:
    """What is to be written, before the store puts its envelope around it.

    `subject` is the id of the thing that it is about; the body is its whole new state. Where no
    `visibility` is given, it is seen by whoever saw what it replaces.
    """

    kind: str
    subject: str
    body: Mapping[str, Any]
    happened_on: date | None = None
    visibility: str | None = None
    parents: tuple[str, ...] | None = field(default=None)


@dataclass(frozen=True)
class Entry:
    """One line of the log, as it was said."""

    id: str
    kind: str
    schema: int
    subject: str
    parents: tuple[str, ...]
    author: str
    device: str
    said_at: datetime
    happened_on: date | None
    batch: str
    visibility: str
    body: Mapping[str, Any]

    @cached_property
    def words(self) -> frozenset[str]:
        """Every text of its subject and body, and the parts between its dots: what it may name."""
        texts = {self.subject, *texts_of(self.body)}
        return frozenset(part for text in texts for part in (text, *text.split(".")))

    def digest(self) -> str:
        """SHA-256 of the content: the same id with another digest is a clash."""
        return hashlib.sha256(canonical(self.as_json()).encode()).hexdigest()

    def as_json(self) -> dict[str, Any]:
        """The entry as plain JSON values."""
        return {
            "id": self.id,
            "kind": self.kind,
            "schema": self.schema,
            "subject": self.subject,
            "parents": list(self.parents),
            "author": self.author,
            "device": self.device,
            "said_at": self.said_at.isoformat(),
            "happened_on": self.happened_on.isoformat() if self.happened_on else None,
            "batch": self.batch,
            "visibility": self.visibility,
            "body": self.body,
        }

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Entry:
        """The entry from plain JSON values.

        Raises:
            KeyError, ValueError: a field is missing or is no date.
        """
        on = row["happened_on"]
        return cls(
            **{
                **row,
                "parents": tuple(row["parents"]),
                "said_at": datetime.fromisoformat(row["said_at"]),
                "happened_on": date.fromisoformat(on) if on else None,
            }
        )


def texts_of(value: object) -> Iterator[str]:
    """Every text in a body, however deep, the names of its fields too."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for name, part in value.items():
            yield str(name)
            yield from texts_of(part)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from texts_of(one)


def canonical(value: object) -> str:
    """JSON with one spelling for one content."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

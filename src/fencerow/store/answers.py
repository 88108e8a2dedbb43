"""What a field pack brought back: a file of entries, each of which stands on its own.

A pack may be filled in by somebody without an account, so its file can add a few kinds of entry and
nothing else: it replaces no word of others, and a place or a plan cannot be changed by it.
"""

from __future__ import annotations

import json
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fencerow.store.record import Store
from fencerow.store.sent import entry_of
from fencerow.tract.entry import Entry
from fencerow.words import BadInput, say

HEADER, VERSION = "fencerow_answers", 1
SUFFIXES = (".json", ".txt")
BROUGHT = ("note", "done", "count", "outing", "application")
"""The kinds of entry that a pack's forms make."""
MOST_BYTES, MOST_ENTRIES, MOST_NAME, MOST_REFUSED = 2 << 20, 2000, 80, 20
_BEGINS = 400


@dataclass(frozen=True)
class Answers:
    """An answer file: the tract it is for, who wrote it, its rows as they came."""

    tract: str
    name: str
    rows: tuple[Any, ...]


def is_answers(file: Path) -> bool:
    """Whether a file says of itself, as its first word, that it is one."""
    if file.suffix.lower() not in SUFFIXES:
        return False
    with file.open("rb") as begun:
        head = begun.read(_BEGINS).removeprefix(b"\xef\xbb\xbf")
    bare = b"".join(head.split())
    return bare.startswith(b'{"' + HEADER.encode() + b'":')


def bring_answers(store: Store, file: Path) -> list[str]:
    """Take in what is sound of an answer file; says what came, what was known, what was left out.

    Raises:
        BadInput: it is no answer file, of another tract, too large, or of a newer version; nothing
            was taken.
    """
    answers = read_answers(file)
    if answers.tract != store.entries()[0].id:
        raise BadInput("answers-other-tract", file=file.name)
    entries, refused = _examined(store, answers)
    receipt = store.take(entries)
    told = [say("answers-done", file=file.name, name=answers.name, stored=len(receipt.stored),
                known=len(receipt.known))]  # fmt: skip
    if receipt.clashed:
        told.append(say("answers-clashed", ids=", ".join(receipt.clashed)))
    told += [say("answers-refused", number=n, why=why) for n, why in refused[:MOST_REFUSED]]
    if len(refused) > MOST_REFUSED:
        told.append(say("answers-more-refused", count=len(refused) - MOST_REFUSED))
    return told


def read_answers(file: Path) -> Answers:
    """An answer file, its head held to its form; the rows are looked at one by one later.

    Raises:
        BadInput: the head is wrong, or the file is too large.
    """
    if file.stat().st_size > MOST_BYTES:
        raise BadInput("answers-large", file=file.name, most=MOST_BYTES >> 20)
    try:
        held = json.loads(file.read_text(encoding="utf-8-sig"))
    except (ValueError, RecursionError):
        raise BadInput("answers-spoiled", file=file.name) from None
    version = held.get(HEADER) if isinstance(held, dict) else None
    if version != VERSION:
        raise BadInput("answers-newer", file=file.name, version=version, ours=VERSION)
    tract, name, rows = held.get("tract"), held.get("name"), held.get("entries")
    if not isinstance(tract, str) or not isinstance(rows, list):
        raise BadInput("answers-spoiled", file=file.name)
    if not (isinstance(name, str) and name.strip() and name.isprintable()):
        raise BadInput("answers-no-name", file=file.name)
    if len(rows) > MOST_ENTRIES or len(name) > MOST_NAME:
        raise BadInput("answers-many", file=file.name, most=MOST_ENTRIES, name=MOST_NAME)
    return Answers(tract, name.strip(), tuple(rows))


Refused = list[tuple[int, str]]


def _examined(store: Store, answers: Answers) -> tuple[list[Entry], Refused]:
    """The entries that are sound, and of the others the number in the file and why."""
    named = _named(answers.rows)
    held = {e.id: e for e in store.held(named)}
    ids = {i for i, device in named.items() if i not in held or held[i].device == device}
    sound: list[Entry] = []
    refused: Refused = []
    for number, row in enumerate(answers.rows, start=1):
        try:
            sound.append(_entry(store, answers.name, row, ids, held))
        except BadInput as error:
            refused.append((number, str(error)))
    return sound, refused


def _named(rows: Sequence[Any]) -> dict[str, Any]:
    """The ids that a file brings, each with the device that it says made it."""
    sound = (r for r in rows if isinstance(r, dict) and isinstance(r.get("id"), str))
    return {row["id"]: row.get("device") for row in sound}


def _entry(
    store: Store, name: str, row: Any, ids: Container[str], held: Mapping[str, Entry]
) -> Entry:
    """One entry that only adds.

    Raises:
        BadInput: it is no sound entry, of another kind, or about what others wrote.
    """
    if not isinstance(row, dict):
        raise BadInput("answers-no-row")
    if row.get("kind") not in BROUGHT:
        raise BadInput("answers-kind", kind=row.get("kind"), kinds=", ".join(BROUGHT))
    known = held.get(str(row.get("id")))
    # what is held keeps the name under which it came, or it would be taken for another word
    entry = entry_of({**row, "author": name if known is None else known.author}, name)
    if entry.body.get("photo"):
        raise BadInput("answers-photo")
    if entry.id not in ids or (known is None and not _adds(store, entry, ids)):
        raise BadInput("answers-of-others")
    return entry


def _adds(store: Store, entry: Entry, ids: Container[str]) -> bool:
    """Whether an entry replaces nothing, and is about nothing, that is not of the file itself."""
    about = store.log(1, entry.subject)
    return all(i in ids for i in (*entry.parents, *(e.id for e in about)))

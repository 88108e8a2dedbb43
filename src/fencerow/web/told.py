"""What a page was told, in parts, so that it is told only what has changed since.

A state is the record's places and things, the sheets of a plan, and a few parts of the whole. A
page names the tag of the state that it holds, and hears which parts are others and which are gone.
The parts of a plan are made where it is worked, which may be another process; those of the record
are made where it is asked for.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from fencerow.web.piece import Piece, Pieces, list_of, object_of, to_json


class Rows(dict[str, bytes]):
    """Places, or the things of a kind, by id, each as JSON; not changed once it is told."""

    @cached_property
    def joined(self) -> Piece:
        """All of them in the order of their ids, written out once."""
        return _joined(self[id_] for id_ in sorted(self))


@dataclass(frozen=True, eq=False)
class Parts:
    """What there is one of, by its name, and the sheets by their ids."""

    whole: Mapping[str, Piece]
    sheets: Mapping[str, Piece]

    @classmethod
    def of(
        cls, whole: Mapping[str, Any], sheets: Iterable[Mapping[str, Any]],
        before: Parts | None = None,
    ) -> Parts:  # fmt: skip
        """The parts of a plan; `before` lends those that are the same."""
        old = before or NO_PARTS
        return cls(
            {name: Piece.of(value, old.whole.get(name)) for name, value in whole.items()},
            {s["id"]: Piece.of(s, old.sheets.get(s["id"])) for s in sheets},
        )


@dataclass(frozen=True, eq=False)
class Listing:
    """What is told of a record: what there is one of, and places ('') and things by their kind."""

    whole: Mapping[str, Piece]
    rows: Mapping[str, Rows]


@dataclass(frozen=True, eq=False)
class Told:
    """A state: what is told of a record, and beside it of a plan."""

    record: Listing
    plan: Parts
    beside: Piece
    """Of which record the plan is, and whether it is the newest."""
    tag: str = field(default_factory=lambda: secrets.token_hex(8))

    def state(self, author: str) -> Pieces:
        """All of it, for somebody."""
        lists = {kind: rows.joined for kind, rows in self.record.rows.items()}
        places, things = lists.pop(""), object_of(lists)
        sheets = list_of(self.plan.sheets.values())
        whole = {**self._whole, "author": Piece(to_json(author)), "tag": Piece(to_json(self.tag))}
        return object_of({**whole, "places": places, "things": things, "sheets": sheets})

    def since(self, known: Told, author: str) -> Pieces:
        """What is another than in a state that a page holds, and what is gone."""
        mine, theirs = self.record.rows, known.record.rows
        others = {kind: _others(rows, theirs.get(kind, NONE)) for kind, rows in mine.items()}
        whole = dict(_other_pieces(self._whole, known._whole)) | {"author": Piece(to_json(author))}
        sheets = dict(_other_pieces(self.plan.sheets, known.plan.sheets))
        places = _joined(others.pop("", []))
        gone = [i for kind, rows in theirs.items() for i in _gone(rows, mine.get(kind, NONE))]
        return object_of({
            "of": Piece(to_json(known.tag)),
            "tag": Piece(to_json(self.tag)),
            "now": object_of(whole),
            "places": places,
            "things": object_of({kind: _joined(rows) for kind, rows in others.items() if rows}),
            "sheets": list_of(sheets.values()),
            "order": Piece(to_json(list(self.plan.sheets))),
            "gone": Piece(to_json(gone)),
        })  # fmt: skip

    @cached_property
    def _whole(self) -> dict[str, Piece]:
        return {**self.record.whole, **self.plan.whole, "plan": self.beside}


def _joined(rows: Iterable[bytes]) -> Piece:
    return Piece(b"[%s]" % b",".join(rows))


def _others(now: Rows, known: Rows) -> list[bytes]:
    """The rows that are not as they are known."""
    return [] if now is known else [row for _, row in sorted(now.items() - known.items())]


def _gone(known: Rows, now: Rows) -> Iterable[str]:
    """The rows that are there no more."""
    return () if now is known else known.keys() - now.keys()


def _other_pieces(
    now: Mapping[str, Piece], known: Mapping[str, Piece]
) -> Iterator[tuple[str, Piece]]:
    for name, piece in now.items():
        old = known.get(name)
        if old is not piece and (old is None or old.plain != piece.plain):
            yield name, piece


NO_PARTS = Parts({}, {})
NONE = Rows()

"""What a page was told, in parts, so that it is told only what has changed since.

A state is the record's places and things, the sheets of a plan, and a few parts of the whole. A
page names the tag of the state that it holds, and hears which parts are others and which are gone.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from fencerow.web import form

Part = tuple[Any, bytes]
"""A part as it stands in a state, and as JSON."""
LISTS = ("places", "things", "sheets")


@dataclass(frozen=True, eq=False)
class Told:
    """A state as JSON, part by part; what has not changed is not written out again."""

    whole: Mapping[str, Part]
    """What there is one of, by its name."""
    kept: Mapping[tuple[str, str], Part]
    """Places and things, by their kind ('' for places) and their id."""
    kinds: tuple[str, ...]
    sheets: Mapping[str, Part]
    tag: str = field(default_factory=lambda: secrets.token_hex(8))

    @classmethod
    def of(cls, state: form.State, before: Told | None = None) -> Told:
        """A state in its parts; `before` lends those that are the same."""
        old = NOTHING if before is None else before
        rows: Mapping[str, Any] = state
        listed: list[tuple[tuple[str, str], Any]] = [(("", p["id"]), p) for p in state["places"]]
        listed += [((k, t["id"]), t) for k, things in state["things"].items() for t in things]
        return cls(
            {n: _part(v, old.whole.get(n)) for n, v in rows.items() if n not in LISTS},
            {key: _part(row, old.kept.get(key)) for key, row in listed},
            tuple(state["things"]),
            {s["id"]: _part(s, old.sheets.get(s["id"])) for s in state["sheets"]},
        )

    def state(self, author: str) -> bytes:
        """All of it, for somebody."""
        by_kind: dict[str, list[bytes]] = {kind: [] for kind in ("", *self.kinds)}
        for (kind, _), (_, told) in self.kept.items():
            by_kind[kind].append(told)
        places, things = by_kind.pop(""), {k: _list(rows) for k, rows in by_kind.items()}
        lists = {"places": _list(places), "things": _object(things)}
        lists["sheets"] = _list(told for _, told in self.sheets.values())
        return _object({**self._one_of_each(author), "tag": _json(self.tag), **lists})

    def since(self, known: Told, author: str) -> bytes:
        """What is another than in a state that a page holds, and what is gone."""
        things: dict[str, list[bytes]] = {}
        for (kind, _), told in _others(self.kept, known.kept):
            things.setdefault(kind, []).append(told)
        places = things.pop("", [])
        now = {name: told for name, told in _others(self.whole, known.whole) if name != "author"}
        return _object({
            "of": _json(known.tag),
            "tag": _json(self.tag),
            "now": _object({**now, "author": _json(author)}),
            "places": _list(places),
            "things": _object({kind: _list(rows) for kind, rows in things.items()}),
            "sheets": _list(told for _, told in _others(self.sheets, known.sheets)),
            "order": _json(list(self.sheets)),
            "gone": _json([id_ for kind, id_ in known.kept if (kind, id_) not in self.kept]),
        })  # fmt: skip

    def _one_of_each(self, author: str) -> dict[str, bytes]:
        return {name: told for name, (_, told) in self.whole.items()} | {"author": _json(author)}


def _part(value: Any, before: Part | None) -> Part:
    return before if before is not None and before[0] is value else (value, _json(value))


def _others(now: Mapping[Any, Part], known: Mapping[Any, Part]) -> Iterator[tuple[Any, bytes]]:
    """The parts that are not as they are known."""
    for key, (_, told) in now.items():
        if key not in known or known[key][1] != told:
            yield key, told


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode()


def _list(rows: Iterable[bytes]) -> bytes:
    return b"[%s]" % b",".join(rows)


def _object(parts: Mapping[str, bytes]) -> bytes:
    return b"{%s}" % b",".join(b"%s:%s" % (_json(name), told) for name, told in parts.items())


NOTHING = Told({}, {}, (), {})
"""What a page holds that has seen nothing yet."""

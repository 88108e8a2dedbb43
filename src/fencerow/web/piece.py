"""Piece: a part of an answer as JSON, which is written out and packed once for all who ask.

What is packed apart is laid together as one gzip stream: each piece ends at a byte, and refers to
nothing before it (RFC 1951 and 1952; the flush is `Z_FULL_FLUSH` of zlib).
"""

from __future__ import annotations

import json
import struct
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

PACKED_FROM = 2_000
"""From so many bytes an answer is gzipped."""
LARGE = 16_000
"""A piece of so many bytes is packed by itself; smaller ones are packed where they stand."""
_LEVEL = 5
_HEAD = b"\x1f\x8b\x08" + bytes(6) + b"\xff"
_LAST_BLOCK = b"\x03\x00"


class Piece:
    """A value as JSON. `source` is the value itself, to know it again; it is not sent anywhere."""

    def __init__(self, plain: bytes, source: object = None) -> None:
        self.plain, self.source = plain, source

    @classmethod
    def of(cls, value: Any, before: Piece | None = None) -> Piece:
        """A value's piece; the one from before where it is of the same object."""
        if before is not None and before.source is value:
            return before
        return cls(to_json(value), value)

    @cached_property
    def packed(self) -> bytes:
        """The bytes, deflated."""
        return _deflated(self.plain)

    def __getstate__(self) -> dict[str, Any]:
        packed = {"packed": self.packed} if self.is_large else {}
        return {"plain": self.plain, "source": None, **packed}

    @property
    def is_large(self) -> bool:
        """Whether it is worth packing by itself."""
        return len(self.plain) >= LARGE


Pieces = list[Piece]


@dataclass(frozen=True)
class AsJson:
    """What a function tells, as JSON; the words of a plan are none that can be sent otherwise."""

    tell: Callable[..., Any]

    def __call__(self, *args: Any) -> bytes:
        return to_json(self.tell(*args))


def to_json(value: Any) -> bytes:
    """A value as JSON, without a blank too many."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode()


def object_of(parts: Mapping[str, Piece | Pieces]) -> Pieces:
    """A JSON object."""
    named = ([Piece(to_json(n) + b":"), *_pieces(told)] for n, told in parts.items())
    return [Piece(b"{"), *_between(named), Piece(b"}")]


def list_of(rows: Iterable[Piece]) -> Pieces:
    """A JSON array."""
    return [Piece(b"["), *_between([row] for row in rows), Piece(b"]")]


def _pieces(told: Piece | Pieces) -> Pieces:
    return [told] if isinstance(told, Piece) else told


def _between(groups: Iterable[Pieces]) -> Pieces:
    laid: Pieces = []
    for group in groups:
        laid += [Piece(b","), *group] if laid else group
    return laid


def plain(pieces: Iterable[Piece]) -> bytes:
    """All of them, one after the other."""
    return b"".join(piece.plain for piece in pieces)


def gzipped(pieces: Iterable[Piece]) -> bytes:
    """All of them as one gzip stream."""
    check, size, found, small = 0, 0, [_HEAD], list[bytes]()
    for piece in pieces:
        check, size = zlib.crc32(piece.plain, check), size + len(piece.plain)
        if not piece.is_large:
            small.append(piece.plain)
            continue
        found += [*_apart(small), piece.packed]
        small = []
    end = struct.pack("<LL", check, size & 0xFFFFFFFF)
    return b"".join([*found, *_apart(small), _LAST_BLOCK, end])


def _apart(small: list[bytes]) -> list[bytes]:
    return [_deflated(b"".join(small))] if small else []


def _deflated(content: bytes) -> bytes:
    made = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    return made.compress(content) + made.flush(zlib.Z_FULL_FLUSH)

"""When a photo was taken, out of the head of its JPEG: nothing else of the picture is read.

Exif (CIPA DC-008) is a TIFF within the JPEG's first segments: directories of twelve-byte lines, a
tag, a type, a count and the value or where it stands. The camera's own time is wanted, and the
offset from UTC where a camera writes one; the time of the file is never taken for it.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

START, END = b"\xff\xd8", b"\xff\xd9"
_EXIF = b"Exif\0\0"
_APP1, _SCAN = 0xE1, 0xDA
_ALONE = frozenset({0x01, *range(0xD0, 0xD8)})
_ASCII, _LONG = 2, 4
_SUB = 0x8769
_TIMES = ((0x9003, 0x9011), (0x9004, 0x9012), (0x0132, 0x9010))
"""Tags of a time and of its offset: when it was taken, when it was put in digits, when it was last
changed; the first that says anything stands."""
_CHANGED = 0x0132
_WANTED = frozenset({_SUB, *(tag for pair in _TIMES for tag in pair)})
_MOST_LINES = 500
_TIME = re.compile(r"(\d{4})\D(\d{2})\D(\d{2})\D+(\d{2})\D(\d{2})\D(\d{2})")
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


@dataclass(frozen=True)
class Taken:
    """The camera's clock at a photo, its offset from UTC where it says one, and whether only the
    time of the last change stood there."""

    at: datetime
    offset: timedelta | None = None
    changed: bool = False


class NoTime(ValueError):
    """A photo does not say when it was taken; `why` is the id of the sentence that says it."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def taken(head: bytes) -> Taken:
    """When a photo was taken.

    Args:
        head: the file from its first byte, at least as far as its first segments go.

    Raises:
        NoTime: it is no JPEG, it holds no Exif, or the Exif holds no time.
    """
    if not head.startswith(START):
        raise NoTime("cards-not-jpeg")
    tiff = _exif(head)
    if tiff is None:
        raise NoTime("cards-no-exif")
    try:
        found = _tags(tiff)
    except (struct.error, IndexError):
        raise NoTime("cards-broken-exif") from None
    for time_tag, offset_tag in _TIMES:
        at = _time(found.get(time_tag, b""))
        if at is not None:
            return Taken(at, _offset(found.get(offset_tag, b"")), time_tag == _CHANGED)
    raise NoTime("cards-no-time")


def is_whole(head: bytes, tail: bytes) -> bool:
    """Whether a JPEG's end stands where its picture ends: a camera that lost power wrote none.

    Args:
        head: the beginning of the file.
        tail: its end; the whole file, where that is short.
    """
    scan = _scan(head)
    if scan is None:
        return False
    begins = max(0, scan - (len(head) - len(tail))) if head.endswith(tail) else 0
    return tail.rfind(END) >= begins


def _segments(head: bytes) -> Iterator[tuple[int, int, int]]:
    """Marker, first byte and end of each segment up to the scan, which is the last of them."""
    at = 2
    while at + 4 <= len(head) and head[at] == 0xFF:
        marker = head[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker in _ALONE:
            at += 2
            continue
        length = int.from_bytes(head[at + 2 : at + 4], "big")
        if length < 2:
            return
        yield marker, at + 4, at + 2 + length
        if marker == _SCAN:
            return
        at += 2 + length


def _exif(head: bytes) -> bytes | None:
    for marker, first, end in _segments(head):
        if marker == _APP1 and head[first : first + 6] == _EXIF:
            return head[first + 6 : end]
    return None


def _scan(head: bytes) -> int | None:
    return next((first for marker, first, _ in _segments(head) if marker == _SCAN), None)


def _tags(tiff: bytes) -> Mapping[int, bytes]:
    """The wanted tags, of the first directory and of the one that it points to."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        raise IndexError
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    found = _directory(tiff, order, first)
    if _SUB in found:
        (sub,) = struct.unpack_from(f"{order}I", found[_SUB])
        found |= _directory(tiff, order, sub)
    return found


def _directory(tiff: bytes, order: str, at: int) -> dict[int, bytes]:
    (count,) = struct.unpack_from(f"{order}H", tiff, at)
    found = {}
    for line in range(min(count, _MOST_LINES)):
        place = at + 2 + 12 * line
        tag, kind, size = struct.unpack_from(f"{order}HHI", tiff, place)
        if tag not in _WANTED or kind not in (_ASCII, _LONG):
            continue
        if kind == _LONG or size <= 4:
            found[tag] = tiff[place + 8 : place + 12]
        else:
            (where,) = struct.unpack_from(f"{order}I", tiff, place + 8)
            found[tag] = tiff[where : where + min(size, 64)]
    return found


def _time(value: bytes) -> datetime | None:
    """A time as Exif writes it; blanks, zeros and days that no calendar has are none."""
    read = _TIME.match(value.decode("ascii", "replace"))
    if read is None:
        return None
    try:
        return datetime(*(int(part) for part in read.groups()))  # type: ignore[arg-type]
    except ValueError:
        return None


def _offset(value: bytes) -> timedelta | None:
    text = value.decode("ascii", "replace").strip(" \0")
    if text.startswith("Z"):
        return timedelta()
    read = _OFFSET.match(text)
    if read is None:
        return None
    apart = timedelta(hours=int(read[2]), minutes=int(read[3]))
    return -apart if read[1] == "-" else apart

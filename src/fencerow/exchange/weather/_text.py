"""The lines of a weather file, or one sentence that says why it cannot be read.

Sizes are limited before anything is parsed: one station's whole record is far below them.
"""

from __future__ import annotations

import gzip
import zlib
from pathlib import Path

from fencerow.words import BadInput

MAX_BYTES = 64 * 2**20
MAX_LINE = 20_000
_GZIP = b"\x1f\x8b"


def lines_of(path: Path) -> list[str]:
    """The lines of a text file, plain or gzip; line n is row n + 1 in every message.

    Raises:
        BadInput: the file cannot be opened, is empty, too large or no UTF-8 text, or has a line
            that no weather file has.
    """
    data = bytes_of(path)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        raise BadInput("weather-encoding", file=path.name, row=row) from None
    lines = [line.removesuffix("\r") for line in text.split("\n")]
    while lines and not lines[-1].strip():
        lines.pop()
    if not lines:
        raise BadInput("weather-empty", file=path.name)
    for row, line in enumerate(lines, 1):
        if len(line) > MAX_LINE:
            raise BadInput(
                "weather-long-line", file=path.name, row=row, length=len(line), limit=MAX_LINE
            )
    return lines


def bytes_of(path: Path, most: int | None = None) -> bytes:
    """What a file holds, plain or unpacked, and never more than a limit.

    Raises:
        BadInput: the file cannot be opened, or holds more.
    """
    most = MAX_BYTES if most is None else most
    try:
        with path.open("rb") as file:
            data = file.read(most + 1)
        if data.startswith(_GZIP):
            # never more than the limit is unpacked, whatever the file claims
            with gzip.open(path) as packed:
                data = packed.read(most + 1)
    except (OSError, EOFError, zlib.error) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise BadInput("weather-unreadable", file=path.name, why=why) from None
    if len(data) > most:
        raise BadInput("weather-too-large", file=path.name, limit=most // 2**20)
    return data

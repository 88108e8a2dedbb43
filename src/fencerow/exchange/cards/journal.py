"""What was read of a card so far, so that a second run goes on where the first stopped."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO


class Journal:
    """What was read of a card so far: a line for each file, added as it is read.

    A line that was cut short as the machine stopped is as if it were not there.
    """

    def __init__(self, path: Path, fresh: bool = False) -> None:
        """`fresh`: nothing is looked up, so what stands there already need not be read."""
        self.path = path
        self.known = {} if fresh else dict(self._lines())
        self._out: BinaryIO | None = None

    def __enter__(self) -> Journal:
        self.path.parent.mkdir(exist_ok=True)
        self._out = self.path.open("ab")
        if self._out.tell() and not self._ends_whole():
            self._out.write(b"\n")
        return self

    def __exit__(self, *_: object) -> None:
        if self._out is not None:
            self._out.close()
            self._out = None

    def get(self, key: str) -> Mapping[str, object] | None:
        return self.known.get(key)

    def add(self, key: str, said: Mapping[str, object]) -> None:
        """Remember what was found under a key."""
        self.known[key] = said
        if self._out is not None:
            self._out.write(json.dumps([key, said], ensure_ascii=False).encode() + b"\n")

    def flush(self) -> None:
        if self._out is not None:
            self._out.flush()

    def _ends_whole(self) -> bool:
        with self.path.open("rb") as file:
            file.seek(-1, os.SEEK_END)
            return file.read(1) == b"\n"

    def _lines(self) -> Iterator[tuple[str, Mapping[str, object]]]:
        if not self.path.is_file():
            return
        with self.path.open("rb") as file:
            for line in file:
                try:
                    key, said = json.loads(line)
                    yield str(key), dict(said)
                except (ValueError, TypeError, RecursionError):
                    continue

"""A forecast's JSON, as an object or as one sentence that says why it cannot be read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from fencerow.exchange.weather._text import bytes_of
from fencerow.words import BadInput

MAX_BYTES = 4 * 2**20
"""More than any forecast for one place."""


def looks_json(path: Path) -> bool:
    """Whether a file begins as a JSON object."""
    try:
        with path.open("rb") as file:
            return file.read(64).removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"{"
    except OSError:
        return False


def object_of(path: Path) -> dict[str, Any]:
    """The object that a file holds.

    Raises:
        BadInput: the file cannot be read, is too large, or is no JSON object.
    """
    return parsed(path.name, bytes_of(path, MAX_BYTES))


def parsed(file: str, data: bytes) -> dict[str, Any]:
    """The object that some bytes hold; NaN and Infinity are no JSON, and are refused.

    Raises:
        BadInput: it is no UTF-8, no JSON, nested past reason, or no object.
    """
    try:
        found = json.loads(data.decode("utf-8-sig"), parse_constant=_refused)
    except (ValueError, RecursionError) as error:
        raise BadInput("forecast-bad-json", file=file, why=_short(error)) from None
    if not isinstance(found, dict):
        raise BadInput("forecast-bad-json", file=file, why=type(found).__name__)
    return found


def number(file: str, where: str, value: object) -> float:
    """A number of the file; null is not known, and comes as NaN.

    Raises:
        BadInput: it is something else.
    """
    if value is None:
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e9:
        raise BadInput("forecast-no-number", file=file, where=where, value=str(value)[:40])
    return float(value)


def _refused(text: str) -> float:
    raise ValueError(text)


def _short(error: Exception) -> str:
    return str(error)[:120]

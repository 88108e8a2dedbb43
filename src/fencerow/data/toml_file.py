"""TOML that a person wrote, or that somebody gave them."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from fencerow.words import say

MOST_LETTERS = 10_000
"""Of one line. A name of many parts (a.a.a...) takes memory by the square of its length."""


def read_toml(path: Path) -> dict[str, Any]:
    """What a file of TOML holds.

    Raises:
        OSError, ValueError, RecursionError: it can't be opened, or is no TOML that is read here.
    """
    text = path.read_text(encoding="utf-8")
    if any(len(line) > MOST_LETTERS for line in text.splitlines()):
        raise ValueError(say("toml-line", most=MOST_LETTERS))
    return tomllib.loads(text)

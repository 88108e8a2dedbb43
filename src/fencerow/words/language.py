"""The language that is spoken: that of whoever reads, set around the saying as the units are."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum


class Language(StrEnum):
    """The languages that the catalogue knows, by their tags."""

    ENGLISH = "en"
    SPANISH = "es"


TAGS = tuple(one.value for one in Language)


def language_of(tags: str) -> Language:
    """The first language of an Accept-Language header that the catalogue knows, else English.

    A person who reads neither is answered in English; weights (`;q=0.5`) are read as their order.
    """
    for tag in tags.split(","):
        main = tag.split(";")[0].strip().split("-")[0].lower()
        if main in TAGS:
            return Language(main)
    return Language.ENGLISH


STARTED_IN = language_of(os.environ.get("FENCEROW_LANGUAGE", ""))
"""The language of whoever started the process."""
_LANGUAGE: ContextVar[Language] = ContextVar("language", default=STARTED_IN)


@contextmanager
def spoken_in(language: Language) -> Iterator[None]:
    """Within it, everything is said in this language."""
    token = _LANGUAGE.set(language)
    try:
        yield
    finally:
        _LANGUAGE.reset(token)


def language() -> Language:
    """The language that is being spoken."""
    return _LANGUAGE.get()

"""The catalogue of words, and the one family of errors that speaks from it.

Figures, cautions and errors carry a message id and parameters. The words live in the TOML files of
this folder: `[messages]` holds one template for each id, `[names]` the trade's name for each
identifier that is shown to a person. A test keeps ids and catalogue together.

The folder of a language (`es/`) holds the same ids in it; what stands there alone are the words of
what is written down or printed in tables (`[values]`), and the names of units and of the compass.
Where a language lacks a sentence the English one is said.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import islice
from string import Formatter
from typing import Self

from fencerow.words.days import compact_day as compact_day
from fencerow.words.days import day_text as day_text
from fencerow.words.language import Language as Language
from fencerow.words.language import language as language
from fencerow.words.language import language_of as language_of
from fencerow.words.language import spoken_in as spoken_in

PARTS = ("messages", "names", "values")
Catalogue = dict[str, dict[str, str]]


@cache
def catalogue(of: Language) -> Catalogue:
    """What is written down in a language itself: each part's words by their ids.

    Raises:
        KeyError: an id stands twice.
    """
    own = files(__package__)
    found: Catalogue = {part: {} for part in PARTS}
    for file in _tomls(own if of is Language.ENGLISH else own / of):
        content = tomllib.loads(file.read_text(encoding="utf-8"))
        for part in PARTS:
            for key, text in content.get(part, {}).items():
                if key in found[part]:
                    raise KeyError(f"{part} '{key}' stands twice in the catalogue")
                found[part][key] = text
    return found


def _tomls(folder: Traversable) -> Iterator[Traversable]:
    return iter(sorted((f for f in folder.iterdir() if f.name.endswith(".toml")),
                       key=lambda f: f.name))  # fmt: skip


@cache
def _spoken(of: Language) -> Catalogue:
    """The words of a language, the English ones where it lacks some."""
    return {part: catalogue(Language.ENGLISH)[part] | catalogue(of)[part] for part in PARTS}


def messages() -> dict[str, str]:
    """Every message template by its id, in the language that is spoken."""
    return dict(_spoken(language())["messages"])


class Words(str):
    """Words of the catalogue, as text in the language that they were first said in.

    A plan is made once and read in any language: `str()` of these, and a blank that they fill, say
    them anew where another one is spoken by now.
    """

    _say: Callable[[], str]
    _said_in: Language

    def __new__(cls, speak: Callable[[], str]) -> Self:
        words = super().__new__(cls, speak())
        words._say, words._said_in = speak, language()
        return words

    def __str__(self) -> str:
        return super().__str__() if language() is self._said_in else self._say()

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __reduce__(self) -> tuple[type[Words], tuple[Callable[[], str]]]:
        return Words, (self._say,)


def say(message_id: str, /, **params: object) -> str:
    """The sentence for a message id.

    Raises:
        KeyError: the id, or a parameter that its template needs, is missing.
    """
    return Words(partial(_sentence, message_id, params))


def _sentence(message_id: str, params: dict[str, object]) -> str:
    given = {k: _spelled(v) if isinstance(v, str) else v for k, v in params.items()}
    return _spoken(language())["messages"][message_id].format_map(given)


def has_name(identifier: str) -> bool:
    """Whether the catalogue names this identifier."""
    return identifier in _spoken(language())["names"]


def name_of(identifier: str) -> str:
    """The trade's name for an identifier; its own letters, spaced, where the catalogue has none."""
    return Words(partial(_name, identifier))


def _name(identifier: str) -> str:
    spaced = identifier.replace("_", " ").replace("-", " ")
    return _spoken(language())["names"].get(identifier) or value_of(spaced)


def value_of(text: str) -> str:
    """What a table or the record says in its own words: 'silt loam' is 'franco limoso'.

    The dagger behind it stays.
    """
    bare = text.removesuffix("†")
    return _spoken(language())["values"].get(bare, bare) + text[len(bare) :]


def listed(parts: Iterable[str], between: str = ", ") -> str:
    """Words one after another; each is said anew where another language is spoken."""
    return Words(partial(_listed, tuple(parts), between))


def _listed(parts: tuple[str, ...], between: str) -> str:
    return between.join(map(str, parts))


@dataclass(frozen=True)
class Message:
    """Something to say to the person: an id of the catalogue and what fills its blanks."""

    id: str
    params: tuple[tuple[str, object], ...] = ()

    @classmethod
    def of(cls, message_id: str, /, **params: object) -> Message:
        return cls(message_id, tuple(sorted(params.items())))

    def __str__(self) -> str:
        return "".join(words for words, _ in self.pieces())

    def pieces(self) -> list[tuple[str, object]]:
        """The sentence in pieces: words, and what filled the blank that they stand in, or None.

        Raises:
            KeyError: as for `say`.
        """
        given, form = dict(self.params), Formatter()
        found: list[tuple[str, object]] = []
        for words, name, spec, turn in form.parse(_spoken(language())["messages"][self.id]):
            if words:
                found.append((words, None))
            if name is not None:
                value = form.convert_field(_spelled(given[name]), turn)
                found.append((form.format_field(value, spec or ""), given[name]))
        return found


def _spelled(value: object) -> object:
    """What fills a blank, in words of the language that is spoken."""
    if isinstance(value, date):
        return day_text(value)
    return value_of(str(value)) if isinstance(value, str) else value


MOST_SAID = 8000
"""Letters of one thing that an error speaks of; twenty wrong rows are fewer."""


def _sayable(value: object) -> object:
    """A text out of a file as it can be said: not without end, and of letters that can be sent."""
    if not isinstance(value, str):
        return value
    text = value.encode("utf-8", "backslashreplace").decode()
    if len(repr(text)) <= MOST_SAID:
        return text
    # what cannot be printed would be spelled in up to ten letters each
    seen = (c if c.isprintable() or c in "\n\t" else "\N{REPLACEMENT CHARACTER}" for c in text)
    return f"{''.join(islice(seen, MOST_SAID))} ..."


class FencerowError(Exception):
    """Every error that Fencerow raises on purpose; `str()` is one paragraph for the person.

    It is said in the language that was spoken where it was raised.
    """

    def __init__(self, message_id: str, /, **params: object) -> None:
        params = {name: _sayable(value) for name, value in params.items()}
        self.message = Message.of(message_id, **params)
        self.language = language()
        super().__init__(message_id, params)

    def __str__(self) -> str:
        with spoken_in(self.language):
            return str(self.message)


class BadInput(FencerowError):
    """What came in is wrong; the message names file, row and field, and what would be right."""


class OutsideRange(FencerowError, ValueError):
    """A formula was asked outside the range that its source gives: the answer is 'not known'."""

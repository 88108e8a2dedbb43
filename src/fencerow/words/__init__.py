"""The catalogue of words, and the one family of errors that speaks from it.

Figures, cautions and errors carry a message id and parameters. The words live in the TOML files of
this folder: `[messages]` holds one template for each id, `[names]` the trade's name for each
identifier that is shown to a person. A test keeps ids and catalogue together.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from string import Formatter


@cache
def _catalogue() -> tuple[dict[str, str], dict[str, str]]:
    messages: dict[str, str] = {}
    names: dict[str, str] = {}
    for file in sorted(files(__package__).iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml"):
            content = tomllib.loads(file.read_text(encoding="utf-8"))
            for into, part in ((messages, "messages"), (names, "names")):
                for key, text in content.get(part, {}).items():
                    if key in into:
                        raise KeyError(f"{part} '{key}' stands twice in the catalogue")
                    into[key] = text
    return messages, names


def messages() -> dict[str, str]:
    """Every message template by its id."""
    return dict(_catalogue()[0])


def say(message_id: str, /, **params: object) -> str:
    """The sentence for a message id.

    Raises:
        KeyError: the id, or a parameter that its template needs, is missing.
    """
    return _catalogue()[0][message_id].format_map(params)


def has_name(identifier: str) -> bool:
    """Whether the catalogue names this identifier."""
    return identifier in _catalogue()[1]


def name_of(identifier: str) -> str:
    """The trade's name for an identifier; its own letters, spaced, where the catalogue has none."""
    return _catalogue()[1].get(identifier, identifier.replace("_", " ").replace("-", " "))


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
        for words, name, spec, turn in form.parse(_catalogue()[0][self.id]):
            if words:
                found.append((words, None))
            if name is not None:
                value = form.convert_field(_spelled(given[name]), turn)
                found.append((form.format_field(value, spec or ""), given[name]))
        return found


def day_text(day: date) -> str:
    """A day as it is said: 'Sep 4, 2027'."""
    return f"{day:%b} {day.day}, {day.year}"


def _spelled(value: object) -> object:
    return day_text(value) if isinstance(value, date) else value


MOST_SAID = 8000
"""Letters of one thing that an error speaks of; twenty wrong rows are fewer."""


def _sayable(value: object) -> object:
    """A text out of a file as it can be said: not without end, and of letters that can be sent."""
    if not isinstance(value, str):
        return value
    text = value.encode("utf-8", "backslashreplace").decode()
    return text if len(text) <= MOST_SAID else f"{text[:MOST_SAID]} ..."


class FencerowError(Exception):
    """Every error that Fencerow raises on purpose; `str()` is one paragraph for the person."""

    def __init__(self, message_id: str, /, **params: object) -> None:
        params = {name: _sayable(value) for name, value in params.items()}
        self.message = Message.of(message_id, **params)
        super().__init__(message_id, params)

    def __str__(self) -> str:
        return str(self.message)


class BadInput(FencerowError):
    """What came in is wrong; the message names file, row and field, and what would be right."""


class OutsideRange(FencerowError, ValueError):
    """A formula was asked outside the range that its source gives: the answer is 'not known'."""

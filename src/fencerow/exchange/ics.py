"""The year's tasks as an iCalendar file (RFC 5545), for the calendar that a person already has.

Every task is an event of one whole day, or a to-do, with its own id as the UID, so that a file that
is brought in again moves what has moved and doubles nothing. No place's position is in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from fencerow import __version__
from fencerow.plan.plan import Plan
from fencerow.plan.year import State, Task, Year

LONGEST = 75
"""Octets of a line without its end (section 3.1)."""

_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n", "\r": None})
# a line may hold no control character but a tab (section 3.1)
_BARRED = dict.fromkeys((*range(9), *range(11, 32), 127))


def calendar(plan: Plan, todos: bool = False) -> str:
    """The tasks of the tract's year as an iCalendar object, its lines ended by CRLF.

    Args:
        plan: the plan whose tasks they are.
        todos: as to-dos, done ones among them; else as events, without the done ones.
    """
    return "".join(f"{line}\r\n" for line in _lines(plan, todos) for line in fold(line))


def _lines(plan: Plan, todos: bool) -> Iterator[str]:
    year: Year = plan.sections["year"].body
    yield "BEGIN:VCALENDAR"
    yield "VERSION:2.0"
    yield f"PRODID:-//Fencerow//Fencerow {__version__}//EN"
    yield "CALSCALE:GREGORIAN"
    for id_, task in year.tasks.items():
        if todos or task.state is not State.DONE:
            yield from _task(plan, id_, task, todos)
    yield "END:VCALENDAR"


def _task(plan: Plan, id_: str, task: Task, todo: bool) -> Iterator[str]:
    day: date = task.when.value
    kind = "VTODO" if todo else "VEVENT"
    yield f"BEGIN:{kind}"
    yield f"UID:{escaped(id_)}"
    yield f"DTSTAMP:{_digits(plan.given.as_of)}T000000Z"
    if todo:
        yield f"DUE;VALUE=DATE:{_digits(day)}"
        yield f"STATUS:{'COMPLETED' if task.state is State.DONE else 'NEEDS-ACTION'}"
    else:
        yield f"DTSTART;VALUE=DATE:{_digits(day)}"
        yield f"DTEND;VALUE=DATE:{_digits(day + timedelta(days=1))}"
        yield "TRANSP:TRANSPARENT"  # a task to fit in, no hour that is taken
    yield f"SUMMARY:{escaped(str(task.what))}"
    yield f"DESCRIPTION:{escaped(str(task.why))}"
    place = plan.given.tract.places.get(task.place)
    if place is not None:
        yield f"LOCATION:{escaped(place.body.name)}"
    yield f"END:{kind}"


def _digits(day: date) -> str:
    return f"{day:%Y%m%d}"


def escaped(text: str) -> str:
    """A text as the value of a property (section 3.3.11)."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return lines.translate(_BARRED).translate(_ESCAPED)


def fold(line: str) -> Iterator[str]:
    """A line in pieces of at most 75 octets, those after the first begun by a space.

    No piece ends within a character (section 3.1).
    """
    piece, room = "", LONGEST
    for character in line:
        octets = len(character.encode())
        if octets > room:
            yield piece
            piece, room = " ", LONGEST - 1
        piece += character
        room -= octets
    yield piece

"""The year's tasks as an iCalendar file (RFC 5545), for the calendar that a person already has.

Every task is an event of one whole day, or a to-do, with its own id as the UID, so that a file that
is brought in again moves what has moved and doubles nothing. No place's position is in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from fencerow import __version__
from fencerow.plan.plan import Plan
from fencerow.plan.work.given_to import person_named
from fencerow.plan.work.helpers import Card
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.year import State, Year
from fencerow.words import Message

LONGEST = 75
"""Octets of a line without its end (section 3.1)."""

_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n", "\r": None})
# a line may hold no control character but a tab (section 3.1)
_BARRED = dict.fromkeys((*range(9), *range(11, 32), 127))


@dataclass(frozen=True)
class _Entry:
    """What one event or to-do is made of."""

    day: date
    what: Message
    why: Message
    place: str
    done: bool = False


def calendar(plan: Plan, todos: bool = False, person: str = "") -> str:
    """The tasks of the tract's year as an iCalendar object, its lines ended by CRLF.

    Args:
        plan: the plan whose tasks they are.
        todos: as to-dos, done ones among them; else as events, without the done ones.
        person: only what is given to one person, by name or id.

    Raises:
        BadInput: nobody of the tract has that name.
    """
    found = _of_person(plan, person) if person else _of_year(plan)
    return "".join(f"{line}\r\n" for line in _lines(plan, found, todos) for line in fold(line))


def _of_year(plan: Plan) -> dict[str, _Entry]:
    year: Year = plan.sections["year"].body
    return {
        id_: _Entry(t.when.value, t.what, t.why, t.place, t.state is State.DONE)
        for id_, t in year.tasks.items()
    }


def _of_person(plan: Plan, name: str) -> dict[str, _Entry]:
    """What is on a person's card: on the day that it was given for, else on the day that the year
    has it, which is the last where it has one."""
    person = person_named(plan.given.tract, name)
    cards: Mapping[str, Card] = plan.sections["helpers"].body
    if person.id not in cards:
        return {}
    work: WorkPlan = plan.sections["work"].body
    year, found = _of_year(plan), {}
    for id_, errand in cards[person.id].errands.items():
        entry, job = year.get(id_), work.jobs.get(id_)
        if entry is None:
            assert job is not None, "a task that the year does not list is a job"
            entry = _Entry(job.by.value, errand.what, job.why, job.place)
        found[id_] = entry if errand.day is None else replace(entry, day=errand.day.value)
    return found


def _lines(plan: Plan, found: Mapping[str, _Entry], todos: bool) -> Iterator[str]:
    yield "BEGIN:VCALENDAR"
    yield "VERSION:2.0"
    yield f"PRODID:-//Fencerow//Fencerow {__version__}//EN"
    yield "CALSCALE:GREGORIAN"
    for id_, entry in found.items():
        if todos or not entry.done:
            yield from _task(plan, id_, entry, todos)
    yield "END:VCALENDAR"


def _task(plan: Plan, id_: str, task: _Entry, todo: bool) -> Iterator[str]:
    kind = "VTODO" if todo else "VEVENT"
    yield f"BEGIN:{kind}"
    yield f"UID:{escaped(id_)}"
    yield f"DTSTAMP:{_digits(plan.given.as_of)}T000000Z"
    if todo:
        yield f"DUE;VALUE=DATE:{_digits(task.day)}"
        yield f"STATUS:{'COMPLETED' if task.done else 'NEEDS-ACTION'}"
    else:
        yield f"DTSTART;VALUE=DATE:{_digits(task.day)}"
        yield f"DTEND;VALUE=DATE:{_digits(task.day + timedelta(days=1))}"
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

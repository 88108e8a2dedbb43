"""To whom a task is given: what names it most closely goes before what names it in passing."""

from __future__ import annotations

from fencerow.plan.work.spans import Span
from fencerow.tract.bodies import Person
from fencerow.tract.hands import Assignment
from fencerow.tract.model import Kept, Tract, slug_of
from fencerow.words import BadInput


def given_to(tract: Tract, task: str, span: Span) -> list[Kept[Assignment]]:
    """The entries that give a task to somebody who is there.

    One by its id goes before one of a job on its place, and that before one of the job or of the
    place alone; several of one closeness share it. A place that is kept from others is not given by
    a job alone.
    """
    private = tract.places[span.place].visibility != "all"
    ranked = [
        (closeness, kept)
        for kept in tract.assignments.values()
        if kept.body.person in tract.people
        and (closeness := _closeness(kept.body, task, span, private))
    ]
    best = max((closeness for closeness, _ in ranked), default=0)
    latest = {kept.body.person: kept for closeness, kept in ranked if closeness == best}
    return sorted(latest.values(), key=lambda kept: kept.id)


def person_named(tract: Tract, name: str) -> Kept[Person]:
    """A person of the tract by name or id.

    Raises:
        BadInput: nobody is called so; the message names who is there.
    """
    if name in tract.people:
        return tract.people[name]
    for kept in sorted(tract.people.values(), key=lambda p: p.id):
        if slug_of(kept.body.name) == slug_of(name):
            return kept
    known = ", ".join(sorted(p.body.name for p in tract.people.values()))
    raise BadInput("helpers-no-person", name=name, known=known or "none")


def _closeness(body: Assignment, task: str, span: Span, private: bool) -> int:
    """How closely an entry names a task: 3 by its id, 2 by job and place, 1 by one, 0 not."""
    if body.task:
        return 3 * (body.task == task)
    if body.job is not None and body.job != span.kind:
        return 0
    if body.places and span.place not in body.places:
        return 0
    if private and not body.places:
        return 0
    return (body.job is not None) + bool(body.places)

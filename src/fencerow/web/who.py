"""Who may see or do what: the one place that decides it.

Today the server answers on this machine alone and whoever sits at it owns the tract. A route names
what it does; a test fails for one that does not.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from fastapi import Depends, HTTPException, Request

from fencerow.words import say


class Act(StrEnum):
    """What a request does."""

    SEE = "see"
    SAY = "say"
    """Write entries, photos among them."""
    BRING = "bring"
    """Import a file."""
    TAKE = "take"
    """Take the record, the ground or the packet out."""
    ARRANGE = "arrange"
    """Make a tract, or open another."""


@dataclass(frozen=True)
class Person:
    """Who asks, and as what."""

    name: str
    role: str


ALLOWED: dict[str, frozenset[Act]] = {"owner": frozenset(Act)}
"""What each role may do."""


def person_of(request: Request) -> Person:
    """Who asks."""
    return Person(request.app.state.author, "owner")


def may(person: Person, act: Act) -> bool:
    """Whether a person may do something at all."""
    return act in ALLOWED.get(person.role, ())


def sees(person: Person, visibility: str) -> bool:
    """Whether a person may know of a thing that is marked so."""
    return visibility == "all" or person.role == "owner"


Asking = Annotated[Person, Depends(person_of)]


class Needs:
    """The rule of a route: what the person who asks must be allowed to do."""

    def __init__(self, act: Act) -> None:
        self.act = act

    def __call__(self, person: Asking) -> None:
        if not may(person, self.act):
            raise HTTPException(403, say("web-may-not", name=person.name, act=self.act.value))

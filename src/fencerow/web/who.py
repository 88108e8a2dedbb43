"""Who asks, and whether a route may answer them. A test fails for a route without a rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, HTTPException, Request

from fencerow.web.roles import Act, role_of
from fencerow.words import say

if TYPE_CHECKING:
    from fencerow.web.accounts import Accounts
    from fencerow.web.house import House

COOKIE = "fencerow-session"


@dataclass(frozen=True)
class Person:
    """Who asks, and as what. `account` where they signed in, and so sign what they write."""

    name: str
    role: str
    account: bool = False

    @property
    def levels(self) -> frozenset[str] | None:
        """What may be seen; None for all."""
        return None if self.role == "owner" else role_of(self.role).sees


def accounts_of(request: Request) -> Accounts | None:
    """The accounts that count here; None where whoever sits at the machine is the owner."""
    house: House = request.app.state.house
    return house.accounts()


def person_of(request: Request) -> Person:
    """Who asks.

    Raises:
        HTTPException: nobody that is known.
    """
    accounts = accounts_of(request)
    if accounts is None:
        return Person(request.app.state.author, "owner")
    found = accounts.signed_in(request.cookies.get(COOKIE, ""))
    if found is None:
        raise HTTPException(401, say("web-sign-in"))
    return Person(found.name, found.role, account=True)


def is_known(request: Request) -> bool:
    """Whether somebody who is known asks."""
    try:
        person_of(request)
    except HTTPException:
        return False
    return True


def may(person: Person, act: Act) -> bool:
    """Whether a person may do something at all."""
    return act in role_of(person.role).acts


def acts_of(person: Person, house: House) -> frozenset[Act]:
    """What a person may do here and now, so that nothing else is offered."""
    acts = set(role_of(person.role).acts)
    if Act.BRING in acts and house.is_open and house.desk.keeps_from(person.levels):
        acts.discard(Act.BRING)
    if house.one_tract:
        acts.discard(Act.ARRANGE)
    return frozenset(acts)


def sees(person: Person, visibility: str) -> bool:
    """Whether a person may know of a thing that is marked so."""
    levels = person.levels
    return levels is None or visibility == "all" or visibility in levels


Asking = Annotated[Person, Depends(person_of)]


class Needs:
    """The rule of a route: what the person who asks must be allowed to do."""

    def __init__(self, act: Act) -> None:
        self.act = act

    def __call__(self, request: Request) -> None:
        if self.act is Act.ENTER:
            return
        person = person_of(request)
        if not may(person, self.act):
            _written_down(request, person, self.act)
            raise HTTPException(403, say("web-may-not", name=person.name, act=self.act.value))
        house: House = request.app.state.house
        if self.act is Act.BRING and house.desk.keeps_from(person.levels):
            raise HTTPException(403, say("web-bring-whole", name=person.name))


def _written_down(request: Request, person: Person, act: Act) -> None:
    """That somebody asked for what they may not: in the audit, where there is one."""
    accounts = accounts_of(request)
    if accounts is not None:
        route = request.scope["route"].path
        accounts.may_not(person.name, f"{act.value}, {request.method} {route}")

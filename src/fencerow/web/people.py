"""The people of a tract: who may sign in, where they are, invitations, and what was done."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Annotated
from zoneinfo import ZoneInfo

from fastapi import FastAPI, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from fencerow.tract.places import POSITIONS
from fencerow.tract.veil import ALL
from fencerow.web import form
from fencerow.web.account_file import Account, By, Done
from fencerow.web.accounts import Accounts
from fencerow.web.house import House
from fencerow.web.roles import ROLES, Act, role_of
from fencerow.web.route import NOT_THERE, answers, asked
from fencerow.web.sessions import SignedIn
from fencerow.web.sign_in import Given, Name, device_of, entered
from fencerow.web.who import Asking, Person, accounts_of
from fencerow.words import BadInput, day_text, name_of, say

LINES = 200
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\S+")
Role = Annotated[str, Field(max_length=20)]


class Somebody(BaseModel):
    """A person by the name of their account."""

    name: Name


class Changed(Somebody):
    """The role that a person is to have."""

    role: Role


class Wanted(BaseModel):
    """An invitation that is wanted; with a name it is for that one alone."""

    role: Role
    name: Name = ""
    days: Annotated[int, Field(ge=1, le=90)] = 7


class Unwanted(BaseModel):
    """An invitation by its number."""

    id: Annotated[int, Field(ge=1, le=2**53)]


def add_people(app: FastAPI, house: House) -> None:
    """Add the routes of the page of people."""

    def told(request: Request, person: Person) -> JSONResponse:
        return JSONResponse(_people(accounts_of(request), person, house))

    @asked(app.get, "/api/people", Act.PEOPLE, answers(form.People))
    def people(request: Request, person: Asking) -> JSONResponse:
        return told(request, person)

    @asked(app.get, "/api/people/audit", Act.AUDIT, answers(list[form.AuditLine]))
    def audit(request: Request) -> JSONResponse:
        accounts = accounts_of(request)
        lines = [] if accounts is None else accounts.audit(LINES)[::-1]
        zone = ZoneInfo(house.desk.tract().about.body.zone) if lines else None
        return JSONResponse([_line(done, zone) for done in lines])

    @asked(app.post, "/api/people/first", Act.ARRANGE, answers(form.Me) | NOT_THERE)
    def first(given: Given, request: Request) -> JSONResponse:
        if house.one_tract:
            raise BadInput("account-begin-here")
        accounts = Accounts(house.desk.store.folder)
        accounts.begin(given.name, given.password)
        token = accounts.sign_in(given.name, given.password, device_of(request))
        return entered(request, accounts, token)

    @asked(app.post, "/api/people/invite", Act.PEOPLE, answers(form.Code) | NOT_THERE)
    def invite(wanted: Wanted, request: Request, person: Asking) -> JSONResponse:
        lasts = timedelta(days=wanted.days)
        code = _those(request).invite(wanted.role, wanted.name, lasts, _by(person))
        return JSONResponse({"code": code})

    @asked(app.post, "/api/people/withdraw", Act.PEOPLE, answers(form.People) | NOT_THERE)
    def withdraw(unwanted: Unwanted, request: Request, person: Asking) -> JSONResponse:
        _those(request).withdraw(unwanted.id, _by(person))
        return told(request, person)

    @asked(app.post, "/api/people/role", Act.PEOPLE, answers(form.People) | NOT_THERE)
    def role(changed: Changed, request: Request, person: Asking) -> JSONResponse:
        _those(request).set_role(changed.name, changed.role, _by(person))
        return told(request, person)

    @asked(app.post, "/api/people/remove", Act.PEOPLE, answers(form.People) | NOT_THERE)
    def remove(one: Somebody, request: Request, person: Asking) -> JSONResponse:
        _those(request).remove(one.name, _by(person))
        return told(request, person)

    @asked(app.post, "/api/people/sign-out", Act.PEOPLE, answers(form.People) | NOT_THERE)
    def sign_them_out(one: Somebody, request: Request, person: Asking) -> JSONResponse:
        _those(request).sign_out_all(one.name, _by(person))
        return told(request, person)


def _those(request: Request) -> Accounts:
    found = accounts_of(request)
    if found is None:
        raise HTTPException(404, say("account-no-accounts"))
    return found


def _by(person: Person) -> By:
    return By(person.name, role_of(person.role).arranges)


def _people(accounts: Accounts | None, person: Person, house: House) -> form.People:
    """Who there is; nobody where whoever sits at the machine is the owner."""
    over = role_of(person.role).arranges
    all_ = [] if accounts is None else accounts.all()
    inside = [] if accounts is None else accounts.sessions()
    open_ = [] if accounts is None else accounts.invitations()
    tract = house.desk.tract(person.levels)
    return {
        "accounts": accounts is not None,
        "may_begin": accounts is None and not house.one_tract,
        "roles": [r for r in ROLES if r in over],
        "people": [_person(one, inside, all_, over, person) for one in all_],
        "invitations": [
            {"id": i.id, "role": i.role, "name": i.name, "ends": i.ends, "may": i.role in over}
            for i in open_
        ],
        "shown_to_all": [
            {"id": k.id, "name": k.body.name}
            for k in tract.places.values()
            if isinstance(k.body, POSITIONS) and k.visibility == ALL
        ],
    }  # fmt: skip


def _person(
    one: Account, inside: list[SignedIn], all_: list[Account], over: frozenset[str], who: Person
) -> form.PersonOfTract:
    """A person, and what may be done about them; an only owner stays what they are."""
    only = one.role == "owner" and sum(a.role == "owner" for a in all_) == 1
    theirs = one.role in over
    at: list[form.At] = [
        {"device": s.device, "since": s.since, "last": s.last} for s in inside if s.name == one.name
    ]
    may = ["sign-out"] if theirs and at else []
    may += ["role", "remove"] if theirs and not only else []
    return {
        "name": one.name, "role": one.role, "since": one.since, "last": one.last,
        "self": one.name == who.name, "at": at, "may": may,
    }  # fmt: skip


def _line(done: Done, zone: ZoneInfo | None) -> form.AuditLine:
    def day(found: re.Match[str]) -> str:
        return day_text(datetime.fromisoformat(found.group()).astimezone(zone).date())

    return {
        "at": done.at, "what": name_of(f"audit {done.what}"), "name": done.name,
        "note": _MOMENT.sub(day, done.note), "by": done.by, "refused": done.what == "refused",
    }  # fmt: skip

"""Signing in and out, taking an invitation, and who one is."""

from __future__ import annotations

from typing import Annotated

from fastapi import FastAPI, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from fencerow.tract.bodies import KINDS
from fencerow.web import form
from fencerow.web.accounts import Accounts
from fencerow.web.house import House
from fencerow.web.roles import Act, role_of, who_may, who_writes
from fencerow.web.route import NOT_THERE, TOO_OFTEN, answers, asked
from fencerow.web.sessions import SESSION
from fencerow.web.who import COOKIE, Person, accounts_of, acts_of, person_of
from fencerow.words import say

ENTERED = answers(form.Me) | NOT_THERE | TOO_OFTEN
Name = Annotated[str, Field(max_length=200)]
Password = Annotated[str, Field(max_length=1000)]


class Given(BaseModel):
    """A name and its password."""

    name: Name
    password: Password


class Invited(Given):
    """An invitation, and the name and the password that it is taken with; the name may be left out
    where the invitation says it."""

    invitation: Annotated[str, Field(max_length=200)]


class Out(BaseModel):
    """Out of this device, or of every one."""

    everywhere: bool = False


def add_sign_in(app: FastAPI) -> None:
    """Add the routes that anybody may ask."""

    @asked(app.get, "/api/me", Act.ENTER, answers(form.Me))
    def me(request: Request) -> JSONResponse:
        try:
            return JSONResponse(_me(request, person_of(request)))
        except HTTPException:
            return JSONResponse(_me(request))

    @asked(app.post, "/api/sign-in", Act.ENTER, ENTERED)
    def sign_in(given: Given, request: Request) -> JSONResponse:
        accounts = _accounts(request)
        token = accounts.sign_in(given.name, given.password, device_of(request))
        return entered(request, accounts, token)

    @asked(app.post, "/api/invitation", Act.ENTER, ENTERED)
    def invitation(given: Invited, request: Request) -> JSONResponse:
        accounts = _accounts(request)
        device = device_of(request)
        token = accounts.accept(given.invitation, given.name, given.password, device)
        return entered(request, accounts, token)

    @asked(app.post, "/api/sign-out", Act.ENTER, answers(form.Me))
    def sign_out(out: Out, request: Request) -> JSONResponse:
        accounts = accounts_of(request)
        if accounts is not None:
            accounts.sign_out(request.cookies.get(COOKIE, ""), out.everywhere)
        answer = JSONResponse(_me(request))
        answer.delete_cookie(COOKIE, httponly=True, samesite="lax")
        return answer


def _accounts(request: Request) -> Accounts:
    found = accounts_of(request)
    if found is None:
        raise HTTPException(404, say("account-no-accounts"))
    return found


def entered(request: Request, accounts: Accounts, token: str) -> JSONResponse:
    """The answer to who came in: a new session, and the old one of this browser ended."""
    account = accounts.signed_in(token)
    assert account is not None
    accounts.sign_out(request.cookies.get(COOKIE, ""))
    person = Person(account.name, account.role, account=True)
    answer = JSONResponse(_me(request, person))
    answer.set_cookie(
        COOKIE, token, max_age=int(SESSION.total_seconds()), httponly=True, samesite="lax",
        secure=request.url.scheme == "https",
    )  # fmt: skip
    return answer


def _me(request: Request, person: Person | None = None) -> form.Me:
    """Who asks, what they may do, and of the rest who could."""
    who = person or Person("", "")
    house: House = request.app.state.house
    may, acts = role_of(who.role), acts_of(who, house)
    could = {a.value: who_may(a) for a in Act if a not in acts}
    could |= {kind: who_writes(kind) for kind in KINDS if kind not in may.writes}
    return {
        "name": who.name, "role": who.role, "account": who.account,
        "acts": sorted(a.value for a in acts), "writes": sorted(may.writes), "could": could,
    }  # fmt: skip


_SYSTEMS = ("Android", "iPhone", "iPad", "Windows", "Macintosh", "CrOS", "Linux")
_IN_HAND = ("Android", "iPhone", "iPad", "Mobile")


def device_of(request: Request) -> str:
    """What somebody signs in on, in two words, so far as it says so itself."""
    said = request.headers.get("user-agent", "")
    system = next((s for s in _SYSTEMS if s in said), "")
    what = say("device-in-hand" if any(s in said for s in _IN_HAND) else "device-computer")
    return f"{what}, {system}" if system else what

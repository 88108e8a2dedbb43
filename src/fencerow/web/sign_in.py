"""Signing in and out, taking an invitation, and who one is."""

from __future__ import annotations

from typing import Annotated

from fastapi import FastAPI, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from fencerow.web import form
from fencerow.web.accounts import SESSION, Accounts
from fencerow.web.roles import Act, role_of
from fencerow.web.route import NOT_THERE, TOO_OFTEN, answers, asked
from fencerow.web.who import COOKIE, accounts_of, person_of
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
            person = person_of(request)
        except HTTPException:
            return JSONResponse(_me())
        return JSONResponse(_me(person.name, person.role, person.account))

    @asked(app.post, "/api/sign-in", Act.ENTER, ENTERED)
    def sign_in(given: Given, request: Request) -> JSONResponse:
        accounts = _accounts(request)
        token = accounts.sign_in(given.name, given.password)
        return _entered(request, accounts, token)

    @asked(app.post, "/api/invitation", Act.ENTER, ENTERED)
    def invitation(given: Invited, request: Request) -> JSONResponse:
        accounts = _accounts(request)
        token = accounts.accept(given.invitation, given.name, given.password)
        return _entered(request, accounts, token)

    @asked(app.post, "/api/sign-out", Act.ENTER, answers(form.Me))
    def sign_out(out: Out, request: Request) -> JSONResponse:
        accounts = accounts_of(request)
        if accounts is not None:
            accounts.sign_out(request.cookies.get(COOKIE, ""), out.everywhere)
        answer = JSONResponse(_me())
        answer.delete_cookie(COOKIE, httponly=True, samesite="lax")
        return answer


def _accounts(request: Request) -> Accounts:
    found = accounts_of(request)
    if found is None:
        raise HTTPException(404, say("account-no-accounts"))
    return found


def _entered(request: Request, accounts: Accounts, token: str) -> JSONResponse:
    """The answer to who came in: a new session, and the old one of this browser ended."""
    account = accounts.signed_in(token)
    assert account is not None
    accounts.sign_out(request.cookies.get(COOKIE, ""))
    answer = JSONResponse(_me(account.name, account.role, True))
    answer.set_cookie(
        COOKIE, token, max_age=int(SESSION.total_seconds()), httponly=True, samesite="lax",
        secure=request.url.scheme == "https",
    )  # fmt: skip
    return answer


def _me(name: str = "", role: str = "", account: bool = False) -> form.Me:
    may = role_of(role)
    acts, writes = sorted(a.value for a in may.acts), sorted(may.writes)
    return {"name": name, "role": role, "account": account, "acts": acts, "writes": writes}

"""One server for many tracts: the list in front, and each tract's application at its own address.

A tract's application does not know that it stands among others. What comes for it is handed on as
if it came to it alone: without the part of the address that names it, with its own cookie.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.store.shelf import is_shelf
from fencerow.web.app import bare, dressed, make_app
from fencerow.web.aside import Aside
from fencerow.web.house import House, NoTract
from fencerow.web.lan.addresses import hosts_of
from fencerow.web.lan.door import Pin
from fencerow.web.listen import is_loopback, plain
from fencerow.web.roles import Act
from fencerow.web.route import asked
from fencerow.web.shelf import Front, Opened, Shelf
from fencerow.web.shelf_json import add_shelf
from fencerow.web.sign_in import add_sign_in
from fencerow.web.who import COOKIE
from fencerow.words import BadInput, say

LIST, NO_TRACT = "/tracts", "/api/no-tract"
_TRACT = re.compile(r"/t/[^/]*?([0-9a-z]+)(/.*|$)")
"""An address within a tract: of what names it only the last letters count."""


def app_for(
    place: Path | None,
    *,
    author: str = "me",
    as_of: date | None = None,
    static: Path | None = None,
    hosts: Sequence[str] = (),
    pin: Pin | None = None,
    host: str = "",
    patience_s: float | None = None,
    aside: bool = False,
) -> ASGIApp:
    """The application for a tract, or for all the tracts of a folder; arguments as for `make_app`.

    Args:
        aside: plans are worked in a process of their own.

    Raises:
        BadInput: it is neither, or other machines may ask and nobody owns it.
    """
    planning = Aside() if aside else None
    if place is None or not is_shelf(place):
        return make_app(
            place, author=author, as_of=as_of, static=static, hosts=hosts, pin=pin, host=host,
            patience_s=patience_s, aside=planning,
        )  # fmt: skip
    return make_shelf(place, author, as_of, static, hosts, pin, host, patience_s, planning)


def make_shelf(
    folder: Path, author: str = "me", as_of: date | None = None, static: Path | None = None,
    hosts: Sequence[str] = (), pin: Pin | None = None, host: str = "",
    patience_s: float | None = None, aside: Aside | None = None,
) -> Many:  # fmt: skip
    """The application for all the tracts of a folder.

    Raises:
        BadInput: other machines may ask, and no account of the folder is an owner's.
    """
    networked = not is_loopback(plain(host))
    known = [*hosts, *(hosts_of(host) if networked else ())]

    def build(tract: Path, house: House) -> FastAPI:
        return make_app(
            tract, author=author, as_of=as_of, static=static, hosts=known, pin=pin, house=house
        )

    shelf = Shelf(folder, author, as_of, networked, build=build, patience_s=patience_s, aside=aside)
    if networked:
        _examine(shelf)
    shelf.begin()
    front = bare(author, Front(shelf))
    add_sign_in(front)
    add_shelf(front, shelf)

    @asked(front.get, "/api/state", Act.ENTER, {}, include_in_schema=False)
    def state() -> None:
        raise NoTract("web-no-tract")

    @asked(front.api_route, NO_TRACT, Act.ENTER, {}, methods=["GET", "POST"],
           include_in_schema=False)  # fmt: skip
    def no_tract(request: Request) -> JSONResponse:
        status, text = request.scope.get(NO_TRACT, (404, say("shelf-no-such")))
        return JSONResponse({"text": text}, status_code=status)

    @asked(front.get, "/", Act.ENTER, {}, include_in_schema=False)
    def home() -> RedirectResponse:
        return RedirectResponse(LIST)

    return Many(shelf, dressed(front, static, known, pin))


def _examine(shelf: Shelf) -> None:
    if not shelf.accounts.any() or all(a.role != "owner" for a in shelf.accounts.all()):
        raise BadInput("shelf-host-owner", folder=shelf.folder)


class Many:
    """The application: what is asked of a tract goes to it, all else to the front."""

    def __init__(self, shelf: Shelf, front: FastAPI) -> None:
        self.shelf, self.front = shelf, front

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        wanted = _TRACT.fullmatch(scope["path"]) if scope["type"] == "http" else None
        if wanted is None:
            await self.front(scope, receive, send)
            return
        short, path = wanted[1], wanted[2] or "/"
        if not path.startswith("/api/"):  # the pages' files are the same for all
            await self.front(_at(scope, "/year" if path == "/" else path), receive, send)
            return
        found = await run_in_threadpool(self._app, short, scope)
        if isinstance(found, str):  # answered behind the same doors as all else
            trouble = (400, found) if found else (404, say("shelf-no-such"))
            await self.front({**_at(scope, NO_TRACT), NO_TRACT: trouble}, receive, send)
            return
        app, opened = found
        scope = _at(scope, path)
        scope["headers"] = await run_in_threadpool(self._headers, scope, opened)
        await app(scope, receive, _renamed(send, f"{COOKIE}-{opened.short}"))

    def _app(self, short: str, scope: Scope) -> tuple[FastAPI, Opened] | str:
        """The application of a tract; else why there is none, to who may know of it."""
        opened = self.shelf.tract(short)
        if opened is None:
            return ""
        try:
            return self.shelf.app(opened), opened
        except BadInput as error:
            known = self.shelf.person(opened, _cookies(scope)) is not None
            return str(error) if known else ""

    def _headers(self, scope: Scope, opened: Opened) -> list[tuple[bytes, bytes]]:
        """What was sent, with the session that counts on this tract and with none of others."""
        cookies = _cookies(scope)
        token = self.shelf.token(opened, cookies)
        kept = {n: v for n, v in cookies.items() if not n.startswith(COOKIE)}
        kept |= {COOKIE: token} if token else {}
        line = "; ".join(f"{n}={v}" for n, v in kept.items())
        others = [(n, v) for n, v in scope["headers"] if n != b"cookie"]
        return [*others, (b"cookie", line.encode("latin-1"))] if line else others


def _at(scope: Scope, path: str) -> Scope:
    return {**scope, "path": path, "raw_path": path.encode()}


def _cookies(scope: Scope) -> dict[str, str]:
    sent = b"; ".join(v for n, v in scope["headers"] if n == b"cookie")
    return cookie_parser(sent.decode("latin-1"))


def _renamed(send: Send, name: str) -> Send:
    """What a tract's application sets as its session is kept under the tract's own name."""
    plain, own = f"{COOKIE}=".encode(), f"{name}=".encode()

    async def out(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [
                (n, own + v[len(plain) :] if n == b"set-cookie" and v.startswith(plain) else v)
                for n, v in message.get("headers", [])
            ]
        await send(message)

    return out

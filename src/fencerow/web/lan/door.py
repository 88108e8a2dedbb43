"""The door: who may come in from the local net. One seam, `allowed_to_listen`.

A phone proves that its bearer saw this machine's terminal: it types the PIN that stands there,
once. Each PIN opens for one phone; a new one then stands in the terminal. What lets a phone in is a
random token in a cookie, of which only a digest is held: in a file of the tract's folder, so that a
phone comes in again after the server was started anew, for 30 days. Without that file nobody is in.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
import time
from collections.abc import Callable
from contextlib import suppress
from html import escape
from http.cookies import CookieError, SimpleCookie
from pathlib import Path
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from fencerow.words import language, say

ADDRESS = "/api/door"
"""Under /api, which the service worker leaves alone, so that it can be reached on every phone."""
COOKIE = "__Host-fencerow-door"
DAYS = 30
PHONES = "phones.json"
SHUT = 423
"""What is answered to who was not let in; 401 is for who must sign in."""
LONGEST_WAIT_S = 60.0
UNASKED = ("/fencerow.webmanifest", "/mark.svg", "/icon-")
"""What a browser asks for without its cookies, and which tells nothing of the tract."""


class Door:
    """Middleware: by HTTPS, only for phones that were let in; on this machine's own loopback, where
    it is plain HTTP, for whoever sits at it."""

    def __init__(self, app: ASGIApp, pin: Pin) -> None:
        self.app, self.pin = app, pin

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan" or scope["scheme"] in ("http", "ws"):
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # there are no sockets of this kind here
            await send({"type": "websocket.close"})
            return
        request = Request(scope, receive)
        if scope["path"] == ADDRESS:
            await self._at_the_door(request, send)
        elif let_in(self.pin, request) or scope["path"].startswith(UNASKED):
            await self.app(scope, receive, send)
        elif request.headers.get("sec-fetch-mode", "navigate") == "navigate":
            await _answer(send, 303, b"", location=ADDRESS)
        else:
            body = json.dumps({"text": say("lan-door-shut")}).encode()
            await _answer(send, SHUT, body, kind="application/json")

    async def _at_the_door(self, request: Request, send: Send) -> None:
        if request.method != "POST":
            await _answer(send, 200, _page(""))
            return
        typed = parse_qs((await request.body()).decode("latin-1")).get("pin", [""])[0]
        token = self.pin.open(typed.strip())
        if token is None:
            await _answer(send, 403, _page(say("lan-door-wrong")))
            return
        kept = f"{COOKIE}={token}; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age={DAYS * 86400}"
        await _answer(send, 303, b"", location="/", cookie=kept)


class Pin:
    """The PIN that stands in the terminal, and who came in by one.

    Args:
        tell: is given each new PIN.
        clock: seconds, ever growing.
        kept: where who came in is kept; None for in memory alone.
        today: seconds since 1970, for when what is kept ends.
    """

    def __init__(
        self,
        tell: Callable[[str], None],
        clock: Callable[[], float] = time.monotonic,
        kept: Path | None = None,
        today: Callable[[], float] = time.time,
    ) -> None:
        self._tell, self._clock, self._kept, self._today = tell, clock, kept, today
        self._inside = _read(kept)
        self._wrong, self._shut_until = 0, clock()
        self._pin = ""

    def draw(self) -> None:
        """Draw a new PIN, and tell it."""
        self._pin = f"{secrets.randbelow(10**6):06d}"
        self._tell(self._pin)

    def open(self, typed: str) -> str | None:
        """A token for who typed the PIN; None where it is another, or a wait is not yet over.

        Each wrong one doubles the wait, up to a minute, whoever asks: a million PINs are not tried.
        """
        if self._pin == "" or self._clock() < self._shut_until:
            return None
        if not hmac.compare_digest(typed.encode(), self._pin.encode()):
            self._wrong += 1
            self._shut_until = self._clock() + min(2.0**self._wrong, LONGEST_WAIT_S)
            return None
        self._wrong = 0
        token = secrets.token_urlsafe(32)
        self._inside[_digest(token)] = self._today() + DAYS * 86400
        self._keep()
        self.draw()
        return token

    def knows(self, token: str) -> bool:
        """Whether a token was given out here."""
        return token != "" and self._inside.get(_digest(token), 0.0) > self._today()

    @property
    def count(self) -> int:
        """How many phones are let in."""
        return sum(ends > self._today() for ends in self._inside.values())

    def _keep(self) -> None:
        """Write down who is in; where that can't be, they are let in until the server ends."""
        self._inside = {d: ends for d, ends in self._inside.items() if ends > self._today()}
        if self._kept is None:
            return
        part = self._kept.with_suffix(".part")
        with suppress(OSError):
            part.touch(mode=0o600)
            part.write_text(json.dumps(self._inside), encoding="utf-8")
            part.replace(self._kept)


def let_in(pin: Pin, request: Request) -> bool:
    """Whether somebody came through the door, or sits at the machine and needs none."""
    return request.url.scheme == "http" or pin.knows(_token(request))


def allowed_to_listen(tell: Callable[[str], None], tract: Path | None = None) -> Pin:
    """What must stand at the door before the server listens on a net: today a PIN.

    Where people have accounts, this is the one place that asks for theirs instead.

    Args:
        tract: the folder of the one tract that is served; who came in is kept there.
    """
    return Pin(tell, kept=None if tract is None else tract / PHONES)


def _read(kept: Path | None) -> dict[str, float]:
    """Who came in before, and until when; nobody where the file is none of ours."""
    try:
        found = json.loads(kept.read_text(encoding="utf-8")) if kept is not None else {}
        return {str(digest): float(ends) for digest, ends in found.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _token(request: Request) -> str:
    try:
        found = SimpleCookie(request.headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return "" if found is None else found.value


def _page(trouble: str) -> bytes:
    loud = f'<p role="alert"><b>{escape(trouble)}</b></p>' if trouble else ""
    return (
        f'<!doctype html><html lang="{language()}"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(say('lan-door-title'))}</title>"
        "<style>body{font:18px/1.5 system-ui,sans-serif;color:#14202b;background:#fbf6e9;"
        "max-width:30em;margin:0 auto;padding:20px}input,button{font:inherit;padding:12px;"
        "min-height:48px}</style>"
        f"<h1>{escape(say('lan-door-title'))}</h1><p>{escape(say('lan-door-what'))}</p>{loud}"
        f'<form method="post" action="{ADDRESS}"><label>{escape(say("lan-door-pin"))} '
        '<input name="pin" inputmode="numeric" autocomplete="one-time-code" required autofocus>'
        f"</label> <button>{escape(say('lan-door-open'))}</button></form></html>"
    ).encode()


async def _answer(
    send: Send, status: int, body: bytes, *, kind: str = "text/html; charset=utf-8",
    location: str = "", cookie: str = "",
) -> None:  # fmt: skip
    head = [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode())]
    head += [(b"location", location.encode())] if location else []
    head += [(b"set-cookie", cookie.encode())] if cookie else []
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": body})

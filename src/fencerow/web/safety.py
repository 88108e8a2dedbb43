"""What keeps the API to this server's own pages: origins, headers, sizes, pace.

A page of another site could post to this server from a browser that may; so a request that writes
must come from our own origin, and none of what the API says is read by a page of another.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.web.refusals import Refusals
from fencerow.words import say

READING = ("GET", "HEAD")
MB = 1024 * 1024
BODY_LIMIT = 2 * MB
LARGER = {"/api/import": 64 * MB, "/api/photos": 20 * MB, "/api/cards/photo": 20 * MB}
"""The routes that take files, and how large one may be; from who is known alone."""
PATIENCE_S, LEAST_BYTES_S = 30.0, 1000
"""A body comes whole within this, and a second more for each so many bytes that have come: a phone
at the edge of coverage is waited for, one that sends a byte now and then is not."""
PICTURES = "https://basemap.nationalmap.gov"
"""The one other host that a page may show pictures from: public-domain pictures of the land, asked
for only where the person has switched them on, on that device."""
HEADERS = {
    "content-security-policy": (
        f"default-src 'self'; img-src 'self' data: blob: {PICTURES}; "
        "style-src 'self' 'unsafe-inline'; "
        "font-src 'self'; connect-src 'self'; worker-src 'self'; object-src 'none'; "
        "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(self), camera=(self), microphone=(), payment=(), usb=()",
}


class Safety:
    """Middleware around the whole application.

    Args:
        app: what it stands around.
        knows: whether who asks is known, and so may send a file; asked only where one comes.
        refusals: hears of what was refused, and of what broke.
    """

    def __init__(self, app: ASGIApp, knows: Callable[[Scope], bool], refusals: Refusals) -> None:
        self.app, self.knows, self.refusals = app, knows, refusals

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        out = _Out(scope, send, self.refusals)
        headers = {k.decode("latin-1"): v.decode("latin-1") for k, v in scope["headers"]}
        try:
            await self._answer(scope, headers, receive, out)
        except ClientDisconnect:
            return  # there is nobody to answer
        except Exception as error:  # noqa: BLE001 - whatever it is, nothing of it is told outside
            number = self.refusals.broke(scope, error)
            if out.begun:
                raise BrokeOff from None
            await _refuse(out, 500, "web-broke", number=number)

    async def _answer(
        self, scope: Scope, headers: dict[str, str], receive: Receive, send: Send
    ) -> None:
        if scope["method"] in READING:
            if scope["path"].startswith("/api") and _read_by_another(headers):
                await _refuse(send, 403, "web-foreign")
                return
            await self.app(scope, receive, send)
            return
        if not _own_origin(headers, scope["scheme"]):
            await _refuse(send, 403, "web-foreign")
            return
        if "transfer-encoding" in headers and "content-length" in headers:
            # two ways to say where it ends: what stands before this server may take the other
            await _refuse(send, 400, "web-two-lengths", close=True)
            return
        limit = LARGER.get(scope["path"], BODY_LIMIT)
        if limit > BODY_LIMIT and not await run_in_threadpool(self.knows, scope):
            limit = BODY_LIMIT
        try:
            body = await _body(receive, headers, limit)
        except TimeoutError:
            await _refuse(send, 408, "web-too-slow", close=True)
            return
        if body is None:
            await _refuse(send, 413, "web-too-large")
            return
        await self.app(scope, _replayed(body, receive), send)


def _read_by_another(headers: dict[str, str]) -> bool:
    """Whether a page of another site asks, and not the person who follows a link."""
    site = headers.get("sec-fetch-site", "same-origin")
    return site not in ("same-origin", "none") and headers.get("sec-fetch-mode") != "navigate"


def _own_origin(headers: dict[str, str], scheme: str) -> bool:
    """Whether a request that writes comes from a page of ours."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    return headers.get("origin") == f"{scheme}://{headers.get('host')}"


async def _body(receive: Receive, headers: dict[str, str], limit: int) -> bytes | None:
    """The body of a request; None where it is too large, whatever its header said of it.

    Raises:
        TimeoutError: it came too slowly.
    """
    said = headers.get("content-length", "0")
    if not said.isdecimal() or int(said) > limit:
        return None
    parts, size, more, now = list[bytes](), 0, True, asyncio.get_running_loop().time
    begun = now()
    while more:
        left = begun + PATIENCE_S + size / LEAST_BYTES_S - now()
        message = await asyncio.wait_for(receive(), max(left, 0.001))
        if message["type"] == "http.disconnect":
            raise ClientDisconnect
        parts.append(message.get("body", b""))
        size, more = size + len(parts[-1]), message.get("more_body", False)
        if size > limit:
            return None
    return b"".join(parts)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """The body that was read, as if it came now."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def read() -> Message:
        return waiting.pop() if waiting else await receive()

    return read


class BrokeOff(Exception):
    """An answer that had begun could not be ended; the connection is closed on it."""


class _Out:
    """What goes out: every answer with the headers, and heard of."""

    def __init__(self, scope: Scope, send: Send, refusals: Refusals) -> None:
        self._scope, self._send, self._refusals = scope, send, refusals
        self.begun = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            extra = dict(HEADERS)
            if self._scope["path"].startswith("/api"):
                extra["cache-control"] = "no-store"
            pairs = [(k.encode(), v.encode()) for k, v in extra.items()]
            message["headers"] = [*message.get("headers", []), *pairs]
            self._refusals.hear(message["status"], self._scope)
        await self._send(message)


async def _refuse(
    send: Send, status: int, message_id: str, close: bool = False, **params: str
) -> None:
    body = json.dumps({"text": say(message_id, **params)}).encode()
    head = [(b"content-type", b"application/json"), (b"content-length", b"%d" % len(body))]
    head += [(b"connection", b"close")] if close else []
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": body})

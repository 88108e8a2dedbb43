"""What keeps the API to this server's own pages: origins, headers, sizes.

A page of another site could post to this server from a browser that may; so a request that writes
must come from our own origin.
"""

from __future__ import annotations

import json

from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.words import say

READING = ("GET", "HEAD")
MB = 1024 * 1024
BODY_LIMIT = 2 * MB
LARGER = {"/api/import": 64 * MB, "/api/photos": 20 * MB, "/api/cards/photo": 20 * MB}
"""The routes that take files, and how large one may be."""
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
}


class Safety:
    """Middleware around the whole application."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        path, send = scope["path"], _with_headers(scope["path"], send)
        if scope["method"] in READING:
            await self.app(scope, receive, send)
            return
        headers = {k.decode("latin-1"): v.decode("latin-1") for k, v in scope["headers"]}
        if not _own_origin(headers, scope["scheme"]):
            await _answer(send, 403, "web-foreign")
            return
        body = await _body(receive, headers, LARGER.get(path, BODY_LIMIT))
        if body is None:
            await _answer(send, 413, "web-too-large")
            return
        await self.app(scope, _replayed(body, receive), send)


def _own_origin(headers: dict[str, str], scheme: str) -> bool:
    """Whether a request that writes comes from a page of ours."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    return headers.get("origin") == f"{scheme}://{headers.get('host')}"


async def _body(receive: Receive, headers: dict[str, str], limit: int) -> bytes | None:
    """The body of a request; None where it is too large, whatever its header said of it."""
    said = headers.get("content-length", "0")
    if not said.isdecimal() or int(said) > limit:
        return None
    parts, size, more = list[bytes](), 0, True
    while more:
        message = await receive()
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


def _with_headers(path: str, send: Send) -> Send:
    async def out(message: Message) -> None:
        if message["type"] == "http.response.start":
            extra = dict(HEADERS)
            if path.startswith("/api"):
                extra["cache-control"] = "no-store"
            pairs = [(k.encode(), v.encode()) for k, v in extra.items()]
            message["headers"] = [*message.get("headers", []), *pairs]
        await send(message)

    return out


async def _answer(send: Send, status: int, message_id: str) -> None:
    body = json.dumps({"text": say(message_id)}).encode()
    head = [(b"content-type", b"application/json")]
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": body})

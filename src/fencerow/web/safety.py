"""What keeps the API to this machine's own pages: hosts, origins, headers, sizes.

The server answers on loopback only. A page of another site could still post to it from a browser on
this machine; so a request that writes must come from our own origin.
"""

from __future__ import annotations

import json
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.words import say

READING = ("GET", "HEAD")
MB = 1024 * 1024
BODY_LIMIT, IMPORT_LIMIT = 2 * MB, 64 * MB
HEADERS = {
    "content-security-policy": (
        "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; "
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
        headers = {k.decode("latin-1"): v.decode("latin-1") for k, v in scope["headers"]}
        refused = _refused(scope["method"], scope["path"], headers)
        if refused is not None:
            await _answer(_with_headers(scope["path"], send), *refused)
            return
        limit = _limit(scope["path"])
        await self.app(scope, _measured(receive, limit), _with_headers(scope["path"], send))


def _limit(path: str) -> int:
    return IMPORT_LIMIT if path == "/api/import" else BODY_LIMIT


def _refused(method: str, path: str, headers: dict[str, str]) -> tuple[int, str] | None:
    if method not in READING and not _own_origin(headers):
        return 403, "web-foreign"
    length = headers.get("content-length", "0")
    if not length.isdigit() or int(length) > _limit(path):
        return 413, "web-too-large"
    return None


def _own_origin(headers: dict[str, str]) -> bool:
    """Whether a request that writes comes from a page of ours."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc == headers.get("host")


def _measured(receive: Receive, limit: int) -> Receive:
    """The body, cut off where it grows past its limit whatever its header said."""
    got = 0

    async def read() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        return {"type": "http.disconnect"} if got > limit else message

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

"""Every answer in the language of whoever asks: `?language=es`, else what the browser reads."""

from __future__ import annotations

from urllib.parse import parse_qs

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.words import Language, language_of, spoken_in


class Speech:
    """Middleware: what is said while a request is answered is said in its language."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        wanted = asked_in(scope)

        async def named(message: Message) -> None:
            if message["type"] == "http.response.start" and scope["path"].startswith("/api"):
                head = (b"content-language", wanted.value.encode())
                message["headers"] = [*message.get("headers", []), head]
            await send(message)

        with spoken_in(wanted):
            await self.app(scope, receive, named)


def asked_in(scope: Scope) -> Language:
    """The language that a request asks for: its address goes before its header, English behind."""
    asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("language", [])
    header = b", ".join(v for k, v in scope["headers"] if k == b"accept-language")
    return language_of(", ".join([*asked, header.decode("latin-1")]))

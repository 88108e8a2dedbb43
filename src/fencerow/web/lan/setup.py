"""The set-up page: plain HTTP, for a phone that trusts nothing yet. It gives out one file, the
certificate of the authority, and says what to do with it. It is no way into the tract."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from starlette.types import Receive, Scope, Send

from fencerow.web.lan.authority import Authority
from fencerow.web.listen import in_url
from fencerow.web.safety import HEADERS
from fencerow.web.speech import asked_in
from fencerow.words import language, say, spoken_in

FILE = "/fencerow.crt"
_STYLE = (
    "body{font:18px/1.5 system-ui,sans-serif;color:#14202b;background:#fbf6e9;max-width:40em;"
    "margin:0 auto;padding:20px}code{font-size:1rem;overflow-wrap:anywhere}"
    "a{color:#8a1253;font-weight:700}li{margin:8px 0}"
)


@dataclass(frozen=True)
class SetUp:
    """The application of the set-up page.

    Args:
        authority: whose certificate is given out.
        hosts: the addresses and names under which it answers.
        pages: where the pages themselves are, by HTTPS.
    """

    authority: Authority
    hosts: tuple[str, ...]
    pages: tuple[str, ...]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        with spoken_in(asked_in(scope)):
            status, kind, body = self._answer(scope)
        head = HEADERS | {"content-type": kind, "cache-control": "no-store"}
        pairs = [(name.encode(), value.encode()) for name, value in head.items()]
        await send({"type": "http.response.start", "status": status, "headers": pairs})
        await send({"type": "http.response.body", "body": body})

    def _answer(self, scope: Scope) -> tuple[int, str, bytes]:
        host = dict(scope["headers"]).get(b"host", b"").decode("latin-1").rpartition(":")[0]
        if scope["method"] != "GET" or host.lower() not in map(in_url, self.hosts):
            return 400, "text/plain; charset=utf-8", say("lan-setup-only").encode()
        if scope["path"] == "/":
            return 200, "text/html; charset=utf-8", self.page().encode()
        if scope["path"] == FILE:
            return 200, "application/x-x509-ca-cert", self.authority.pem
        return 404, "text/plain; charset=utf-8", say("lan-setup-only").encode()

    def page(self) -> str:
        """The page, in plain words: what it is, how it is trusted, how it is taken away again."""
        ends = f"{self.authority.ends:%Y-%m-%d}"
        addresses = "".join(f"<li><code>{escape(page)}</code></li>" for page in self.pages)
        parts = [
            f"<h1>{_said('lan-setup-title')}</h1>",
            f"<p>{_said('lan-setup-what', ends=ends)}</p>",
            f"<p>{_said('lan-setup-fingerprint')}</p><p><code>{self.authority.fingerprint}</code></p>",
            f'<p><a href="{FILE}">{_said("lan-setup-file")}</a></p>',
            f"<h2>{_said('lan-setup-ios')}</h2>{_steps('lan-setup-ios-steps')}",
            f"<h2>{_said('lan-setup-android')}</h2>{_steps('lan-setup-android-steps')}",
            f"<h2>{_said('lan-setup-open')}</h2><ul>{addresses}</ul><p>{_said('lan-setup-then')}</p>",
            f"<h2>{_said('lan-setup-away')}</h2><p>{_said('lan-setup-away-how')}</p>",
        ]
        return (
            f'<!doctype html><html lang="{language()}"><meta charset="utf-8">'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<title>{_said('lan-setup-title')}</title><style>{_STYLE}</style>"
            f"<body>{''.join(parts)}</body></html>"
        )


def _said(message: str, **params: str) -> str:
    return escape(say(message, **params))


def _steps(message: str) -> str:
    """A message of several steps, one a line, as a list."""
    return f"<ol>{''.join(f'<li>{escape(step)}</li>' for step in say(message).splitlines())}</ol>"

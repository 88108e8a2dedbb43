"""How often one address may be wrong where somebody could try: sign-in, invitation, PIN.

Each of them has its own defence (a growing wait for a name, 80 random bits or more, a growing wait
for the PIN). This one keeps a stranger from making the server work at it all day.
"""

from __future__ import annotations

import json
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from ipaddress import IPv6Address, ip_address, ip_network
from math import ceil

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fencerow.web.lan.door import ADDRESS
from fencerow.words import say

PACED = {"/api/sign-in", "/api/invitation", ADDRESS}
MOST, WITHIN_S = 20, 60.0
"""So many wrong tries of one address within so long; the next waits until the first is so old."""
REMEMBERED = 5000
"""Addresses of which tries are kept; the one that was wrong longest ago is forgotten first."""


class Pace:
    """Middleware: counts what was wrong, by address, and answers 429 to who was so too often."""

    def __init__(self, app: ASGIApp, clock: Callable[[], float] = time.monotonic) -> None:
        self.app, self._clock = app, clock
        self._wrong: OrderedDict[str, deque[float]] = OrderedDict()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["method"] != "POST" or scope["path"] not in PACED:
            await self.app(scope, receive, send)
            return
        who = asker(scope)
        wait = self._wait(who)
        if wait > 0:
            await _refuse(send, ceil(wait))
            return

        async def out(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] >= 400:
                self._count(who)
            await send(message)

        await self.app(scope, receive, out)

    def _wait(self, who: str) -> float:
        tries = self._wrong.get(who)
        if tries is None or len(tries) < MOST:
            return 0.0
        return tries[0] + WITHIN_S - self._clock()

    def _count(self, who: str) -> None:
        tries = self._wrong.setdefault(who, deque(maxlen=MOST))
        tries.append(self._clock())
        self._wrong.move_to_end(who)
        if len(self._wrong) > REMEMBERED:
            self._wrong.popitem(last=False)


def asker(scope: Scope) -> str:
    """Who asks, by address: of IPv6 the net that one household is given (/64)."""
    host = (scope.get("client") or ("",))[0]
    try:
        address = ip_address(host)
    except ValueError:
        return str(host)
    if not isinstance(address, IPv6Address):
        return str(address)
    if address.ipv4_mapped is not None:
        return str(address.ipv4_mapped)
    return str(ip_network((int(address), 64), strict=False))


async def _refuse(send: Send, seconds: int) -> None:
    body = json.dumps({"text": say("web-pace", seconds=seconds)}).encode()
    head = [(b"content-type", b"application/json"), (b"retry-after", b"%d" % seconds)]
    await send({"type": "http.response.start", "status": 429, "headers": head})
    await send({"type": "http.response.body", "body": body})

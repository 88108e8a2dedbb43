"""What the terminal hears of requests that were refused, and of what broke.

A line names the route and the status, never the address as it was asked, what was sent, a header,
or the message of an error: a token, a password or a place could stand in each of them.
"""

from __future__ import annotations

import logging
import secrets
import time
import traceback
from collections.abc import Callable, Container

from starlette.types import Scope

from fencerow.words import say

HEARD = {403, 408, 413, 423, 429}
"""401 is left out: a phone whose sign-in has ended asks again all day."""
EVERY_S = 600.0
"""How often the same is said again, with how many there were."""
METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}
LOG = logging.getLogger("fencerow")


class Refusals:
    """Hears each answer, and tells of refusals: each kind once, then at most every ten minutes.

    Args:
        known: the paths of the routes there are; no other path is ever said.
        clock: seconds, ever growing.
    """

    def __init__(
        self, known: Container[str] = (), clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._known, self._clock = known, clock
        self._counts: dict[tuple[int, str, str], int] = {}
        self._told: dict[tuple[int, str, str], float] = {}

    def hear(self, status: int, scope: Scope) -> None:
        """An answer goes out; said where it is a refusal that should be known of."""
        if status not in HEARD:
            return
        kind = (status, _method(scope), self._route(scope))
        self._counts[kind] = self._counts.get(kind, 0) + 1
        now = self._clock()
        if now - self._told.get(kind, -EVERY_S) < EVERY_S:
            return
        self._told[kind] = now
        count = self._counts.pop(kind)
        method, route = kind[1:]
        LOG.warning(say("web-refused", status=status, method=method, route=route, count=count))

    def broke(self, scope: Scope, error: BaseException) -> str:
        """Something broke; said with where in the code, and the number that the asker was told."""
        number = secrets.token_hex(4)
        told = say("web-broke-here", number=number, method=_method(scope), route=self._route(scope),
                   error=type(error).__name__)  # fmt: skip
        LOG.error("%s\n%s", told, "".join(traceback.format_tb(error.__traceback__)))
        return number

    def _route(self, scope: Scope) -> str:
        """The route's own path with its gaps (`/api/jobs/{id_}`), not what was asked in them."""
        path = getattr(scope.get("route"), "path", scope["path"])
        return str(path) if path in self._known else "?"


def _method(scope: Scope) -> str:
    """The method, if it is one: anything else could be anything."""
    return scope["method"] if scope["method"] in METHODS else "?"

"""Serve: on this machine alone, or at an address of it that other machines reach."""

from __future__ import annotations

import socket
import webbrowser
from collections.abc import Callable
from contextlib import ExitStack, closing

import uvicorn
from starlette.types import ASGIApp

from fencerow.web.lan.addresses import hosts_of
from fencerow.web.listen import LOOPBACK, bound, in_url, plain
from fencerow.web.wire import config_of

HOST = LOOPBACK
PATIENCE_S = 0.1
"""How long a page waits for the newest plan before it is shown the last one."""


def serve(
    app: ASGIApp, port: int, ready: Callable[[str], None], open_pages: bool, host: str = HOST
) -> None:
    """Answer until Ctrl-C; the address is said, and the browser opened, once there is an answer.

    Args:
        port: on this machine; 0 for one that is free.
        host: the address or name to answer at; `::` or `0.0.0.0` for each that is this machine's.

    Raises:
        BadInput: the port is taken, or is none, or the host is not this machine.
    """
    hosts = hosts_of(host)
    with ExitStack() as open_:
        sockets = [open_.enter_context(closing(one)) for one in bound(port, plain(host))]
        urls = [f"http://{in_url(one)}:{sockets[0].getsockname()[1]}/" for one in hosts]

        def started() -> None:
            ready(", ".join(urls))
            if open_pages:
                webbrowser.open(urls[0])

        # what stands before it, on this machine, may say that the pages came by HTTPS
        config = config_of(app, forwarded_allow_ips=[LOOPBACK, "::1", *hosts])
        _Telling(config, started).run(sockets)


class _Telling(uvicorn.Server):
    """A server that tells when it answers."""

    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._tell = started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._tell()

"""Serve a tract: on this machine alone, or at an address of it that other machines reach."""

from __future__ import annotations

import socket
import sys
import webbrowser
from collections.abc import Callable

import uvicorn
from fastapi import FastAPI

from fencerow.words import BadInput

HOST = "127.0.0.1"
PATIENCE_S = 0.1
"""How long a page waits for the newest plan before it is shown the last one."""


def serve(
    app: FastAPI, port: int, ready: Callable[[str], None], open_pages: bool, host: str = HOST
) -> None:
    """Answer until Ctrl-C; the address is said, and the browser opened, once there is an answer.

    Args:
        port: on this machine; 0 for one that is free.
        host: the address or name to answer at.

    Raises:
        BadInput: the port is taken, or is none.
    """
    with _bound(port, host) as listening:
        url = f"http://{host}:{listening.getsockname()[1]}/"

        def started() -> None:
            ready(url)
            if open_pages:
                webbrowser.open(url)

        _Telling(uvicorn.Config(app, log_level="warning"), started).run([listening])


def _bound(port: int, host: str) -> socket.socket:
    made = socket.socket()
    if sys.platform != "win32":  # there it would let a second server share the port
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
    except (OSError, OverflowError) as error:
        made.close()
        raise BadInput("web-port", port=port, why=getattr(error, "strerror", error)) from None
    return made


class _Telling(uvicorn.Server):
    """A server that tells when it answers."""

    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._tell = started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._tell()

"""HTTP as it comes off the wire: how long a head may take, how large it is, how many ask at once.

What can be asked is `safety.py`'s; this is about those who ask so slowly, or so much at once, that
nobody else would be heard.
"""

from __future__ import annotations

import asyncio
from typing import Any

import h11
import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_S = 20.0
"""How long a connection may take to say the whole head of a request."""
HEAD_BYTES = 16 * 1024
AT_ONCE = 400
"""Connections that are answered; one more is told to come again (503)."""


class Patient(H11Protocol):
    """A connection that is closed where no whole head of a request comes in time."""

    _due: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Wait for the first head."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Wait on while a head is half said; stop waiting once it is whole."""
        super().data_received(data)
        if self.conn.their_state is not h11.IDLE:
            self._stop()
        elif self._due is None:
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing more is waited for."""
        self._stop()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._due = self.loop.call_later(HEAD_S, self.transport.close)

    def _stop(self) -> None:
        if self._due is not None:
            self._due.cancel()
        self._due = None


def config_of(app: ASGIApp, **more: Any) -> uvicorn.Config:
    """How an application is served: our limits, no web sockets, and no word of what serves it."""
    return uvicorn.Config(
        app, http=Patient, ws="none", log_level="warning", access_log=False, server_header=False,
        h11_max_incomplete_event_size=HEAD_BYTES, limit_concurrency=AT_ONCE, **more,
    )  # fmt: skip

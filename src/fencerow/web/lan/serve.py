"""`fencerow serve --lan`: beside loopback, HTTPS on the machine's private addresses, and the set-up
page for phones. The loopback server is the one that Ctrl-C stops; the others end with it."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

import uvicorn
from starlette.types import ASGIApp

from fencerow.web.lan.addresses import host_name, lan_addresses
from fencerow.web.lan.authority import Authority, authority_in, leaf_for, utc_now
from fencerow.web.lan.setup import SetUp
from fencerow.web.listen import bound, in_url, is_address
from fencerow.web.wire import config_of

LOOK_AGAIN_S = 12 * 3600.0
"""How often a running server looks whether its certificate should be made anew."""


@dataclass(frozen=True)
class Lan:
    """What is listened to on the local net.

    Attributes:
        hosts: the addresses, and the name if there is one.
        pages, setup: the URLs of the pages and of the set-up page, each by every host.
        context: what new connections are given; `renew` changes it.
    """

    authority: Authority
    hosts: tuple[str, ...]
    context: ssl.SSLContext
    pages: tuple[str, ...]
    setup: tuple[str, ...]


def hosts_here(named: str = "") -> tuple[str, ...]:
    """The addresses of this machine on private nets (or the one that is named), then its name there
    if it has one.

    Raises:
        BadInput: it has no such address.
    """
    name = host_name()
    return (*lan_addresses(named), *([name] if name else []))


@contextmanager
def listening(
    app: ASGIApp, folder: Path, hosts: Sequence[str], port: int, setup_port: int
) -> Iterator[Lan]:
    """Answer on the local net while the block runs.

    Args:
        app: the application, with a door (`make_app(hosts=, pin=)`).
        folder: where the authority is kept, once for each person.
        hosts: as `hosts_here` found them.
        port, setup_port: for HTTPS and for the set-up page; 0 for one that is free.

    Raises:
        BadInput: a port is taken, or the authority can't be made or read.
    """
    authority = authority_in(folder, utc_now())
    hosts = [host for host in hosts if authority.speaks_for(host)]
    file = leaf_for(authority, hosts, utc_now())
    over_tls = config_of(app, proxy_headers=False, lifespan="off", ssl_certfile=str(file))
    over_tls.load()
    assert over_tls.ssl is not None
    addresses = [host for host in hosts if is_address(host)]
    with ExitStack() as open_:
        secure = _at_each(addresses, port, open_)
        plain = _at_each(addresses, setup_port, open_)
        lan = Lan(
            authority,
            tuple(hosts),
            over_tls.ssl,
            tuple(f"https://{in_url(host)}:{_port(secure)}/" for host in hosts),
            tuple(f"http://{in_url(host)}:{_port(plain)}/" for host in hosts),
        )
        page = SetUp(authority, lan.hosts, lan.pages)
        unsafe = config_of(page, proxy_headers=False, lifespan="off")
        open_.enter_context(_beside(over_tls, secure))
        open_.enter_context(_beside(unsafe, plain))
        open_.enter_context(_renewing(lan))
        yield lan


@contextmanager
def _beside(config: uvicorn.Config, sockets: list[socket.socket]) -> Iterator[None]:
    """A server in a thread of its own, while the block runs."""
    server = uvicorn.Server(config)
    thread = Thread(target=server.run, args=(sockets,), daemon=True)
    thread.start()
    try:
        yield
    finally:
        server.should_exit = server.force_exit = True
        thread.join(10)


@contextmanager
def _renewing(lan: Lan) -> Iterator[None]:
    """Look now and then whether the certificate should be made anew."""
    over = Event()

    def look() -> None:
        while not over.wait(LOOK_AGAIN_S):
            renew(lan)

    Thread(target=look, daemon=True).start()
    try:
        yield
    finally:
        over.set()


def renew(lan: Lan) -> None:
    """Make the certificate anew if it is time; new connections then get it."""
    lan.context.load_cert_chain(leaf_for(lan.authority, lan.hosts, utc_now()))


def _at_each(addresses: Sequence[str], port: int, open_: ExitStack) -> list[socket.socket]:
    """One socket at each address, all at the same port."""
    made = list[socket.socket]()
    for address in addresses:
        for one in bound(_port(made) if made else port, address):
            made.append(open_.enter_context(closing(one)))
    return made


def _port(sockets: Sequence[socket.socket]) -> int:
    return int(sockets[0].getsockname()[1])

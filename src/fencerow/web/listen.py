"""Where a server listens: addresses (IPv4, IPv6) and names, and how each is written."""

from __future__ import annotations

import errno
import re
import socket
import sys
from collections.abc import Iterator
from ipaddress import ip_address

from fencerow.words import BadInput

LOOPBACK = "127.0.0.1"
EVERY = ("0.0.0.0", "::")
"""What stands for every address of the machine at once."""
_NAME = re.compile(r"(|[a-z0-9_]|[a-z0-9_][a-z0-9_.-]{0,250}[a-z0-9_.])")
_NOT_OURS = (errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT)


def is_address(host: str) -> bool:
    """Whether this is an address rather than a name."""
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def plain(host: str) -> str:
    """A host as browsers write it, without brackets: `[FD00:0:0::1]` is `fd00::1`.

    Raises:
        BadInput: it is no address and no name, or has a zone, which no browser can name.
    """
    bare = host.strip().lower()
    if bare.startswith("[") and bare.endswith("]"):
        bare = bare[1:-1]
    if "%" in bare:
        raise BadInput("web-host-zone", host=host)
    if is_address(bare):
        return ip_address(bare).compressed
    if not _NAME.fullmatch(bare):  # `*` would stand for every host there is
        raise BadInput("web-host-none", host=host)
    return bare


def in_url(host: str) -> str:
    """A host as it stands in a URL and in the header `Host`: an IPv6 address has brackets."""
    return f"[{host}]" if ":" in host else host


def is_loopback(host: str) -> bool:
    """Whether nobody but this machine itself can ask there."""
    return host in ("", "localhost") or (is_address(host) and ip_address(host).is_loopback)


def bound(port: int, host: str) -> list[socket.socket]:
    """A socket at each address of this machine that a host stands for, all at one port.

    Args:
        port: 0 for one that is free.
        host: an address, `::` for every one of both kinds, or a name, which may stand for several.

    Raises:
        BadInput: the port is taken or is none, or no such address is this machine's.
    """
    made, other = list[socket.socket](), None
    try:
        for family, address in _addresses(host, port):
            try:
                made.append(_socket(family, address, _port(made) if made else port))
            except OSError as error:
                if error.errno not in _NOT_OURS:
                    raise
                other = error
        if not made:
            raise other or OSError(errno.EADDRNOTAVAIL, "no such address")
    except (OSError, OverflowError) as error:
        for one in made:
            one.close()
        why = getattr(error, "strerror", None) or error
        if isinstance(error, socket.gaierror) or getattr(error, "errno", None) in _NOT_OURS:
            raise BadInput("web-host-not-here", host=host, why=why) from None
        raise BadInput("web-port", port=port, why=why) from None
    return made


def _addresses(host: str, port: int) -> Iterator[tuple[socket.AddressFamily, str]]:
    if is_address(host):
        yield (socket.AF_INET6 if ":" in host else socket.AF_INET), host
        return
    if not 0 <= port < 65536:
        raise OverflowError("a port is a number from 0 to 65535")
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    yield from dict.fromkeys((family, str(at[0])) for family, _, _, _, at in found)


def _socket(family: socket.AddressFamily, address: str, port: int) -> socket.socket:
    made = socket.socket(family)
    try:
        if sys.platform != "win32":  # there it would let a second server share the port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family is socket.AF_INET6:  # `::` hears IPv4 too; any other address is itself alone
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, int(address != "::"))
        made.bind((address, port))
    except (OSError, OverflowError):
        made.close()
        raise
    return made


def _port(sockets: list[socket.socket]) -> int:
    return int(sockets[0].getsockname()[1])

"""What this machine is called on the local net; nothing is sent to find it out."""

from __future__ import annotations

import re
import socket
from ipaddress import IPv4Address, ip_address, ip_network

from fencerow.words import BadInput

PRIVATE = tuple(
    ip_network(net)
    for net in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8")
)
"""Private (RFC 1918), link-local (RFC 3927) and loopback: what is never routed on the internet."""
_ASKED = (
    "192.0.2.1",
    "169.254.254.254",
    *(f"192.168.{part}.254" for part in range(256)),
    *(f"10.{part}.0.254" for part in range(256)),
    *(f"172.{part}.0.254" for part in range(16, 32)),
)
"""An address that is nobody's (RFC 5737) for the usual way out, and one in each of the private nets
that are in use: a machine that has opened a net of its own has no usual way out."""


def is_private(address: str) -> bool:
    """Whether an address belongs to a private net."""
    return any(ip_address(address) in net for net in PRIVATE)


def lan_addresses(named: str = "") -> list[str]:
    """This machine's own addresses on private nets (IPv4), or the one that is named.

    Raises:
        BadInput: it has none, or the one that is named is none of a private net.
    """
    if named:
        if not _is_address(named) or not is_private(named):
            raise BadInput("lan-not-private", address=named)
        return [named]
    found = {address for asked in _ASKED if (address := _own_towards(asked))}
    local = [a for a in found if is_private(a) and not ip_address(a).is_loopback]
    if not local:
        raise BadInput("lan-no-address")
    return sorted(local, key=IPv4Address)


def _is_address(text: str) -> bool:
    try:
        IPv4Address(text)
    except ValueError:
        return False
    return True


def host_name() -> str:
    """The name by which a phone may find this machine, NAME.local (RFC 6762); '' if it has none."""
    first = socket.gethostname().partition(".")[0].lower()
    return f"{first}.local" if re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", first) else ""


def _own_towards(asked: str) -> str:
    """The address from which this machine would speak to another. A datagram socket that is
    connected has asked the routing table, and sent nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((asked, 9))
        except OSError:
            return ""
        return str(probe.getsockname()[0])

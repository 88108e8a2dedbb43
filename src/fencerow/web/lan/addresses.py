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
_ASKED = ("10.254.254.254", "172.31.254.254", "192.168.254.254", "192.0.2.1")
"""One address in each private net, and one that is nobody's (RFC 5737) for the usual way out."""


def is_private(address: str) -> bool:
    """Whether an address belongs to a private net."""
    return any(ip_address(address) in net for net in PRIVATE)


def lan_addresses() -> list[str]:
    """This machine's own addresses on private nets (IPv4).

    Raises:
        BadInput: it has none.
    """
    found = {address for asked in _ASKED if (address := _own_towards(asked))}
    local = [a for a in found if is_private(a) and not ip_address(a).is_loopback]
    if not local:
        raise BadInput("lan-no-address")
    return sorted(local, key=IPv4Address)


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

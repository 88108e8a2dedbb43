"""What this machine is called on the local net; nothing is sent to find it out."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network
from pathlib import Path

from fencerow.web.listen import EVERY, is_address, plain
from fencerow.words import BadInput

PRIVATE: tuple[IPv4Network | IPv6Network, ...] = tuple(
    ip_network(net)
    for net in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8",
        "fc00::/7", "::1/128",
    )
)  # fmt: skip
"""Private (RFC 1918, RFC 4193), link-local (RFC 3927) and loopback: what is never routed on the
internet. IPv6's link-local addresses are left out: they have a zone, which no URL can name."""
_ASKED = (
    "192.0.2.1",
    "169.254.254.254",
    *(f"192.168.{part}.254" for part in range(256)),
    *(f"10.{part}.0.254" for part in range(256)),
    *(f"172.{part}.0.254" for part in range(16, 32)),
)
"""An address that is nobody's (RFC 5737) for the usual way out, and one in each of the private nets
that are in use: a machine that has opened a net of its own has no usual way out."""
_ASKED_V6 = ("2001:db8::1", "fdff:ffff:ffff:ffff::1")
"""The same for IPv6 (RFC 3849), where the machine has no list of its addresses."""
_KNOWN_TO_LINUX = Path("/proc/net/if_inet6")
_PASSING = 0x01 | 0x20 | 0x40
"""Flags of an IPv6 address that will not last, or is not yet taken: temporary, deprecated,
tentative."""


def is_private(address: str) -> bool:
    """Whether an address belongs to a private net."""
    return any(ip_address(address) in net for net in PRIVATE)


def lan_addresses(named: str = "") -> list[str]:
    """This machine's own addresses on private nets, or the one that is named.

    Raises:
        BadInput: it has none, or the one that is named is none of a private net.
    """
    if named:
        one = plain(named)
        if not is_address(one) or not is_private(one):
            raise BadInput("lan-not-private", address=named)
        return [one]
    local = [a for a in own_addresses() if is_private(a)]
    if not local:
        raise BadInput("lan-no-address")
    return local


def own_addresses() -> list[str]:
    """The addresses at which other machines reach this one, IPv4 before IPv6."""
    found = ({_own_towards(asked) for asked in _ASKED} | {*_lasting_v6()}) - {""}
    parsed = (ip_address(address) for address in found)
    outward = [a for a in parsed if not (a.is_loopback or a.is_unspecified or _has_zone(str(a)))]
    return [str(a) for a in sorted(outward, key=lambda a: (a.version, int(a)))]


def hosts_of(host: str) -> list[str]:
    """What a server is called that answers at a host: the host, or each address and name here.

    Raises:
        BadInput: it has a zone.
    """
    one = plain(host)
    if one not in EVERY:
        return [one]
    mine = [a for a in own_addresses() if one == "::" or ":" not in a]
    return [*mine, *([name] if (name := host_name()) else []), "localhost"]


def _has_zone(address: str) -> bool:
    return ":" in address and ip_address(address).is_link_local


def _lasting_v6() -> Iterator[str]:
    """IPv6 addresses; on Linux those alone that it says will last."""
    try:
        rows = _KNOWN_TO_LINUX.read_text(encoding="ascii").splitlines()
    except OSError:
        yield from map(_own_towards, _ASKED_V6)
        return
    for row in rows:
        address, _, _, _, flags, _ = row.split()
        if not int(flags, 16) & _PASSING:
            yield str(ip_address(int(address, 16).to_bytes(16, "big")))


def host_name() -> str:
    """The name by which a phone may find this machine, NAME.local (RFC 6762); '' if it has none."""
    first = socket.gethostname().partition(".")[0].lower()
    return f"{first}.local" if re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", first) else ""


def _own_towards(asked: str) -> str:
    """The address from which this machine would speak to another. A datagram socket that is
    connected has asked the routing table, and sent nothing."""
    family = socket.AF_INET6 if ":" in asked else socket.AF_INET
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((asked, 9))
            return str(probe.getsockname()[0])
    except OSError:
        return ""

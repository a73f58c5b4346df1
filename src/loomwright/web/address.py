"""Under which addresses the local network finds this laptop, asked of this machine alone: nothing is sent."""

from __future__ import annotations

import socket
import sys
from collections.abc import Iterator
from contextlib import closing, suppress
from ipaddress import IPv4Address
from typing import Final

#: Whom one would speak to in the networks that there are; for a datagram socket to connect only picks the way.
_BEYOND: Final = ("192.0.2.1", "10.255.255.254", "172.31.255.254", "192.168.255.254", "224.0.0.251")
_PORT: Final = 9
_ASK_ADDRESS: Final = 0x8915  # SIOCGIFADDR of Linux
#: Interfaces that lead to no phone.
_INSIDE: Final = ("lo", "docker", "br-", "veth", "virbr", "tun", "wg")

#: After so long without a visitor it is told how to find out why [s].
LONELY_S: Final = 180.0


def local_addresses() -> tuple[str, ...]:
    """Return the addresses of this machine that phones may reach, the likeliest first; none without a network."""
    found = dict.fromkeys([*_by_way(), *_by_interface()])
    return tuple(address for address in found if _leads_to_phones(address))


def machine_names() -> tuple[str, ...]:
    """Return the names under which a local network may know this machine."""
    name = socket.gethostname().lower()
    plain = name.removesuffix(".local")
    fits = plain and all(sign.isascii() and (sign.isalnum() or sign in "-.") for sign in plain)
    return tuple(dict.fromkeys((plain, f"{plain}.local"))) if fits and plain != "localhost" else ()


def no_network_words() -> str:
    """Say what to do where there is no network to share on."""
    return (
        "This laptop is in no network, so no phone can find it. Join a Wi-Fi or switch on this laptop's own hotspot, "
        "then start again. Where the event forbids Wi-Fi, use this laptop alone, or the printed packet."
    )


def lonely_words(url: str) -> str:
    """Say how to find out why no phone has come."""
    return (
        f"No phone has reached this laptop yet. Try it: open {url} on a phone in the same network. If the page never "
        "comes, the network keeps phones apart, or this laptop's firewall keeps them out. Use this laptop's own "
        "hotspot, or that of a phone, and start again; or let the port through the firewall."
    )


def _by_way() -> Iterator[str]:
    for beyond in _BEYOND:
        with suppress(OSError), closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asked:
            asked.connect((beyond, _PORT))
            yield str(asked.getsockname()[0])


def _by_interface() -> Iterator[str]:
    if sys.platform != "linux":
        return
    import fcntl  # noqa: PLC0415  only where the system has it

    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asked:
        for _, name in socket.if_nameindex():
            if name.startswith(_INSIDE):
                continue
            with suppress(OSError):
                told = fcntl.ioctl(asked.fileno(), _ASK_ADDRESS, name.encode()[:15].ljust(256, b"\0"))
                yield socket.inet_ntoa(told[20:24])


def _leads_to_phones(address: str) -> bool:
    held = IPv4Address(address)
    return not (held.is_loopback or held.is_link_local or held.is_unspecified or held.is_multicast)

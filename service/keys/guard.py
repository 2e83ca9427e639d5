"""No start where other machines could ask and there are no keys."""

from __future__ import annotations

import socket
from collections.abc import Iterable
from ipaddress import IPv6Address, ip_address
from typing import Any

from service.keys.book import KeyBook, keys_file
from worker.errors import Fault, SettingsInvalid
from worker.settings import Settings


def require_keys(settings: Settings, hosts: Iterable[str] | None = None) -> None:
    """Raises SettingsInvalid where a host is not loopback and there are no keys, or where they cannot be read.

    `hosts` are names or addresses that are listened on; left out, the one of the settings.
    """
    path = keys_file(settings)
    if KeyBook(path).read() is not None:
        return
    if reachable := [host for host in ([settings.host] if hosts is None else hosts) if not is_loopback(host)]:
        detail = (
            f"POURWRIGHT_HOST: {', '.join(reachable)} can be reached from other machines, and there are no keys in "
            f"{path}, so that anybody could ask. Make one with `python -m service.keys make --caller NAME`, "
            "or listen on 127.0.0.1"
        )
        raise SettingsInvalid(detail, [Fault("/POURWRIGHT_HOST", "needs-keys", detail, "loopback, while without keys")])


def hosts_of(listeners: Iterable[Any]) -> list[str]:
    """The addresses on which sockets listen; those on this machine's files are nobody else's to reach."""
    return [str(one.getsockname()[0]) for one in listeners if one.family in (socket.AF_INET, socket.AF_INET6)]


def is_loopback(host: str) -> bool:
    """Whether only this machine reaches it. A name does where all its addresses do; one without any does not."""
    try:
        addresses = [str(found[4][0]) for found in socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)]
    except (OSError, UnicodeError):
        return False
    return bool(addresses) and all(_is_loopback(address) for address in addresses)


def _is_loopback(text: str) -> bool:
    address = ip_address(text.partition("%")[0])
    if isinstance(address, IPv6Address) and address.ipv4_mapped is not None:  # known to Python itself from 3.13 on
        return address.ipv4_mapped.is_loopback
    return address.is_loopback

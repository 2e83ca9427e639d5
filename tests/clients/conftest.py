"""One running service for all tests of clients, and a receiver that it may tell of endings."""

from __future__ import annotations

import shlex
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.clients.programs import PACKAGE
from tests.hooks.receiver import Receiver, receiver
from tests.http.running import Service, service


@pytest.fixture(scope="session")
def till() -> Iterator[Receiver]:
    """Where webhooks may lead to."""
    with receiver() as made:
        yield made


@pytest.fixture(scope="session")
def other_till() -> str:
    """Another origin that webhooks may lead to, where a test may listen itself."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return f"http://127.0.0.1:{free.getsockname()[1]}"


@pytest.fixture(scope="session")
def running(till: Receiver, other_till: str) -> Iterator[Service]:
    # A busy machine may take longer over a shrimp than other tests allow: limits are not what is tested here.
    with service(workers=True, courier=True, webhook_origins=f"{till.origin},{other_till}", job_limit_s=60) as made:
        yield made


@pytest.fixture(scope="session")
def address(running: Service) -> str:
    return f"http://127.0.0.1:{running.port}"


@pytest.fixture
def gate_installed(tmp_path: Path) -> dict[str, str]:
    """What `pip install` would have left: the gate's command, in a folder that these variables name."""
    command = tmp_path / "gate" / "bin" / "pourwright-gate"
    command.parent.mkdir(parents=True)
    run = "from pourwright_client.gate import main; raise SystemExit(main())"
    command.write_text(f'#!/bin/sh\nexec {shlex.join([sys.executable, "-c", run])} "$@"\n')
    command.chmod(0o755)
    return {"POURWRIGHT_GATE_ENVIRONMENT": str(tmp_path / "gate"), "PYTHONPATH": str(PACKAGE)}

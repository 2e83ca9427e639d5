"""One running service for all tests of clients, and a receiver that it may tell of endings."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest

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

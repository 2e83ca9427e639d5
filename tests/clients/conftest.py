"""One running service for all tests of clients, and a receiver that it may tell of endings."""

from __future__ import annotations

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
def running(till: Receiver) -> Iterator[Service]:
    with service(workers=True, courier=True, webhook_origins=till.origin) as made:
        yield made


@pytest.fixture(scope="session")
def address(running: Service) -> str:
    return f"http://127.0.0.1:{running.port}"

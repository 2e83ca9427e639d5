"""A store and a pool of two workers for one test, which may kill any of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.stack import Stack, stack


@pytest.fixture
def working() -> Iterator[Stack]:
    with stack() as made:
        made.start_pool()
        yield made


@pytest.fixture
def idle() -> Iterator[Stack]:
    """The store alone; a test starts the pool when it wants one."""
    with stack() as made:
        yield made

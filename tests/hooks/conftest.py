"""A store for the tests of a module of the courier, and a bench over it, emptied before each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.hooks.courier_bench import Bench
from tests.hooks.receiver import receiver
from tests.stack import Stack, stack


@pytest.fixture(scope="module")
def one_store() -> Iterator[Stack]:
    with stack() as made:
        yield made


@pytest.fixture
def bench(one_store: Stack) -> Iterator[Bench]:
    with one_store.connection as connection:
        connection.flushall()
    with receiver() as here:
        yield Bench(one_store, here)

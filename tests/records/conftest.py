"""One real store for all tests of records, emptied before each."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.stack import Stack, stack


@pytest.fixture(scope="session")
def one_store() -> Iterator[Stack]:
    with stack(queue_limit=5) as made:
        yield made


@pytest.fixture
def records(one_store: Stack) -> Stack:
    """A store without a pool: what happens is what the test does."""
    with one_store.connection as connection:
        connection.flushall()
    for name in ("artifacts", "batches"):
        for folder in one_store.settings.state_dir.glob(name):
            remove(folder)
    return one_store


def remove(folder: Path) -> None:
    for one in sorted(folder.rglob("*"), reverse=True):
        one.rmdir() if one.is_dir() else one.unlink()
    folder.rmdir()

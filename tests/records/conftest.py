"""One real store for all tests of records, emptied before each; an S3 server beside it, and folders of baits."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.bucket_server import BucketServer
from tests.records.shelf import Shelf
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


@pytest.fixture(scope="session")
def server() -> Iterator[BucketServer]:
    made = BucketServer.start()
    yield made
    made.stop()


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)

"""Places for requests that wait for a bait. A waiter holds a thread, so there are fewer places than threads."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager


class Waiters:
    """At most `limit` requests wait at once; who finds no place is answered at once instead."""

    def __init__(self, limit: int) -> None:
        self._places = threading.BoundedSemaphore(limit) if limit > 0 else None

    @contextmanager
    def place(self) -> Iterator[bool]:
        """Hold one place for the block; yields whether there was one."""
        got = self._places is not None and self._places.acquire(blocking=False)
        try:
            yield got
        finally:
            if got and self._places is not None:
                self._places.release()

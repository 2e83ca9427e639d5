"""Requests that wait for a bait: each holds a thread, so there are fewer places to wait than threads."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from service.interfaces import Records
from worker.records.names import ENDED
from worker.records.view import BaitView

LOOK_UP_S = 1.0  # how long a wait lasts before it looks whether the service is stopping


class Waiters:
    """At most `limit` requests wait at once; who finds no place is answered at once instead."""

    def __init__(self, limit: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._places = threading.Semaphore(limit)
        self._clock = clock
        self._stopping = threading.Event()

    def stop(self) -> None:
        """Have every wait answer within LOOK_UP_S with what is known, so that the service can end."""
        self._stopping.set()

    def wait(self, baits: Records, caller: str, bait: BaitView, seconds: float) -> BaitView | None:
        """The bait at its end or when the time is up; None where there was no place to wait."""
        with self.place() as placed:
            if not placed:
                return None
            until = self._clock() + seconds
            while bait.status not in ENDED and not self._stopping.is_set():
                left = until - self._clock()
                if left <= 0:
                    break
                bait = baits.wait(caller, bait.id, min(left, LOOK_UP_S)) or bait
        return bait

    @contextmanager
    def place(self) -> Iterator[bool]:
        """Hold one place for the block; yields whether there was one."""
        got = self._places.acquire(blocking=False)
        try:
            yield got
        finally:
            if got:
                self._places.release()

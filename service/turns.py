"""A short line before work that holds the interpreter: one at a time, a few waiting, and then a refusal."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from worker.errors import Busy

Result = TypeVar("Result")


class Turns:
    """Does one thing at a time; at most `waiting` more may stand in line. `refusal` is said to those beyond."""

    def __init__(self, waiting: int, refusal: str) -> None:
        self._refusal = refusal
        self._places = 1 + waiting
        self._taken = 0
        self._count = threading.Lock()
        self._turn = threading.Lock()

    def run(self, work: Callable[[], Result]) -> Result:
        """What `work` gives, after those before it. Raises Busy where the line is full."""
        with self._count:
            if self.full:
                raise Busy(self._refusal, retry_after_s=1)
            self._taken += 1
        try:
            with self._turn:
                return work()
        finally:
            with self._count:
                self._taken -= 1

    @property
    def full(self) -> bool:
        """Whether the next one would be refused."""
        return self._taken >= self._places

"""The pool: keeps steward, caretaker and so many workers alive, whatever ends them, and stops them in order."""

from __future__ import annotations

import contextlib
import logging
import os
import select
import signal
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from worker.jobs.limits import die_with_parent, reset_signals

SHORT_LIFE_S = 2.0
LONGEST_PAUSE_S = 5.0
STOP_SIGNALS = (signal.SIGTERM, signal.SIGINT)
_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Place:
    """A place in the pool and the process that fills it, refilled at once, slower where none lasts."""

    name: str
    work: Callable[[], None]
    pid: int = 0
    started: float = 0.0
    short_lives: int = 0
    not_before: float = 0.0

    def fill(self) -> None:
        """Fork. In a process group of its own, so that Ctrl-C reaches the pool alone, which stops it."""
        parent = os.getpid()
        self.started = time.monotonic()
        signal.pthread_sigmask(signal.SIG_BLOCK, STOP_SIGNALS)  # until the child hears them with its own ears
        self.pid = os.fork()
        if self.pid:
            signal.pthread_sigmask(signal.SIG_UNBLOCK, STOP_SIGNALS)
            return
        code = 1
        try:
            os.setpgid(0, 0)
            reset_signals()
            signal.pthread_sigmask(signal.SIG_UNBLOCK, STOP_SIGNALS)
            die_with_parent(parent, signal.SIGTERM)
            self.work()
            code = 0
        except SystemExit:
            code = 0
        except BaseException:
            _log.exception("a process of the pool failed", extra={"place": self.name})
        finally:
            os._exit(code)

    def ended(self) -> None:
        """Note the end, and when to fill again: nought, then 0.2 s doubling up to 5 s after short lives."""
        lived = time.monotonic() - self.started
        self.short_lives = self.short_lives + 1 if lived < SHORT_LIFE_S else 0
        pause = min(LONGEST_PAUSE_S, 0.1 * 2**self.short_lives) if self.short_lives else 0.0
        self.not_before = time.monotonic() + pause
        self.pid = 0


class Pool:
    """Each keeper, by its name, and each worker is run in a process of its own, never to return but when stopped.

    `load` is called once, between keepers and workers: what it loads, workers need not.
    """

    def __init__(
        self,
        keepers: Mapping[str, Callable[[], None]],
        load: Callable[[], None],
        worker: Callable[[], None],
        workers: int,
        patience_s: float,
    ):
        self._keepers = [Place(name, keeper) for name, keeper in keepers.items()]
        self._workers = [Place(f"worker {number}", worker) for number in range(1, workers + 1)]
        self._load = load
        self._patience_s = patience_s
        self._asked_to_stop = 0
        self._woken, self._wake = os.pipe()

    def run(self) -> None:
        """Until SIGTERM or SIGINT: then workers finish their jobs first; at a second one all ends at once."""
        os.set_blocking(self._wake, False)
        os.set_blocking(self._woken, False)
        signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
        for number in STOP_SIGNALS:
            signal.signal(number, self._ask_to_stop)
        signal.signal(signal.SIGCHLD, lambda *_: None)
        for keeper in self._keepers:
            keeper.fill()
        self._load()
        while not self._asked_to_stop:
            now = time.monotonic()
            for place in self._places():
                if not place.pid and place.not_before <= now:
                    place.fill()
            due = [place.not_before - now for place in self._places() if not place.pid]
            self._sleep(max(0.0, min(due)) if due else None)
        self._stop(self._keepers, patience_s=5.0)
        _log.info("the steward has stopped")
        self._stop(self._workers, self._patience_s)

    def _places(self) -> list[Place]:
        return [*self._keepers, *self._workers]

    def _ask_to_stop(self, *_: object) -> None:
        self._asked_to_stop += 1

    def _sleep(self, seconds: float | None) -> None:
        """Until a signal or the time is up; then note who has ended."""
        select.select([self._woken], [], [], seconds)
        with contextlib.suppress(BlockingIOError):
            os.read(self._woken, 4096)
        for place in self._places():
            if place.pid and os.waitpid(place.pid, os.WNOHANG)[0]:
                if not self._asked_to_stop:
                    _log.warning("a process of the pool ended", extra={"place": place.name})
                place.ended()

    def _stop(self, places: list[Place], patience_s: float) -> None:
        """Ask, wait, and kill what is left; records and leases take care of what it was doing."""
        until = time.monotonic() + patience_s
        for place in places:
            self._signal(place, signal.SIGTERM)
        while any(place.pid for place in places) and (left := until - time.monotonic()) > 0:
            if self._asked_to_stop > 1:
                break
            self._sleep(left)
        for place in places:
            self._signal(place, signal.SIGKILL)
            if place.pid:
                os.waitpid(place.pid, 0)
                place.pid = 0

    @staticmethod
    def _signal(place: Place, number: int) -> None:
        if place.pid:
            os.kill(place.pid, number)

"""Start programs in order, start again what ends, stop all in the opposite order and leave nothing behind."""

from __future__ import annotations

import selectors
import signal
import socket
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType

from service.stack.process import how_it_ended, kill_session, spawn

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
FIRST_PAUSE_S, LONGEST_PAUSE_S = 0.1, 2.0  # between an end and the next start
SETTLED_S = 5.0  # a program that ran as long starts again with the first pause
TRIES_AT_START = 5  # ends in a row before the stack was ever up: something is wrong that no new start mends
HURRIED_S = 1.0  # what a program still gets once a second stop signal has come
READY_POLL_S = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One program to run. The next one starts when `is_ready` first says yes.

    `keep_open` are file descriptors that it inherits; `hint` ends the message when it cannot be brought up.
    """

    name: str
    command: Sequence[str]
    environment: Mapping[str, str]
    folder: Path | None = None
    is_ready: Callable[[], bool] = lambda: True
    ready_within_s: float = 60.0
    stop_within_s: float = 30.0
    keep_open: tuple[int, ...] = ()
    hint: str = ""


@dataclass(slots=True)
class _Watched:
    """What the supervisor knows of one program."""

    program: Program
    child: subprocess.Popen[bytes] | None = None
    first_started: float | None = None
    started: float = 0.0
    due: float = 0.0
    pause: float = FIRST_PAUSE_S
    ends_in_a_row: int = 0
    was_ready: bool = False


@dataclass(slots=True)
class Supervisor:
    """Runs programs until a stop signal.

    `report` gets a sentence for each thing that goes wrong; `when_up` is called once all programs are ready.
    """

    programs: Sequence[Program]
    report: Callable[[str], None]
    when_up: Callable[[], None] = lambda: None
    _watched: list[_Watched] = field(default_factory=list)
    _stop_signals: int = 0
    _failed: bool = False
    _is_up: bool = False

    def run(self) -> int:
        """Block until SIGINT, SIGTERM or SIGHUP, or until a program cannot be brought up; 0 or 1.

        Call it from the main thread. Nothing that it started is left when it returns; a second stop signal
        hurries it.
        """
        self._watched = [_Watched(program) for program in self.programs]
        with self._woken_by_signals() as sleep:
            try:
                while not self._stop_signals and not self._failed:
                    sleep(self._tend())
            finally:
                self._stop(sleep)
        return 1 if self._failed else 0

    def _tend(self) -> float:
        """Look after every program once; returns how many seconds may pass until the next look."""
        patience = 60.0
        for watched in self._watched:
            if watched.child is not None and (code := watched.child.poll()) is not None:
                self._ended(watched, code)
            now = time.monotonic()
            if watched.child is None and not self._failed:
                if now >= watched.due:
                    self._start(watched, now)
                else:
                    patience = min(patience, watched.due - now)
            if not watched.was_ready:
                if watched.child is not None and watched.program.is_ready():
                    watched.was_ready = True
                    continue
                self._check_patience(watched, now)
                return min(patience, READY_POLL_S)  # those after it wait for it
        if not self._is_up:
            self._is_up = True
            self.when_up()
        return patience

    def _start(self, watched: _Watched, now: float) -> None:
        program = watched.program
        watched.started = now
        watched.first_started = now if watched.first_started is None else watched.first_started
        try:
            watched.child = spawn(
                program.command,
                environment=program.environment,
                folder=program.folder,
                keep_open=program.keep_open,
            )
        except OSError as reason:
            self._give_up(f"The {program.name} cannot be run: {reason}.", program)

    def _ended(self, watched: _Watched, code: int) -> None:
        """A program ended unasked: sweep its group and note when to start it again."""
        assert watched.child is not None
        kill_session(watched.child)
        watched.child = None
        now = time.monotonic()
        settled = now - watched.started >= SETTLED_S
        watched.pause = FIRST_PAUSE_S if settled else min(2 * watched.pause, LONGEST_PAUSE_S)
        watched.ends_in_a_row = 1 if settled else watched.ends_in_a_row + 1
        watched.due = now + watched.pause
        how = f"The {watched.program.name} ended ({how_it_ended(code)})"
        if not self._is_up and watched.ends_in_a_row >= TRIES_AT_START:
            self._give_up(f"{how} {TRIES_AT_START} times in a row.", watched.program)
        else:
            self.report(f"{how}; starting it again.")

    def _check_patience(self, watched: _Watched, now: float) -> None:
        limit = watched.program.ready_within_s
        if watched.first_started is not None and now - watched.first_started > limit:
            self._give_up(f"The {watched.program.name} was not ready within {limit:g} s.", watched.program)

    def _give_up(self, what: str, program: Program) -> None:
        if not self._failed:
            self._failed = True
            self.report(f"{what} {program.hint}".strip())

    def _stop(self, sleep: Callable[[float], None]) -> None:
        """End every program, the last started first; each has its time, and then its group is killed."""
        for watched in reversed(self._watched):
            child = watched.child
            if child is None:
                continue
            if not self._stops(child, watched.program.stop_within_s, sleep):
                self.report(f"The {watched.program.name} did not stop in time and was killed.")
            kill_session(child)
            child.wait()
            watched.child = None

    def _stops(self, child: subprocess.Popen[bytes], within_s: float, sleep: Callable[[float], None]) -> bool:
        """Ask a program to stop, once more when we are hurried ourselves; False where it does not in time."""
        asked = time.monotonic()
        child.terminate()
        hurried = self._stop_signals > 1
        while child.poll() is None:
            if self._stop_signals > 1 and not hurried:
                hurried, asked, within_s = True, time.monotonic(), HURRIED_S
                child.terminate()
            left = asked + (min(within_s, HURRIED_S) if hurried else within_s) - time.monotonic()
            if left <= 0:
                return False
            sleep(left)
        return True

    def _count_stop_signal(self, number: int, frame: FrameType | None) -> None:
        self._stop_signals += 1

    @contextmanager
    def _woken_by_signals(self) -> Iterator[Callable[[float], None]]:
        """Route signals to us; yields a sleep that any signal, a child's end included, cuts short."""
        ours, theirs = socket.socketpair()
        with ours, theirs, selectors.DefaultSelector() as selector:
            ours.setblocking(False)
            theirs.setblocking(False)
            selector.register(ours, selectors.EVENT_READ)
            before_fd = signal.set_wakeup_fd(theirs.fileno(), warn_on_full_buffer=False)
            before = {signal.SIGCHLD: signal.signal(signal.SIGCHLD, lambda number, frame: None)}
            for number in STOP_SIGNALS:
                # `nohup` asks us to outlive the terminal by ignoring SIGHUP: that stays. An ignored SIGINT is
                # only what a shell gives its background jobs, and stopping on SIGINT is promised.
                if number != signal.SIGHUP or signal.getsignal(number) != signal.SIG_IGN:
                    before[number] = signal.signal(number, self._count_stop_signal)

            def sleep(seconds: float) -> None:
                selector.select(max(0.0, seconds))
                with suppress(BlockingIOError):
                    while ours.recv(4096):
                        pass

            try:
                yield sleep
            finally:
                for number, handler in before.items():
                    signal.signal(number, handler)
                signal.set_wakeup_fd(before_fd)

"""Small programs under a supervisor in a process of its own, which a test may signal and kill.

Run as `python -m tests.setup.programs NOTES PROGRAM...`: each PROGRAM is the name of a deed below, and writes what
happens to it as a line in NOTES.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import psutil

from service.stack.supervise import Program, Supervisor
from tests.setup.fakes import ROOT
from tests.stack import eventually


def note(file: Path, *words: object) -> None:
    """One line, written at once so that lines of several processes do not mix."""
    with file.open("ab", buffering=0) as notes:
        notes.write((" ".join(map(str, words)) + "\n").encode())


def until_told(name: str, file: Path) -> None:
    """Live until SIGTERM."""

    def end(*_: object) -> None:
        note(file, name, "told to stop")
        sys.exit(0)

    signal.signal(signal.SIGTERM, end)
    note(file, name, "started", os.getpid())
    while True:
        signal.pause()


def slowly_ready(name: str, file: Path) -> None:
    """Ready only some time after the start."""
    note(file, name, "begins")
    time.sleep(0.3)
    until_told(name, file)


def deaf(name: str, file: Path) -> None:
    """Hears no SIGTERM; nor does its child, which on Linux sits in a process group of its own (found by /proc)."""
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    child = os.fork()
    if not child and sys.platform == "linux":
        os.setpgid(0, 0)
    note(file, name if child else "child", "started", os.getpid())
    while True:
        signal.pause()


def breaks(name: str, file: Path) -> None:
    """Ends at once."""
    note(file, name, "broke")
    sys.exit(3)


DEEDS: dict[str, Callable[[str, Path], None]] = {
    deed.__name__: deed for deed in (until_told, slowly_ready, deaf, breaks)
}


def program(name: str, file: Path) -> Program:
    """`name` is a deed, and perhaps a dash and a word that tells two of one deed apart."""
    return Program(
        name=name,
        command=[sys.executable, "-m", "tests.setup.programs", str(file), "--deed", name],
        environment=os.environ,
        folder=ROOT,
        is_ready=lambda: f"{name} started" in file.read_text(),
        stop_within_s=1.5 if name == "deaf" else 600.0,
        hint="That is meant.",
    )


class Supervised:
    """The supervisor's process, and what its programs noted."""

    def __init__(self, file: Path, *names: str) -> None:
        self.file = file
        file.touch()
        self.said = file.with_name("said")  # no pipe, which a program left behind would hold open
        with self.said.open("wb") as said:
            command = [sys.executable, "-m", "tests.setup.programs", str(file), *names]
            self.process = subprocess.Popen(command, cwd=ROOT, stderr=said)

    @property
    def notes(self) -> list[str]:
        return self.file.read_text().splitlines()

    def pids(self, name: str) -> list[int]:
        """Processes of a program in the order in which they started; of all for an empty name."""
        return [int(line.split()[-1]) for line in self.notes if f"{name} started" in line]

    def end(self, *signals: signal.Signals) -> tuple[int, str]:
        """Send signals, one after the other has been taken, and wait: the exit code and what was said."""
        for number in signals:
            self.process.send_signal(number)
        code = self.process.wait(timeout=60)
        return code, self.said.read_text()


def are_gone(pids: list[int]) -> bool:
    """Whether none of the processes lives."""
    return not any(psutil.pid_exists(pid) and psutil.Process(pid).status() != "zombie" for pid in pids)


@contextmanager
def supervised(file: Path, *names: str) -> Iterator[Supervised]:
    """Runs until ended in the block; after it nothing may be left, and what is left after a failure is killed."""
    running = Supervised(file, *names)
    try:
        yield running
        eventually(lambda: are_gone(running.pids("")))
    finally:
        if running.process.poll() is None:
            running.process.kill()
        running.process.wait()
        for pid in running.pids(""):
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)


def main(file: Path, names: list[str]) -> int:
    if names[0] == "--deed":
        DEEDS[names[1].partition("-")[0]](names[1], file)
        return 0
    programs = [program(name, file) for name in names]
    # Whoever runs the tests may be deaf to it, under `nohup`; a supervisor then rightly stays deaf, too.
    signal.signal(signal.SIGHUP, signal.SIG_DFL)

    def report(sentence: str) -> None:
        print(sentence, file=sys.stderr, flush=True)

    return Supervisor(programs, report, when_up=lambda: note(file, "all up")).run()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2:]))

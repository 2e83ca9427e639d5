"""The disk that finished baits go to is full, or read-only: a small file system of the test's own, mounted for real."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Iterator

import pytest

from tests.fault_table import Tell
from tests.requires import requires
from tests.stack import Request, Stack, please
from worker.records.view import BaitView

pytestmark = [pytest.mark.faults, requires("mount")]

BIG = please("nothing", bytes=3_000_000)
SMALL = please("nothing", bytes=3000)


class Disk:
    """Mounted where the state folder has its artifacts."""

    def __init__(self, idle: Stack) -> None:
        self.folder = idle.settings.state_dir / "artifacts"
        self.folder.mkdir()
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "none", self.folder], check=True)

    def remount(self, options: str) -> None:
        subprocess.run(["mount", "-o", f"remount,{options}", self.folder], check=True)

    def close(self) -> None:
        subprocess.run(["umount", "--lazy", self.folder], check=True)


@pytest.fixture
def disk(idle: Stack) -> Iterator[Disk]:
    made = Disk(idle)
    try:
        yield made
    finally:
        made.close()


def built(stack: Stack, request: Request) -> BaitView:
    assert stack.baits.submit("local", request).created
    return stack.ended(request, seconds=40)


def failed_to_store(view: BaitView) -> str:
    assert view.status == "failed"
    assert view.problem is not None
    assert view.problem["type"] == "urn:pourwright:problem:storage-failed"
    return str(view.problem["detail"])


def test_a_full_disk_fails_what_does_not_fit_and_nothing_else(idle: Stack, disk: Disk, fault_row: Tell) -> None:
    idle.start_pool()
    said = failed_to_store(built(idle, BIG))
    assert "No space left on device" in said
    assert idle.unfinished_folders() == []
    assert built(idle, SMALL).status == "successful", "there is room for this one"
    (disk.folder / "filler").touch()
    with open(disk.folder / "filler", "wb", buffering=0) as filler, pytest.raises(OSError, match="No space left"):
        while True:
            filler.write(bytes(4096))
    other = please("nothing", bytes=50_000)
    assert "No space left on device" in failed_to_store(built(idle, other))
    assert idle.unfinished_folders() == []
    assert idle.baits.view("local", SMALL.id).status == "successful"  # type: ignore[union-attr]
    disk.remount("size=16m")
    mended = time.monotonic()
    for request in (BIG, other):
        view = built(idle, request)
        assert (view.status, view.attempt) == ("successful", 2)
    seconds = time.monotonic() - mended
    seen = "failed, storage-failed, nothing half written; finished baits stay; with room the same request is built"
    fault_row("disk full", "a disk of 2 MiB for a bait of 3 MB, then one without a free block", seen, seconds)


def test_a_read_only_folder_fails_clearly_and_finished_baits_are_still_served(
    idle: Stack, disk: Disk, fault_row: Tell
) -> None:
    idle.environ["POURWRIGHT_SWEEP_EVERY_S"] = "1"
    pool = idle.start_pool()
    assert built(idle, SMALL).status == "successful"
    disk.remount("ro")
    other = please("nothing")
    assert "Read-only file system" in failed_to_store(built(idle, other))
    baits = idle.baits
    assert baits.view("local", SMALL.id).status == "successful"  # type: ignore[union-attr]
    assert baits.file("local", SMALL.id, "bait.stl").stat().st_size == 3000
    assert pool.poll() is None
    disk.remount("rw")
    mended = time.monotonic()
    view = built(idle, other)
    seconds = time.monotonic() - mended
    assert (view.status, view.attempt) == ("successful", 2)
    assert idle.unfinished_folders() == []
    seen = "failed, storage-failed; finished baits are served; writable again, the same request is built"
    fault_row("folder read-only", "the disk of finished baits is mounted read-only", seen, seconds)

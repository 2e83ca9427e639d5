"""A finished bait's folder is there whole or not at all, whatever happens while it is written."""

from __future__ import annotations

import errno
import hashlib
import multiprocessing
import os
import random
import signal
import time
from pathlib import Path

import pytest

from worker.records.artifacts import FolderArtifacts
from worker.records.manifests import Manifests
from worker.records.names import BaitName

BAIT = BaitName("local", "ab" * 32)
FILES = {"bait.stl": b"\0" * 84, "metrics.json": b"{}"}


def manifest(number: int = 1) -> dict[str, object]:
    told = {"id": BAIT.id, "attempt": number, "request": {}, "metrics": {"n": number}, "checks": []}
    return told | {"cautions": [], "files": [], "created": "", "finished": "", "timings": {}}


@pytest.fixture
def artifacts(tmp_path: Path) -> FolderArtifacts:
    return FolderArtifacts(tmp_path)


def left_over(tmp_path: Path) -> list[str]:
    aside = tmp_path / "artifacts" / ".aside"
    return os.listdir(aside) if aside.is_dir() else []


def test_what_was_put_is_read_again(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    assert artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert artifacts.read_manifest(BAIT) == manifest()
    for name, content in FILES.items():
        path = artifacts.file(BAIT, name)
        assert path is not None
        assert path.read_bytes() == content
    assert path.parent == tmp_path / "artifacts" / "local" / "ab" / "ab" / BAIT.id
    assert left_over(tmp_path) == []


def test_the_first_finished_writer_wins(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    assert artifacts.put_all(BAIT.attempt(1), FILES, manifest(1)) is True
    assert artifacts.put_all(BAIT.attempt(2), {"other.stl": b""}, manifest(2)) is False
    assert artifacts.read_manifest(BAIT) == manifest(1)
    assert artifacts.file(BAIT, "other.stl") is None
    assert left_over(tmp_path) == []


def test_what_is_no_longer_wanted_at_the_last_moment_is_not_kept(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    assert artifacts.put_all(BAIT.attempt(1), FILES, manifest(), wanted=lambda: False) is False
    assert artifacts.stamp(BAIT) is None
    assert left_over(tmp_path) == []


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EIO])
@pytest.mark.parametrize("call", ["os.fsync", "os.rename", "builtins.open"])
def test_a_disk_that_refuses_leaves_nothing_behind(
    artifacts: FolderArtifacts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, call: str
) -> None:
    artifacts.put_all(BaitName("local", "cd" * 32).attempt(1), FILES, manifest())  # the folders are there

    def refuse(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patched:
        patched.setattr(call, refuse)
        with pytest.raises(OSError, match=os.strerror(code)):
            artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert artifacts.stamp(BAIT) is None
    assert left_over(tmp_path) == []
    assert artifacts.put_all(BAIT.attempt(1), FILES, manifest()), "once there is room it works again"


def test_a_folder_that_cannot_be_made_is_an_error(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    (tmp_path / "artifacts").mkdir()
    (tmp_path / "artifacts" / "local").write_text("a file where a folder should be")
    with pytest.raises(OSError, match="local"):
        artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert left_over(tmp_path) == []


def test_a_bait_is_removed_whole(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert artifacts.delete(BAIT) is True
    assert artifacts.delete(BAIT) is False
    assert artifacts.stamp(BAIT) is None
    assert left_over(tmp_path) == []


def test_what_was_cut_off_is_cleared_by_its_attempt_or_by_its_age(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    aside = tmp_path / "artifacts" / ".aside"
    for number in (1, 2, 3):
        folder = aside / BAIT.attempt(number).job_id
        folder.mkdir(parents=True)
        (folder / "bait.stl").write_bytes(b"half")
    long_ago = time.time() - 7200
    os.utime(aside / BAIT.attempt(2).job_id, (long_ago, long_ago))
    artifacts.clear(BAIT.attempt(1))
    assert artifacts.sweep(older_than_s=3600) == 1
    assert left_over(tmp_path) == [BAIT.attempt(3).job_id]
    assert artifacts.put_all(BAIT.attempt(3), FILES, manifest()), "an attempt's own remains do not stop it"


def test_memory_of_a_manifest_ends_with_the_manifest(artifacts: FolderArtifacts) -> None:
    manifests = Manifests(artifacts, most=2)
    assert manifests.read(BAIT) is None
    artifacts.put_all(BAIT.attempt(1), FILES, manifest(1))
    first = manifests.read(BAIT)
    assert first is not None
    assert manifests.read(BAIT) is first, "read once"
    artifacts.delete(BAIT)
    assert manifests.read(BAIT) is None
    artifacts.put_all(BAIT.attempt(2), FILES, manifest(2))
    assert manifests.read(BAIT).attempt == 2  # type: ignore[union-attr]


def test_only_the_last_few_manifests_are_kept(artifacts: FolderArtifacts) -> None:
    manifests = Manifests(artifacts, most=2)
    baits = [BaitName("local", f"{number:064x}") for number in range(3)]
    for bait in baits:
        artifacts.put_all(bait.attempt(1), FILES, manifest())
    views = [manifests.read(bait) for bait in baits]
    assert manifests.read(baits[2]) is views[2]
    assert manifests.read(baits[0]) is not views[0]


BIG = {f"file{number}.bin": bytes([number]) * 500_000 for number in range(4)}


def _write_for_ever(state_dir: Path) -> None:
    artifacts = FolderArtifacts(state_dir)
    told = manifest() | {"files": {name: hashlib.sha256(content).hexdigest() for name, content in BIG.items()}}
    number = 0
    while True:
        bait = BaitName("local", f"{os.getpid():032x}{number:032x}")
        artifacts.put_all(bait.attempt(1), BIG, told)
        number += 1


def test_no_half_written_bait_is_ever_seen_when_writers_are_killed(artifacts: FolderArtifacts, tmp_path: Path) -> None:
    chance = random.Random(7)
    baits = tmp_path / "artifacts" / "local"
    for killed in range(150):
        if killed >= 15 and list(baits.glob("*/*/*")):  # on a busy machine fifteen may all be too early
            break
        writer = multiprocessing.get_context("fork").Process(target=_write_for_ever, args=(tmp_path,))
        writer.start()
        time.sleep(0.03 + chance.random() * 0.06 * (1 + killed // 15))
        os.kill(writer.pid or 0, signal.SIGKILL)
        writer.join()
    found = list(baits.glob("*/*/*"))
    assert found, "some were finished"
    for folder in found:
        told = artifacts.read_manifest(BaitName("local", folder.name))
        assert told is not None, "a folder is never there without its manifest"
        assert {name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in BIG} == told["files"]
    artifacts.sweep(older_than_s=-1)
    assert left_over(tmp_path) == []

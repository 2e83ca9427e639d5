"""Finished baits as folders. A bait's folder is there whole, with its manifest, or not there at all."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import time
import uuid
from collections.abc import Callable, Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

from worker.records.artifact_store import MANIFEST, Kept, require_plain
from worker.records.durable import make_folders, sync, write_new
from worker.records.names import AttemptName, BaitName

BLINK_S = 0.01


class FolderArtifacts:
    """Baits as folders `artifacts/{caller}/aa/bb/{id}`; written aside, synced, and moved in by one rename."""

    def __init__(self, state_dir: Path) -> None:
        self._root = state_dir / "artifacts"
        self._aside = self._root / ".aside"  # on the same file system; no caller's name begins with a dot

    def answers(self) -> bool:
        """See ArtifactStore: what is wrong with a folder shows when it is used."""
        return True

    def _folder(self, bait: BaitName) -> Path:
        return Path(self._place(bait))

    def _place(self, bait: BaitName) -> str:
        # As text: every look at a finished bait goes through here, and five joined paths cost a tenth of the answer.
        return f"{self._root}/{bait.caller}/{bait.id[:2]}/{bait.id[2:4]}/{bait.id}"

    def put_all(
        self,
        attempt: AttemptName,
        files: Mapping[str, bytes],
        manifest: Mapping[str, Any],
        wanted: Callable[[], bool] = lambda: True,
    ) -> bool:
        """See ArtifactStore. The manifest is written last."""
        require_plain(files)
        aside = self._aside / attempt.job_id
        folder = self._folder(attempt.bait)
        shutil.rmtree(aside, ignore_errors=True)
        try:
            make_folders(self._aside)
            aside.mkdir()
            for name, content in files.items():
                write_new(aside / name, content)
            # A figure that is no number would make every later answer fail: it is refused here, by a ValueError.
            told = json.dumps(manifest, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
            write_new(aside / MANIFEST, told.encode())
            sync(aside)
            make_folders(folder.parent)
            if not wanted():
                return False
            try:
                os.rename(aside, folder)  # fails where a finished bait, never empty, is there already
            except OSError:
                if not (folder / MANIFEST).exists():
                    raise
                return False
            sync(folder.parent)
            return True
        finally:
            shutil.rmtree(aside, ignore_errors=True)

    def stamp(self, bait: BaitName) -> object | None:
        """See ArtifactStore."""
        try:
            found = os.stat(f"{self._place(bait)}/{MANIFEST}")
        except FileNotFoundError:
            return None
        return found.st_ino, found.st_mtime_ns, found.st_size

    def stamps(self, baits: Collection[BaitName]) -> list[object | None]:
        """See ArtifactStore."""
        return [self.stamp(bait) for bait in baits]

    def read_manifest(self, bait: BaitName) -> dict[str, Any] | None:
        """See ArtifactStore."""
        try:
            content = (self._folder(bait) / MANIFEST).read_bytes()
        except FileNotFoundError:
            return None
        manifest: dict[str, Any] = json.loads(content)
        return manifest

    def file(self, bait: BaitName, name: str) -> Path | None:
        """See ArtifactStore. A name with a path in it is nobody's."""
        path = self._folder(bait) / name
        return path if name == Path(name).name and name != MANIFEST and path.is_file() else None

    def delete(self, bait: BaitName) -> bool:
        """See ArtifactStore. Moved aside by one rename, so that no reader finds half of it.

        Tried again, for a sweep that is about to put it back (`delete_unused`) has it aside for a blink.
        """
        for pause in (BLINK_S, BLINK_S, 0.0):
            try:
                aside = self._move_aside(bait)
            except FileNotFoundError:
                time.sleep(pause)
                continue
            sync(self._folder(bait).parent)
            shutil.rmtree(aside, ignore_errors=True)
            return True
        return False

    def _move_aside(self, bait: BaitName) -> Path:
        aside = self._aside / f"removed-{uuid.uuid4().hex}"
        make_folders(self._aside)
        os.rename(self._folder(bait), aside)
        return aside

    def clear(self, attempt: AttemptName) -> None:
        """See ArtifactStore."""
        shutil.rmtree(self._aside / attempt.job_id, ignore_errors=True)

    def note_use(self, bait: BaitName) -> bool:
        """See ArtifactStore. The folder's own time tells it: a backup that reads files does not change that one."""
        try:
            os.utime(self._place(bait))
        except FileNotFoundError:
            return False
        except OSError:  # read-only here: it is kept by the time at which it was built
            return True
        return True

    def note_uses(self, baits: Collection[BaitName]) -> list[bool]:
        """See ArtifactStore."""
        return [self.note_use(bait) for bait in baits]

    def shards(self) -> list[str]:
        """See ArtifactStore: `{caller}/aa`."""
        return [f"{caller}/{first}" for caller in _folders(self._root) for first in _folders(self._root / caller)]

    def kept_in(self, shard: str) -> Iterator[Kept]:
        """See ArtifactStore. What bears no bait's name, or goes away meanwhile, is passed over."""
        caller = shard.partition("/")[0]
        for second in _folders(self._root / shard):
            for name in _folders(self._root / shard / second):
                try:
                    bait = BaitName(caller, name)
                    used = os.stat(self._place(bait)).st_mtime_ns
                    with os.scandir(self._place(bait)) as files:
                        size = sum(file.stat().st_size for file in files)
                except (FileNotFoundError, ValueError):
                    continue
                yield Kept(bait, used, size)

    def delete_unused(self, kept: Kept) -> bool:
        """See ArtifactStore. Whoever asks marks the folder first: a mark that came too late to stop the move undoes it.

        Empty folders of shards stay. They are few, and to remove one could fail a build that moves its bait in.
        """
        try:
            if os.stat(self._place(kept.bait)).st_mtime_ns != kept.used:
                return False
            aside = self._move_aside(kept.bait)
        except FileNotFoundError:
            return False
        if os.stat(aside).st_mtime_ns != kept.used:
            with contextlib.suppress(OSError):  # built anew meanwhile: then the mark was for that one
                os.rename(aside, self._folder(kept.bait))
                return False
        shutil.rmtree(aside, ignore_errors=True)
        return True

    def sweep(self, older_than_s: float, is_alive: Callable[[str], bool] = lambda job_id: False) -> int:
        """See ArtifactStore."""
        oldest = time.time() - older_than_s
        removed = 0
        for name in _folders(self._aside, hidden=True):
            with contextlib.suppress(FileNotFoundError):
                if os.stat(self._aside / name).st_mtime < oldest and not is_alive(name):
                    shutil.rmtree(self._aside / name, ignore_errors=True)
                    removed += 1
        return removed


def _folders(folder: Path, hidden: bool = False) -> list[str]:
    """The names of the folders in one, which need not be there."""
    try:
        with os.scandir(folder) as found:
            return [one.name for one in found if one.is_dir() and (hidden or not one.name.startswith("."))]
    except (FileNotFoundError, NotADirectoryError):
        return []

"""Where finished baits are kept. A bait's folder is there whole, with its manifest, or not there at all."""

from __future__ import annotations

import json
import os
import shutil
import time
import uuid
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Protocol

from worker.records.durable import make_folders, sync, write_new
from worker.records.names import AttemptName, BaitName

MANIFEST = "manifest.json"


class ArtifactStore(Protocol):
    """A place for finished baits. Every call may raise OSError."""

    def put_all(
        self,
        attempt: AttemptName,
        files: Mapping[str, bytes],
        manifest: Mapping[str, Any],
        wanted: Callable[[], bool] = lambda: True,
    ) -> bool:
        """Keep a finished bait, durably, all of it or nothing.

        False where an earlier one is kept instead, or `wanted`, asked at the last moment, says no.
        """

    def stamp(self, bait: BaitName) -> object | None:
        """Something that changes whenever the manifest does, cheaply had; None without a manifest."""

    def read_manifest(self, bait: BaitName) -> dict[str, Any] | None:
        """The manifest, where the bait is finished."""

    def file_path(self, bait: BaitName, name: str) -> Path | None:
        """The path of a finished bait's file."""

    def delete(self, bait: BaitName) -> bool:
        """Remove a finished bait, files first unreadable all at once; False where there is none."""

    def clear(self, attempt: AttemptName) -> None:
        """Remove what an attempt that was cut off left half written."""

    def sweep(self, older_than_s: float) -> int:
        """Remove everything half written or half removed that is older than this; returns how much."""


class FolderArtifacts:
    """Baits as folders `artifacts/{caller}/aa/bb/{id}`; written aside, synced, and moved in by one rename."""

    def __init__(self, state_dir: Path) -> None:
        self._root = state_dir / "artifacts"
        self._aside = self._root / ".aside"  # on the same file system; no caller's name begins with a dot

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
        aside = self._aside / attempt.job_id
        folder = self._folder(attempt.bait)
        shutil.rmtree(aside, ignore_errors=True)
        try:
            make_folders(self._aside)
            aside.mkdir()
            for name, content in files.items():
                write_new(aside / name, content)
            write_new(aside / MANIFEST, json.dumps(manifest, ensure_ascii=False, separators=(",", ":")).encode())
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

    def read_manifest(self, bait: BaitName) -> dict[str, Any] | None:
        """See ArtifactStore."""
        try:
            content = (self._folder(bait) / MANIFEST).read_bytes()
        except FileNotFoundError:
            return None
        manifest: dict[str, Any] = json.loads(content)
        return manifest

    def file_path(self, bait: BaitName, name: str) -> Path | None:
        """See ArtifactStore. A name with a path in it is nobody's."""
        path = self._folder(bait) / name
        return path if name == Path(name).name and name != MANIFEST and path.is_file() else None

    def delete(self, bait: BaitName) -> bool:
        """See ArtifactStore. Moved aside by one rename, so that no reader finds half of it."""
        aside = self._aside / f"removed-{uuid.uuid4().hex}"
        make_folders(self._aside)
        try:
            os.rename(self._folder(bait), aside)
        except FileNotFoundError:
            return False
        sync(self._folder(bait).parent)
        shutil.rmtree(aside, ignore_errors=True)
        return True

    def clear(self, attempt: AttemptName) -> None:
        """See ArtifactStore."""
        shutil.rmtree(self._aside / attempt.job_id, ignore_errors=True)

    def sweep(self, older_than_s: float) -> int:
        """See ArtifactStore."""
        if not self._aside.is_dir():
            return 0
        oldest = time.time() - older_than_s
        left = [one for one in os.scandir(self._aside) if one.stat(follow_symlinks=False).st_mtime < oldest]
        for one in left:
            shutil.rmtree(one.path, ignore_errors=True)
        return len(left)

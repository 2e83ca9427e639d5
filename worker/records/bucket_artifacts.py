"""Finished baits in a bucket. A bait is there whole, with its manifest, or not there at all.

Below `artifacts/{caller}/aa/bb/{id}/` lie `manifest.json`, `used`, whose time of writing is the last use, and the files
in a folder that one writer chose for himself and the manifest names. So nobody ever writes over or removes a file that
another's manifest tells of. What is half written or half removed has an object below `aside/` that names its folder.
"""

from __future__ import annotations

import json
import time
import uuid
from collections import OrderedDict
from collections.abc import Callable, Collection, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any

from worker.errors import ArtifactsUnavailable
from worker.records.artifact_store import MANIFEST, Kept, require_plain
from worker.records.bucket import Bucket
from worker.records.bucket_file import BucketFile
from worker.records.bucket_told import Half, Told
from worker.records.names import AttemptName, BaitName, is_caller

USED = "used"
ROOT, ASIDE = "artifacts", "aside"
CREATE_TRIES = 3
AT_ONCE = 16
REMEMBERED = 1024
BLINK_S = 0.2
HALF_S = 3600.0  # longer than any build and any removal


class BucketArtifacts:
    """See ArtifactStore. Every call but `clear` may raise ArtifactsUnavailable."""

    def __init__(self, bucket: Bucket) -> None:
        self._bucket = bucket
        self._known: OrderedDict[BaitName, Told] = OrderedDict()  # of the last few baits whose manifest was read

    def answers(self) -> bool:
        """See ArtifactStore."""
        try:
            self._bucket.folders(ASIDE)
        except ArtifactsUnavailable:
            return False
        return True

    def put_all(
        self,
        attempt: AttemptName,
        files: Mapping[str, bytes],
        manifest: Mapping[str, Any],
        wanted: Callable[[], bool] = lambda: True,
    ) -> bool:
        """See ArtifactStore. The manifest is written last, where there is none: the first finished writer wins."""
        bait = attempt.bait
        folder = f"{_place(bait)}/{uuid.uuid4().hex}"
        require_plain(files)
        told = {"folder": folder, "names": sorted(files), "manifest": manifest}
        # A figure that is no number would make every later answer fail: it is refused here, by a ValueError.
        content = json.dumps(told, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
        if self.stamp(bait) is not None:
            return False
        aside = self._set_aside(attempt.job_id, bait, folder)
        kept: bool | None = False
        try:
            for name, one in files.items():
                self._bucket.put(f"{folder}/{name}", one)
            if wanted():
                kept = None  # the manifest may be there though its answer is lost: then a sweep looks, and ends it
                kept = self._create(bait, content, folder)
        finally:
            if kept is not None:
                with suppress(ArtifactsUnavailable):  # then a sweep does it
                    self._bucket.delete([] if kept else [f"{folder}/{name}" for name in files])
                    self._bucket.delete([aside])
        return bool(kept)

    def _create(self, bait: BaitName, content: bytes, folder: str) -> bool:
        for _ in range(CREATE_TRIES):
            if self._bucket.create(f"{_place(bait)}/{MANIFEST}", content):
                return True
            if (there := self._read(bait)) is not None:
                return there.folder == folder  # ours: the answer to the first try was lost
        return False

    def stamp(self, bait: BaitName) -> object | None:
        """See ArtifactStore."""
        found = self._bucket.look(f"{_place(bait)}/{MANIFEST}")
        return None if found is None else (found.tag, found.written)

    def stamps(self, baits: Collection[BaitName]) -> list[object | None]:
        """See ArtifactStore. Many at once, for each takes a journey."""
        with ThreadPoolExecutor(AT_ONCE) as threads:
            return list(threads.map(self.stamp, baits))

    def read_manifest(self, bait: BaitName) -> dict[str, Any] | None:
        """See ArtifactStore."""
        found = self._read(bait)
        return None if found is None else found.manifest

    def _read(self, bait: BaitName) -> Told | None:
        content = self._bucket.get(f"{_place(bait)}/{MANIFEST}")
        if content is None:
            self._known.pop(bait, None)
            return None
        told = self._known[bait] = Told.read(content)
        while len(self._known) > REMEMBERED:
            self._known.popitem(last=False)
        return told

    def file(self, bait: BaitName, name: str) -> BucketFile | None:
        """See ArtifactStore. Whether it still is there shows when it is read."""
        told = self._known.get(bait) or self._read(bait)
        if told is None or name not in told.names:
            return None

        def again() -> str | None:
            # The folder that was read a while ago may be of a bait that was removed and built anew since.
            found = self._read(bait)
            return f"{found.folder}/{name}" if found is not None and name in found.names else None

        return BucketFile(self._bucket, f"{told.folder}/{name}", again)

    def delete(self, bait: BaitName) -> bool:
        """See ArtifactStore. The manifest goes first; without it there is no bait.

        Looked for again, for a sweep that is about to put it back (`delete_unused`) has it away for a blink.
        """
        for pause in (BLINK_S, BLINK_S, 0.0):
            if (told := self._read(bait)) is not None:
                break
            time.sleep(pause)
        else:
            return False
        aside = self._set_aside(f"removed-{uuid.uuid4().hex}", bait, told.folder)
        self._bucket.delete([f"{_place(bait)}/{MANIFEST}"])
        self._known.pop(bait, None)
        self._remove(told.folder, aside)
        self._bucket.delete([f"{_place(bait)}/{USED}"])
        return True

    def clear(self, attempt: AttemptName) -> None:
        """See ArtifactStore: left to the sweep. It is called in processes that fork, where no bucket may be opened."""

    def note_use(self, bait: BaitName) -> bool:
        """See ArtifactStore. Marked first and looked for then: see `delete_unused`."""
        manifest = f"{_place(bait)}/{MANIFEST}"
        if self._bucket.look(manifest) is None:
            return False
        self._bucket.put(mark := f"{_place(bait)}/{USED}", uuid.uuid4().hex.encode())
        if self._bucket.look(manifest) is not None:
            return True
        self._bucket.delete([mark])
        return False

    def note_uses(self, baits: Collection[BaitName]) -> list[bool]:
        """See ArtifactStore. Many at once, for each takes a journey or three."""
        with ThreadPoolExecutor(AT_ONCE) as threads:
            return list(threads.map(self.note_use, baits))

    def shards(self) -> list[str]:
        """See ArtifactStore: `{caller}/aa`."""
        callers = [caller for caller in self._bucket.folders(ROOT) if is_caller(caller)]
        return [f"{caller}/{first}" for caller in callers for first in self._bucket.folders(f"{ROOT}/{caller}")]

    def kept_in(self, shard: str) -> Iterator[Kept]:
        """See ArtifactStore. What bears no bait's name, or has no manifest, is passed over."""
        found: dict[BaitName, tuple[dict[str, int], int]] = {}
        for one in self._bucket.below(f"{ROOT}/{shard}"):
            try:
                _, caller, _, _, bait_id, name = one.key.split("/", 5)
                bait = BaitName(caller, bait_id)
            except ValueError:
                continue
            times, size = found.get(bait, ({}, 0))
            found[bait] = (times | {name: one.written}, size + one.bytes)
        for bait, (times, size) in found.items():
            if MANIFEST in times:
                yield Kept(bait, max(times[MANIFEST], times.get(USED, 0)), size)

    def delete_unused(self, kept: Kept) -> bool:
        """See ArtifactStore. Whoever asks marks it first: a mark that came too late to stop the removal undoes it."""
        bait, manifest, mark = kept.bait, f"{_place(kept.bait)}/{MANIFEST}", f"{_place(kept.bait)}/{USED}"
        before, built = self._bucket.look(mark), self._bucket.look(manifest)
        if built is None or max(built.written, before.written if before else 0) > kept.used:
            return False
        if (told := self._read(bait)) is None:
            return False
        aside = self._set_aside(f"removed-{uuid.uuid4().hex}", bait, told.folder)
        self._bucket.delete([manifest])
        self._known.pop(bait, None)
        after = self._bucket.look(mark)
        if after is not None and (before is None or after.tag != before.tag):
            if self._create(bait, told.content, told.folder):
                self._bucket.delete([aside])
                return False
            self._remove(told.folder, aside)  # built anew meanwhile: then the mark was for that one
            return True
        self._remove(told.folder, aside)
        self._bucket.delete([mark])
        return True

    def sweep(self, older_than_s: float, is_alive: Callable[[str], bool] = lambda job_id: False) -> int:
        """See ArtifactStore. Not before HALF_S: a writer that stands still may go on, and must find all it wrote."""
        oldest, removed = (time.time() - max(older_than_s, HALF_S)) * 1e9, 0
        for one in self._bucket.below(ASIDE):
            name = one.key.rpartition("/")[2]
            if one.written >= oldest or is_alive(name):
                continue
            if (content := self._bucket.get(one.key)) is not None:
                half = Half.read(content)
                if half is None or not half.folder.startswith(f"{_place(half.bait)}/"):
                    self._bucket.delete([one.key])
                    continue
                told = self._read(half.bait)
                if told is not None and told.folder == half.folder:  # cut off after the last step, or before the first
                    self._bucket.delete([one.key])
                else:
                    self._remove(half.folder, one.key)
                    removed += 1
        return removed

    def _set_aside(self, name: str, bait: BaitName, folder: str) -> str:
        """Name what is about to be half there, so that somebody ends it if we do not."""
        key = f"{ASIDE}/{name}"
        self._bucket.put(key, Half(bait, folder).content)
        return key

    def _remove(self, folder: str, aside: str) -> None:
        self._bucket.delete([one.key for one in self._bucket.below(folder)])
        self._bucket.delete([aside])


def _place(bait: BaitName) -> str:
    return f"{ROOT}/{bait.caller}/{bait.id[:2]}/{bait.id[2:4]}/{bait.id}"

"""Finished baits, read once and kept in memory for as long as their manifest stays what it was."""

from __future__ import annotations

import threading
from collections import OrderedDict

from worker.records.artifacts import ArtifactStore
from worker.records.names import BaitName
from worker.records.view import BaitView


class Manifests:
    """The last few finished baits of one process. A bait removed or rebuilt by another process is noticed."""

    def __init__(self, artifacts: ArtifactStore, most: int = 128) -> None:
        self._artifacts = artifacts
        self._most = most
        self._lock = threading.Lock()
        self._kept: OrderedDict[BaitName, tuple[object, BaitView]] = OrderedDict()

    def read(self, bait: BaitName) -> BaitView | None:
        """The finished bait, or None where it has no manifest."""
        stamp = self._artifacts.stamp(bait)
        if stamp is None:
            return None
        with self._lock:
            kept = self._kept.get(bait)
            if kept is not None and kept[0] == stamp:
                self._kept.move_to_end(bait)
                return kept[1]
        if (manifest := self._artifacts.read_manifest(bait)) is None:
            return None
        view = BaitView.from_manifest(manifest)
        with self._lock:
            self._kept[bait] = (stamp, view)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return view

"""Finished baits, read once and kept in memory for as long as their manifest stays what it was."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict

from worker.records.artifact_store import ArtifactStore
from worker.records.names import BaitName
from worker.records.view import BaitView

# A use is noted at most so often: far shorter than retention's shortest time, so that no use of late goes unseen.
NOTE_USE_EVERY_S = 300.0


class Manifests:
    """The last few finished baits of one process. A bait removed or rebuilt by another process is noticed."""

    def __init__(self, artifacts: ArtifactStore, most: int = 128) -> None:
        self._artifacts = artifacts
        self._most = most
        self._lock = threading.Lock()
        self._kept: OrderedDict[BaitName, tuple[object, BaitView, float]] = OrderedDict()

    def read(self, bait: BaitName) -> BaitView | None:
        """The finished bait, or None where it has no manifest. To read it is to use it: it is not swept soon."""
        stamp = self._artifacts.stamp(bait)
        if stamp is None:
            return None
        now = time.monotonic()
        with self._lock:
            kept = self._kept.get(bait)
            if kept is not None and kept[0] == stamp and now - kept[2] < NOTE_USE_EVERY_S:
                self._kept.move_to_end(bait)
                return kept[1]
        if not self._artifacts.note_use(bait):  # swept between two lines
            return None
        if kept is not None and kept[0] == stamp:
            return self._keep(bait, stamp, kept[1], now)
        if (manifest := self._artifacts.read_manifest(bait)) is None:
            return None
        return self._keep(bait, stamp, BaitView.from_manifest(manifest), now)

    def _keep(self, bait: BaitName, stamp: object, view: BaitView, now: float) -> BaitView:
        with self._lock:
            self._kept[bait] = (stamp, view, now)
            self._kept.move_to_end(bait)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return view

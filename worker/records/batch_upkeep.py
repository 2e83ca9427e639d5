"""What the caretaker does for batches: writes down those that have ended, and removes old ones that have."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import cast

from redis import Redis
from redis.exceptions import RedisError

from worker.errors import StoreUnavailable
from worker.records.batch_documents import Document, Documents, KeptBatch
from worker.records.batches import Batches
from worker.records.names import CLOSING

CLOSED_S = 24 * 3600.0  # for as long as its first answer may be asked for again
AGAIN_S = 60.0  # until a batch that could not be written down is tried once more
_log = logging.getLogger(__name__)


class Sealer:
    """Seals what has ended. One that cannot be sealed holds up no other."""

    def __init__(self, connection: Redis, batches: Batches) -> None:
        self._connection = connection
        self._batches = batches
        self._not_before: dict[str, float] = {}

    def look(self) -> None:
        """Seal every batch whose last bait has ended. Raises what the store's client raises, and StoreUnavailable."""
        closing = {member.decode() for member in cast("set[bytes]", self._connection.smembers(CLOSING))}
        now = time.monotonic()
        self._not_before = {one: when for one, when in self._not_before.items() if one in closing}
        for member in closing:
            if self._not_before.get(member, now) <= now:
                caller, _, batch_id = member.partition(":")
                try:
                    self._batches.seal(caller, batch_id)
                except (RedisError, StoreUnavailable):
                    raise
                except Exception as error:  # whatever the disk or somebody's hand has made of its document
                    self._not_before[member] = now + AGAIN_S
                    _log.error("a batch could not be written down", extra=_about(caller, batch_id, error))


class BatchSweep:
    """Removes documents: of batches dismissed or removed after a day, of the others when they are old."""

    def __init__(self, documents: Documents, batches: Batches, keep_s: float, between: Callable[[], None]) -> None:
        self._documents = documents
        self._batches = batches
        self._keep_s = keep_s
        self._between = between
        self._known_open_until = float("-inf")

    def look(self, now: float) -> int:
        """Look at all of them; `now` in trusted seconds of the epoch. Returns how many were removed.

        One that has not ended is not removed, however old. Where the store no longer knows it, it is ended here. What
        was no day old at the last look, or was found open at it, is known by the time at which it was written: a
        thousand items are not read every hour.
        """
        removed = 0
        self._documents.sweep_aside(CLOSED_S)
        for kept in self._documents.kept():
            self._between()
            try:
                removed += self._may_go(kept, now) and self._remove(kept)
            except (RedisError, StoreUnavailable):
                raise
            except Exception as error:
                _log.error("a batch could not be looked at", extra=_about(kept.caller, kept.id, error))
        self._known_open_until = now - CLOSED_S
        return removed

    def _may_go(self, kept: KeptBatch, now: float) -> bool:
        age = now - kept.written
        if age <= CLOSED_S or (age <= self._keep_s and kept.written < self._known_open_until):
            return False
        document = self._documents.read(kept.caller, kept.id)
        if document is None or _is_closed(document):
            return True
        if age <= self._keep_s:
            return False
        if document["ended"] is None:
            self._batches.seal(kept.caller, kept.id)
            return False
        return True

    def _remove(self, kept: KeptBatch) -> bool:
        self._documents.delete(kept.caller, kept.id)
        return True


def _is_closed(document: Document) -> bool:
    ended = document["ended"]
    return document["removed"] is not None or (ended is not None and ended["dismissed"])


def _about(caller: str, batch_id: str, error: Exception) -> dict[str, object]:
    return {"caller": caller, "batch": batch_id, "error": str(error)}

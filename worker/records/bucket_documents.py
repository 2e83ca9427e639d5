"""What is kept of batches, in a bucket: see `batch_documents`, whose parts are objects here, each written once."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from worker.errors import BatchUnreadable
from worker.records.batch_documents import (
    ENDED,
    FORM,
    ITEMS,
    PARTS,
    REMOVED,
    Document,
    KeptBatch,
    is_batch,
    put_together,
)
from worker.records.bucket import Bucket
from worker.records.names import is_caller

ROOT = "batches"


class BucketDocuments:
    """See Documents. Every call may raise ArtifactsUnavailable."""

    def __init__(self, bucket: Bucket) -> None:
        self._bucket = bucket

    def create(self, caller: str, document: Document) -> None:
        """See Documents."""
        self._add(caller, document["id"], ITEMS, {"form": FORM} | document)

    def end(self, caller: str, batch_id: str, ended: Document) -> None:
        """See Documents."""
        self._add(caller, batch_id, ENDED, ended)

    def mark_removed(self, caller: str, batch_id: str, when: str) -> None:
        """See Documents."""
        self._add(caller, batch_id, REMOVED, when)

    def read(self, caller: str, batch_id: str) -> Document | None:
        """See Documents."""
        if not is_caller(caller) or not is_batch(batch_id):
            return None
        return put_together(batch_id, lambda part: self._part(caller, batch_id, part))

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """See Documents."""
        if not is_caller(caller) or not is_batch(batch_id):
            return None
        seen = [self._bucket.look(_key(caller, batch_id, part)) for part in PARTS]
        return None if seen[0] is None else tuple(seen)

    def delete(self, caller: str, batch_id: str) -> None:
        """See Documents."""
        for part in PARTS:  # one after the other: from the first on it is no batch
            self._bucket.delete([_key(caller, batch_id, part)])

    def kept(self) -> Iterator[KeptBatch]:
        """See Documents."""
        written: dict[tuple[str, str], float] = {}
        for one in self._bucket.below(ROOT):
            caller, _, name = one.key.removeprefix(ROOT + "/").partition("/")
            batch_id, _, part = name.rpartition("/")[2].partition(".")
            if is_caller(caller) and is_batch(batch_id) and f".{part}" in PARTS:
                written[caller, batch_id] = max(one.written / 1e9, written.get((caller, batch_id), 0.0))
        yield from (KeptBatch(caller, batch_id, when) for (caller, batch_id), when in written.items())

    def sweep_aside(self, older_than_s: float) -> None:
        """See Documents: an object is never half written."""

    def _part(self, caller: str, batch_id: str, part: str) -> Any:
        content = self._bucket.get(_key(caller, batch_id, part))
        try:
            return None if content is None else json.loads(content)
        except ValueError as error:
            raise BatchUnreadable(f"{batch_id}{part}, which is kept of a batch, cannot be read: {error}") from error

    def _add(self, caller: str, batch_id: str, part: str, content: Any) -> None:
        told = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()
        self._bucket.create(_key(caller, batch_id, part), told)


def _key(caller: str, batch_id: str, part: str) -> str:
    return f"{ROOT}/{caller}/{batch_id[:2]}/{batch_id}{part}"
